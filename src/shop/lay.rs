//! A lay that was accepted: where each piece lies on the cloth.

use crate::measure::Length;

use super::{GarmentId, LayId, LiningKind, PersonId};

keyed! {
    /// Which cloth of a garment a lay is of.
    ClothOf {
        /// What it is made of.
        Main = "main", "cloth";
        /// What it is lined with.
        Lining = "lining", "lining";
        /// What stiffens it.
        Interfacing = "interfacing", "interfacing";
    }
}

impl ClothOf {
    /// The same among the cloths beside the main one.
    #[must_use]
    pub const fn lining(self) -> Option<LiningKind> {
        match self {
            ClothOf::Main => None,
            ClothOf::Lining => Some(LiningKind::Lining),
            ClothOf::Interfacing => Some(LiningKind::Interfacing),
        }
    }
}

/// An accepted lay as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AcceptedLay {
    /// Which lay; 0 before it is kept.
    pub id: LayId,
    /// Which cloth of them.
    pub cloth: ClothOf,
    /// The garments in the order in which their pieces are numbered: one, or several of a joint lay.
    pub garments: Vec<GarmentId>,
    /// Who accepted it.
    pub who: PersonId,
    /// When (UTC milliseconds).
    pub at_ms: i64,
    /// Width of the cloth, selvedges included.
    pub width: Length,
    /// Length used on the cloth, before squaring and shrinkage.
    pub used: Length,
    /// What must be cut from the bolt for it, with squaring and shrinkage; `None` for one that
    /// was accepted before this was kept.
    pub need: Option<Length>,
    /// The key of the layout: `folded`, `open`.
    pub layout: String,
    /// Length of the folded stretch; nought in an open lay.
    pub folded: Length,
    /// Where across the cloth the fold lies.
    pub fold_at: Length,
    /// The seed of the search.
    pub seed: u64,
    /// Evaluations spent.
    pub evaluations: u64,
    /// The placements, in the order of the lay.
    pub placements: Vec<AcceptedPlacement>,
}

impl AcceptedLay {
    /// Whether several garments are cut from it.
    #[must_use]
    pub fn is_joint(&self) -> bool {
        self.garments.len() > 1
    }
}

/// Where one piece lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AcceptedPlacement {
    /// The key of the piece in the style; in a joint lay with the number of its garment: `2/back`.
    pub part: String,
    /// Which copy, from 0.
    pub copy: u32,
    /// The copy cut from the layer beneath, if one is.
    pub under_copy: Option<u32>,
    /// The length cut, for a strip; a piece has its outline.
    pub length: Option<Length>,
    /// Turned by this many degrees.
    pub turn: u16,
    /// Whether it lies mirrored.
    pub mirrored: bool,
    /// Whether it lies on the fold.
    pub on_fold: bool,
    /// Through how many layers it is cut.
    pub layers: u8,
    /// Across the cloth.
    pub x: Length,
    /// Along the cloth.
    pub y: Length,
}
