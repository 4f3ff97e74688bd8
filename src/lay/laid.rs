//! A lay: where every piece and every length of strip lies.

use crate::geom::Point;

use super::{Layout, Part, Strip};

/// A lay that has passed the checker.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// How the cloth is spread for it: open where nothing is cut through two layers.
    pub layout: Layout,
    /// Usable width, between the selvedges, mm.
    pub width_mm: f64,
    /// How far the cloth is folded, from y = 0, mm; nought when open throughout. Folded
    /// across, the fold lies at y = 0 and the under layer reaches as far.
    pub folded_mm: f64,
    /// Where the fold lies, mm across: the middle, or further to the right where the
    /// cloth is folded in only as far as the pieces need. The flap reaches back as far
    /// as it is wide, and what lies left of it is single. The middle when open throughout, the right-hand limit when folded across.
    pub fold_at_mm: f64,
    /// Length of cloth that the lay takes, mm; what is folded across counts twice.
    pub used_length_mm: f64,
    /// The shaped pieces.
    pub placements: Vec<Placement>,
    /// The lengths of strips.
    pub bits: Vec<Bit>,
    /// Positions that the search tried and neighbours that it compared.
    pub evaluations: u32,
    /// The seed it started from.
    pub seed: u64,
}

impl Lay {
    /// How far the lay reaches on the table, from y = 0, mm: what is folded across is
    /// seen once.
    #[must_use]
    pub fn seen_length_mm(&self) -> f64 {
        if self.layout == Layout::Crosswise { self.used_length_mm - self.folded_mm } else { self.used_length_mm }
    }

    /// Whether the cutter looks at the wrong side of the cloth: it is folded right sides
    /// together, and what is single beside and below the flap lies the same way up.
    #[must_use]
    pub fn wrong_side_up(&self) -> bool {
        self.layout != Layout::Open
    }

    /// How the cloth is spread and which side of it is up, in words.
    #[must_use]
    pub fn spread(&self) -> &'static str {
        match (self.layout, self.placements.iter().any(Placement::turned_over)) {
            (Layout::Open, _) => "open, right side up",
            (Layout::Folded, true) => {
                "folded right sides together: the wrong side is up, so single pieces lie turned over"
            }
            (Layout::Folded, false) => "folded right sides together: the wrong side is up",
            (Layout::Crosswise, true) => {
                "folded across, right sides together: the wrong side is up, so single pieces lie turned over"
            }
            (Layout::Crosswise, false) => "folded across, right sides together: the wrong side is up",
        }
    }

    /// The same for a cloth whose print is to match: what is cut double matches only where
    /// the print lies on the print.
    #[must_use]
    pub fn spread_matched(&self) -> &'static str {
        match (self.layout, self.placements.iter().any(Placement::turned_over)) {
            (Layout::Open, _) => "open, right side up",
            (Layout::Folded, true) => {
                "folded right sides together, the print pinned layer to layer: the wrong side is up, so single pieces lie turned over"
            }
            (Layout::Folded, false) => {
                "folded right sides together, the print pinned layer to layer: the wrong side is up"
            }
            (Layout::Crosswise, true) => {
                "folded across, right sides together, the print pinned layer to layer: the wrong side is up, so single pieces lie turned over"
            }
            (Layout::Crosswise, false) => {
                "folded across, right sides together, the print pinned layer to layer: the wrong side is up"
            }
        }
    }
}

/// One cut of a shaped piece, through one layer or two.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Which part of the job, from 0.
    pub part: usize,
    /// Which copy of it, from 1.
    pub copy: u32,
    /// The copy cut from the under layer, mirrored, where two are cut at once.
    pub under: Option<u32>,
    /// Turned by so many degrees, from x towards y, after mirroring.
    pub turn: u16,
    /// Whether the drawn outline is mirrored (x to −x) first: on cloth that lies wrong
    /// side up, a piece so chalked comes out as drawn.
    pub mirrored: bool,
    /// Where the origin of the drawn outline comes to lie, mm.
    pub at: Point,
    /// Whether the drawn half lies on the fold and is cut through both layers. A
    /// half that is not on the fold is opened out into the whole piece.
    pub on_fold: bool,
}

impl Placement {
    /// How many layers the scissors go through.
    #[must_use]
    pub const fn layers(&self) -> u8 {
        if self.on_fold || self.under.is_some() { 2 } else { 1 }
    }

    /// Whether it is cut single with its drawing turned over, so that the chalked line
    /// is the mirror image of what is drawn.
    #[must_use]
    pub const fn turned_over(&self) -> bool {
        self.mirrored && self.layers() == 1
    }

    /// The outline on the cloth as the cutter sees it: the half on the fold, else
    /// the whole piece.
    #[must_use]
    pub fn outline(&self, part: &Part) -> Vec<Point> {
        let whole = match part.fold {
            Some(fold) if !self.on_fold => opened(&part.outline, fold),
            _ => part.outline.clone(),
        };
        moved(&whole, self.turn, self.mirrored, self.at)
    }
}

