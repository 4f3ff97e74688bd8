//! What was cut, whatever changes later.

use std::collections::BTreeMap;

use crate::measure::{BodySide, Length, Showing};

use super::{CutId, GarmentId, PersonId};

/// A record of a garment as it was cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutRecord {
    /// Which record; 0 before it is kept.
    pub id: CutId,
    /// The garment.
    pub garment: GarmentId,
    /// Who cut.
    pub who: PersonId,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
    /// The style's text in full.
    pub style_text: String,
    /// The body values used.
    pub body: BTreeMap<String, Length>,
    /// The figure notes by which it was drafted, by key.
    pub figure: Vec<String>,
    /// The standing corrections that the body was drafted with.
    pub corrections: Vec<CutCorrection>,
    /// Every choice of the style as it stood, those too that nobody made: lengths with their
    /// unit, so that neither the shop's allowances nor its unit is needed to read them.
    pub choices: BTreeMap<String, String>,
    /// In which step the workings are shown.
    pub showing: Showing,
    /// The drafted dimensions in order: key, label and working as shown.
    pub dimensions: Vec<(String, String, String)>,
    /// Sewing and cutting outlines as JSON text.
    pub outlines: String,
    /// The edition of the engine that drew them.
    pub engine: String,
}

/// A standing correction as it was cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutCorrection {
    /// The body dimension.
    pub dimension: String,
    /// The wearer's side, when it is one alone.
    pub side: Option<BodySide>,
    /// How much, out and longer above nought.
    pub amount: Length,
    /// Where it comes from, as shown.
    pub words: String,
}
