//! What is to be laid: a cloth, parts and strips.

use super::{Cloth, LayError, Matched, Part, Strip};

/// The most pieces, bits of strips included, that one lay holds. A garment has 3
/// to 30 (common practice), so that a party of twelve has up to 360 in one lay; the bound
/// keeps a slip of the pen (a count of 5000) from running for hours.
const MOST_PIECES: usize = 400;

/// A cloth and everything that is to be cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct LayJob {
    /// The shaped pieces.
    pub parts: Vec<Part>,
    /// The straight strips.
    pub strips: Vec<Strip>,
    /// The cloth.
    pub cloth: Cloth,
    /// Which marks of the parts match in the print, where the cloth has a repeat; where
    /// they contradict one another, those named first hold.
    pub matched: Vec<Matched>,
}

impl LayJob {
    /// Refuses what no search could answer: see [`LayError`].
    pub(super) fn sound(&self) -> Result<(), LayError> {
        self.cloth.sound()?;
        self.parts.iter().try_for_each(Part::sound)?;
        self.strips.iter().try_for_each(Strip::sound)?;
        let has = |(part, mark): (usize, usize)| self.parts.get(part).is_some_and(|part| mark < part.marks.len());
        if let Some(lost) = self.matched.iter().find(|matched| !has(matched.a) || !has(matched.b)) {
            return Err(LayError::NoSuchMark { seam: lost.name.clone() });
        }
        let parts = self.parts.iter().map(|part| part.count);
        let strips = self.strips.iter().map(|strip| strip.count);
        let pieces: u64 = parts.chain(strips).map(u64::from).sum();
        LayJob::few_enough(usize::try_from(pieces).unwrap_or(usize::MAX))
    }

    /// Refuses more pieces than one lay holds.
    pub(super) fn few_enough(pieces: usize) -> Result<(), LayError> {
        if pieces > MOST_PIECES { Err(LayError::TooMany { pieces, most: MOST_PIECES }) } else { Ok(()) }
    }
}
