//! What must be true of every draft, proved each time from the drawn pieces.
//!
//! Held outside the style's own text: a style says where to measure, the engine
//! says what must be measured and what makes sense.

mod darts;
mod fit;
mod hems;
mod linings;
mod notches;
mod outlines;
mod pleats;
mod seams;

pub(super) use seams::joined;

use super::super::drafted::{Measured, Piece, Truth};
use super::super::fault::Fault;
use super::super::formula::Scope;
use super::super::style::Style;
use super::drawing::Drawing;
use crate::measure::{Length, Showing};

/// Equal by construction, mm (architecture.md, "Tolerances").
const EQUAL_MM: f64 = 0.1;
/// Equal where a rule is solved, mm: 1/64 in.
const SOLVED_MM: f64 = 0.4;
/// Corners run on within this angle: 5°.
const CORNER: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// What the truths look at.
pub(super) struct Proof<'a> {
    pub style: &'a Style,
    pub drawing: &'a Drawing<'a>,
    pub pieces: &'a [Piece],
    pub measured: &'a [Measured],
    pub scope: &'a Scope<'a, 'a>,
    pub showing: Showing,
}

impl Proof<'_> {
    /// A length in words, as the shop shows it.
    fn told(&self, mm: f64) -> String {
        Length::from_mm(mm).map_or_else(|| format!("{mm:.1} mm"), |length| self.showing.with_unit(length))
    }

    /// A small difference in words: to the tenth of a millimetre.
    fn by(&self, mm: f64) -> String {
        format!("{:.1} mm", mm.abs())
    }

    /// 0.4 mm where the style solves an unknown, else 0.1 mm.
    fn tolerance(&self) -> f64 {
        if self.style.solves.is_empty() { EQUAL_MM } else { SOLVED_MM }
    }
}

/// A truth from the faults that were found: held when there are none.
fn truth(what: impl Into<String>, faults: Vec<String>, found: impl Into<String>) -> Truth {
    let held = faults.is_empty();
    Truth { what: what.into(), held, found: if held { found.into() } else { faults.join("; ") } }
}

/// Every truth of a draft, in the order in which a cutter would look. A truth of
/// which this draft has no case (no fold, no seam) is not listed as held.
pub(super) fn prove(proof: &Proof<'_>) -> Result<Vec<Truth>, Fault> {
    let mut truths = vec![outlines::simple(proof), outlines::allowances(proof)];
    truths.extend(outlines::folds(proof));
    truths.extend(hems::lie_flat(proof));
    truths.extend(darts::folded(proof));
    truths.extend(pleats::close(proof)?);
    truths.extend(seams::walk(proof)?);
    truths.extend(seams::equal_allowances(proof)?);
    truths.extend(seams::corners(proof)?);
    truths.extend(linings::fit(proof)?);
    truths.extend(notches::meet(proof)?);
    truths.extend(fit::measured_back(proof));
    truths.extend(fit::gets_in(proof)?);
    Ok(truths)
}
