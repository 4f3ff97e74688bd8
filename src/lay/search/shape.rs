//! An outline in one position that the cloth allows, ready to be dropped.

use std::sync::{Arc, OnceLock};

use crate::geom::Point;

use super::super::Grain;
use super::super::laid::moved;
use super::circles::{Circle, circles, enclosed};
use super::outline::around;
use super::slabs::Slabs;

/// An upright rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Span {
    pub(super) least: Point,
    pub(super) most: Point,
}

/// An outline turned (and mirrored), about the origin of its drawing.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub(super) turn: u16,
    pub(super) mirrored: bool,
    /// What the true outline spans: it stays on the cloth.
    pub(super) own: Span,
    /// What the outline grown by half the gap spans.
    pub(super) near: Span,
    /// The grown outline, cut along x.
    pub(super) upright: Slabs,
    /// The grown outline with x and y exchanged, cut along y.
    pub(super) sideways: Slabs,
    /// What it was turned from.
    pub(super) grown: Arc<Grown>,
}

/// One outline and its grown self, from which shapes are turned.
pub(super) struct Outline {
    own: Vec<Point>,
    grown: Arc<Grown>,
}

/// An outline grown by half the gap, as drawn; shared by the shapes turned from it.
#[derive(Debug)]
pub(super) struct Grown {
    outlines: Vec<Vec<Point>>,
    /// The area of the outline itself, mm².
    pub(super) area: f64,
    /// Circles within it, found when they are first asked for.
    circles: OnceLock<Vec<Circle>>,
}

impl Outline {
    pub(super) fn new(own: Vec<Point>, gap: f64) -> Outline {
        let (outlines, area) = (around(&own, gap / 2.0), enclosed(&own).abs());
        Outline { own, grown: Arc::new(Grown { outlines, area, circles: OnceLock::new() }) }
    }

    pub(super) fn shape(&self, turn: u16, mirrored: bool) -> Shape {
        let place = |outline: &Vec<Point>| moved(outline, turn, mirrored, [0.0, 0.0]);
        let grown: Vec<Vec<Point>> = self.grown.outlines.iter().map(place).collect();
        let exchanged: Vec<Vec<Point>> = grown.iter().map(|o| o.iter().map(|p| [p[1], p[0]]).collect()).collect();
        Shape {
            turn,
            mirrored,
            own: Span::of(&place(&self.own)),
            near: grown.iter().map(|outline| Span::of(outline)).fold(Span::NONE, Span::and),
            upright: Slabs::of(&grown),
            sideways: Slabs::of(&exchanged),
            grown: Arc::clone(&self.grown),
        }
    }
}

impl Shape {
    /// The grown outlines as they lie about the origin.
    pub(super) fn outlines(&self) -> Vec<Vec<Point>> {
        let place = |outline: &Vec<Point>| moved(outline, self.turn, self.mirrored, [0.0, 0.0]);
        self.grown.outlines.iter().map(place).collect()
    }

    /// Whether it is the same outline in the same position.
    pub(super) fn is_same_as(&self, other: &Shape) -> bool {
        let same_way = self.turn == other.turn && self.mirrored == other.mirrored;
        same_way && (Arc::ptr_eq(&self.grown, &other.grown) || self.grown.outlines == other.grown.outlines)
    }

    /// Circles within the grown outline, as they lie about the origin.
    pub(super) fn circles(&self) -> Vec<Circle> {
        let drawn = self.grown.circles.get_or_init(|| self.grown.outlines.iter().flat_map(|o| circles(o)).collect());
        let middles: Vec<Point> = drawn.iter().map(|circle| circle.middle).collect();
        let middles = moved(&middles, self.turn, self.mirrored, [0.0, 0.0]);
        middles.into_iter().zip(drawn).map(|(middle, circle)| Circle { middle, ..*circle }).collect()
    }
}

impl Span {
    const NONE: Span = Span { least: [f64::INFINITY, f64::INFINITY], most: [f64::NEG_INFINITY, f64::NEG_INFINITY] };

