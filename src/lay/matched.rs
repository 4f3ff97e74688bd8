//! What is to match in a print: points of pieces, and which of them meet in a seam.

use crate::geom::Point;

/// A point of a part that is to match in the print.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchMark {
    /// The words for it: `side seam at the hem`.
    pub name: String,
    /// Where it lies in the drawing of the part, mm: a point of the sewing line.
    pub at: Point,
}

/// Two points that meet in a seam: they lie at the same place of the print. Along the
/// cloth that holds for every copy. Across it, drawn copies match with drawn ones and
/// mirrored with mirrored ones (a left front meets a left back), and where a point is
/// to match with itself, the left with the right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matched {
    /// The words for the seam: `Side seams`.
    pub name: String,
    /// A part of the job, and a mark of it, both from 0.
    pub a: (usize, usize),
    /// The part and mark that it meets.
    pub b: (usize, usize),
}