/// One length of a strip, through one layer or two. Its own outline is the
/// rectangle from (0, 0) to (cut width, `length_mm`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bit {
    /// Which strip of the job, from 0.
    pub strip: usize,
    /// Which copy of the strip it belongs to, from 1.
    pub copy: u32,
    /// The copy that the under layer's length belongs to, where two are cut at once.
    pub under: Option<u32>,
    /// Cut length, joins and ends included, mm.
    pub length_mm: f64,
    /// Turned by so many degrees, from x towards y: 90 lies across the cloth.
    pub turn: u16,
    /// Where the origin of the rectangle comes to lie, mm.
    pub at: Point,
}

impl Bit {
    /// The outline on the cloth.
    #[must_use]
    pub fn outline(&self, strip: &Strip) -> Vec<Point> {
        moved(&strip.bit_outline(self.length_mm), self.turn, false, self.at)
    }
}

/// A half piece and its mirror image beyond the fold, as one outline.
pub(super) fn opened(half: &[Point], (a, b): (Point, Point)) -> Vec<Point> {
    let nearest = |end: Point| {
        let far = |p: &Point| (p[0] - end[0]).hypot(p[1] - end[1]);
        half.iter().enumerate().min_by(|(_, p), (_, q)| far(p).total_cmp(&far(q))).map_or(0, |(index, _)| index)
    };
    let (from, to) = (nearest(a), nearest(b));
    let walk = |from: usize, to: usize| -> Vec<Point> {
        let steps = (to + half.len() - from) % half.len().max(1);
        half.iter().cycle().skip(from).take(steps + 1).copied().collect()
    };
    // Of the two ways round from one end of the fold to the other, one is the fold
    // itself (its points lie on the line), the other the piece.
    let reach = |chain: &[Point]| chain.iter().map(|p| across(*p, a, b).abs()).fold(0.0, f64::max);
    let (one, other) = (walk(from, to), walk(to, from));
    let chain = if reach(&one) >= reach(&other) { one } else { other };
    let inner = chain.get(1..chain.len().saturating_sub(1)).unwrap_or_default();
    let beyond: Vec<Point> = inner.iter().rev().map(|p| reflected(*p, a, b)).collect();
    chain.into_iter().chain(beyond).collect()
}

/// An outline mirrored, then turned, then shifted.
pub(super) fn moved(outline: &[Point], turn: u16, mirrored: bool, at: Point) -> Vec<Point> {
    let (sin, cos) = sine_and_cosine(turn);
    let place = |p: &Point| {
        let x = if mirrored { -p[0] } else { p[0] };
        [x * cos - p[1] * sin + at[0], x * sin + p[1] * cos + at[1]]
    };
    outline.iter().map(place).collect()
}

/// Exact for quarter turns.
fn sine_and_cosine(turn: u16) -> (f64, f64) {
    match turn % 360 {
        0 => (0.0, 1.0),
        90 => (1.0, 0.0),
        180 => (0.0, -1.0),
        270 => (-1.0, 0.0),
        other => f64::from(other).to_radians().sin_cos(),
    }
}

/// Signed distance of a point from the line through `a` and `b`.
fn across(p: Point, a: Point, b: Point) -> f64 {
    let along = [b[0] - a[0], b[1] - a[1]];
    ((p[0] - a[0]) * along[1] - (p[1] - a[1]) * along[0]) / along[0].hypot(along[1])
}

/// A point's mirror image beyond the line through `a` and `b`.
pub(super) fn reflected(p: Point, a: Point, b: Point) -> Point {
    let along = [b[0] - a[0], b[1] - a[1]];
    let length = along[0].hypot(along[1]);
    let off = 2.0 * across(p, a, b) / length;
    [p[0] - off * along[1], p[1] + off * along[0]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_opens_out_into_the_whole() {
        let half = [[0.0, 0.0], [30.0, 0.0], [40.0, 50.0], [0.0, 60.0]];
        let whole = opened(&half, ([0.0, 60.0], [0.0, 0.0]));
        let mut xs: Vec<f64> = whole.iter().map(|p| p[0]).collect();
        xs.sort_by(f64::total_cmp);
        assert_eq!(xs, [-40.0, -30.0, 0.0, 0.0, 30.0, 40.0]);
        let other_way_round: Vec<Point> = half.iter().rev().copied().collect();
        assert_eq!(opened(&other_way_round, ([0.0, 0.0], [0.0, 60.0])).len(), 6);
    }

    #[test]
    fn mirroring_comes_before_turning() {
        assert_eq!(moved(&[[1.0, 2.0]], 90, true, [10.0, 20.0]), [[8.0, 19.0]]);
    }
}
