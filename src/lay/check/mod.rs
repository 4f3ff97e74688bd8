//! The checker: proves a lay from the job alone, in plain f64, and shares no code
//! with the search or with the drawing of a lay.
//!
//! It unfolds the cloth: every layer of every cut becomes one outline on the open
//! cloth, the under layer mirrored at the fold. Then each piece must be there as
//! often as asked, of the right hand (folded cloth lies wrong side up, so that a single
//! piece is chalked turned over) and turned as grain and nap allow; what is on
//! the fold must lie on it; all must lie on the cloth; no two may overlap or come
//! nearer than the gap; every strip must be long enough once joined; and where the cloth has a
//! repeat, the points that meet in a seam must lie at the same place of it.

mod apart;
mod counted;
mod phase;
mod unfold;

pub use phase::unmatched;

use crate::geom::Point;

use super::{Lay, LayJob};

/// How far a piece may stray into another, off the fold or off the cloth, mm: half
/// the thickness of a chalk line, and the architecture's tolerance.
const WITHIN_MM: f64 = 0.05;

/// What a fault is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rule {
    /// A number that is not a number, a part or strip that the job does not have,
    /// a lay of another width than the cloth.
    Sense,
    /// A copy missing or cut twice.
    Count,
    /// A right where a left was asked for.
    Hand,
    /// Chalked as drawn on cloth that lies wrong side up, so that it comes out left for right.
    Side,
    /// Turned against the grain or the nap.
    Turn,
    /// On the fold but not on it; doubled below the fold or single within it.
    Fold,
    /// Beyond a selvedge.
    Width,
    /// Before the beginning or beyond the end.
    Length,
    /// Two pieces share cloth.
    Overlap,
    /// Two pieces are nearer than the gap.
    Gap,
    /// A strip too short once its lengths are joined.
    Strip,
    /// Points that meet in a seam lie at different places of the print.
    Phase,
}

/// One fault of a lay.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Which rule is broken.
    pub rule: Rule,
    /// By how much, mm; nought where it is no length.
    pub by_mm: f64,
    /// The fault in words, naming the pieces.
    pub text: String,
}

/// Every fault of a lay for a job; none when it can be cut. How the cloth is spread
/// is the lay's own (see [`super::best_layout`]).
#[must_use]
pub fn check(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = counted::sense(job, lay);
    if !faults.is_empty() {
        return faults;
    }
    faults.extend(counted::copies(job, lay));
    faults.extend(counted::hands(job, lay));
    faults.extend(counted::turns(job, lay));
    faults.extend(counted::strips(job, lay));
    faults.extend(phase::phases(job, lay));
    let cuts = unfold::cuts(job, lay, &mut faults);
    faults.extend(apart::on_cloth(&cuts, lay));
    faults.extend(apart::apart(&cuts, job.cloth.gap_mm));
    faults
}

/// Every outline that is cut, on the cloth unfolded: x from one selvedge to the other; of
/// a cloth folded across, the under layer lies above y = 0.
pub(super) fn unfolded(job: &LayJob, lay: &Lay) -> Vec<Vec<Point>> {
    unfold::cuts(job, lay, &mut Vec::new()).into_iter().map(|cut| cut.outline).collect()
}

impl Fault {
    fn new(rule: Rule, by_mm: f64, text: String) -> Fault {
        Fault { rule, by_mm, text }
    }
}