    pub(super) fn of(outline: &[Point]) -> Span {
        outline.iter().fold(Span::NONE, |span, p| span.and(Span { least: *p, most: *p }))
    }

    fn and(self, other: Span) -> Span {
        let both = |f: fn(f64, f64) -> f64, a: Point, b: Point| [f(a[0], b[0]), f(a[1], b[1])];
        Span { least: both(f64::min, self.least, other.least), most: both(f64::max, self.most, other.most) }
    }

    pub(super) fn width(self) -> f64 {
        self.most[0] - self.least[0]
    }

    pub(super) fn height(self) -> f64 {
        self.most[1] - self.least[1]
    }
}

/// How a piece may be turned on the cloth. A mirrored piece leans the other way,
/// as the under layer of a folded lay does.
pub(super) fn turns(grain: Grain, one_way: bool, mirrored: bool) -> &'static [u16] {
    match (grain, one_way, mirrored) {
        (Grain::Along | Grain::Any, true, _) => &[0],
        (Grain::Any, false, _) => &[0, 90, 180, 270],
        (Grain::Along, false, _) => &[0, 180],
        (Grain::Across, true, false) => &[90],
        (Grain::Across, true, true) => &[270],
        (Grain::Across, false, _) => &[90, 270],
        (Grain::Bias, true, false) => &[45],
        (Grain::Bias, true, true) => &[315],
        (Grain::Bias, false, false) => &[45, 225],
        (Grain::Bias, false, true) => &[315, 135],
    }
}

/// A turn with the play that a piece has on the grain: straight first, then by whole
/// degrees to both sides. Of much play only every second or third degree is looked at: the
/// search tries each turn.
pub(super) fn play(turn: u16, tolerance: u16) -> Vec<u16> {
    /// Turns to either side.
    const MOST: u16 = 3;
    let tolerance = tolerance.min(180);
    let step = tolerance.div_ceil(MOST).max(1);
    let off = (1..=MOST).map(|number| (number * step).min(tolerance));
    let mut turns = vec![turn];
    for by in off {
        for turned in [(turn + by) % 360, (turn + 360 - by) % 360] {
            if !turns.contains(&turned) {
                turns.push(turned);
            }
        }
    }
    turns
}

/// Whether a left and a right of this whole outline are the same piece on this cloth:
/// it is its own mirror image about a line that lies along the cloth, or (where it may
/// be turned end for end) about one square to that.
pub(super) fn is_its_own_mirror(outline: &[Point], grain: Grain, one_way: bool) -> bool {
    /// Below the 0.05 mm that the checker allows.
    const SAME_MM: f64 = 0.02;
    let span = Span::of(outline);
    let sum = [span.least[0] + span.most[0], span.least[1] + span.most[1]];
    let same = |mirror: &dyn Fn(&Point) -> Point| {
        let image: Vec<Point> = outline.iter().map(mirror).collect();
        let close = |from: &[Point], to: &[Point]| from.iter().all(|p| is_on(*p, to, SAME_MM));
        close(&image, outline) && close(outline, &image)
    };
    let upright = grain != Grain::Across;
    ((upright || !one_way) && same(&|p| [sum[0] - p[0], p[1]]))
        || ((!upright || !one_way) && same(&|p| [p[0], sum[1] - p[1]]))
}

/// Whether a point lies on an outline, within `off`.
fn is_on(p: Point, outline: &[Point], off: f64) -> bool {
    let mut sides = outline.iter().zip(outline.iter().cycle().skip(1));
    sides.any(|(a, b)| {
        let (u, w) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
        let square = u[0] * u[0] + u[1] * u[1];
        let share = if square > 0.0 { ((w[0] * u[0] + w[1] * u[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
        let off_by = [w[0] - share * u[0], w[1] - share * u[1]];
        off_by[0] * off_by[0] + off_by[1] * off_by[1] <= off * off
    })
}
