//! What is marked on a piece so that the sewing meets: notches and pleats.

use crate::geom::Point;

/// A cut into the allowance that meets another when the seam is sewn.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The words for it: `Hip`.
    pub label: String,
    /// The key of the edge it stands on.
    pub edge: String,
    /// Where, on the sewing line.
    pub at: Point,
    /// The way out of the piece, square to the edge, radians.
    pub heading: f64,
    /// The allowance of the edge, mm.
    pub allowance_mm: f64,
    /// Whether it is a pair of cuts (the back of an armhole).
    pub double: bool,
}

/// Between the two cuts of a double notch, mm: 1/4 in, common practice.
const PAIR_MM: f64 = 6.35;
/// A tick crosses the sewing line by so much, mm: 1/8 in, so that it is seen.
const INWARD_MM: f64 = 3.175;

impl Notch {
    /// The ticks that show it: one, or two for a double one, each from inside the sewing
    /// line to the cutting line.
    #[must_use]
    pub fn ticks(&self) -> Vec<(Point, Point)> {
        let (sin, cos) = self.heading.sin_cos();
        let tick = |beside: f64| {
            let on = [self.at[0] - sin * beside, self.at[1] + cos * beside];
            let out = |mm: f64| [on[0] + cos * mm, on[1] + sin * mm];
            (out(-INWARD_MM), out(self.allowance_mm))
        };
        if self.double { vec![tick(-PAIR_MM / 2.0), tick(PAIR_MM / 2.0)] } else { vec![tick(0.0)] }
    }
}

/// How a pleat is folded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PleatKind {
    /// One fold, laid to one side.
    Knife,
    /// Two folds turned away from one another, a panel between them.
    Box,
    /// Two folds turned to one another, meeting on top.
    Inverted,
}

/// One pleat.
#[derive(Clone, Debug, PartialEq)]
pub struct Pleat {
    /// The words for it: `Front pleats`.
    pub label: String,
    /// The key of the edge it is folded out of.
    pub edge: String,
    /// How it is folded.
    pub kind: PleatKind,
    /// Cloth taken up at the edge, mm.
    pub take_mm: f64,
    /// Cloth taken up at the lower end of its lines, mm.
    pub take_below_mm: f64,
    /// Its folds: one of a knife pleat, two of the others.
    pub folds: Vec<PleatFold>,
}

impl Pleat {
    /// The strokes that show it: both lines of each fold, and an arrow from the one that
    /// is folded to the one on which it is laid.
    #[must_use]
    pub fn strokes(&self) -> Vec<(Point, Point)> {
        self.folds.iter().flat_map(PleatFold::strokes).collect()
    }
}

/// One fold of a pleat: the line that is folded is laid on the line where it will lie.
#[derive(Clone, Debug, PartialEq)]
pub struct PleatFold {
    /// The line folded on the outside of the garment, from the edge down.
    pub folded: (Point, Point),
    /// The line on which it is laid.
    pub laid_on: (Point, Point),
}

/// The arrow stands this share of the way down the lines.
const ARROW_DOWN: f64 = 0.3;
/// Its barbs are this share of its length long, and half as wide.
const BARB: f64 = 0.25;

impl PleatFold {
    fn strokes(&self) -> Vec<(Point, Point)> {
        let down = |(from, to): (Point, Point)| {
            [from[0] + (to[0] - from[0]) * ARROW_DOWN, from[1] + (to[1] - from[1]) * ARROW_DOWN]
        };
        let (from, to) = (down(self.folded), down(self.laid_on));
        let (dx, dy) = ((to[0] - from[0]) * BARB, (to[1] - from[1]) * BARB);
        let barb = |side: f64| (to, [to[0] - dx - side * dy / 2.0, to[1] - dy + side * dx / 2.0]);
        vec![self.folded, self.laid_on, (from, to), barb(1.0), barb(-1.0)]
    }
}
