//! Outlines made ready for the search: grown by half the gap, with fewer points,
//! and never smaller than what they stand for.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};

use crate::geom::Point;

/// How far a dent may be filled, mm. With [`CORNER_MM`] it stays within the 0.2 mm
/// that the architecture allows for outlines to lay.
const DENT_MM: f64 = 0.08;

/// How far a corner may be carried outward where a short side is left out, mm.
const CORNER_MM: f64 = 0.12;

/// The outlines around `outline` at the distance `by`, with few points, never
/// inside the true ones. Usually one; holes are left out.
pub(super) fn around(outline: &[Point], by: f64) -> Vec<Vec<Point>> {
    let mut shapes = vec![outline.to_vec()].simplify_shape(FillRule::NonZero);
    if by > 0.0 {
        let style = OutlineStyle::new(by).line_join(LineJoin::Round(arc_step(by)));
        shapes = shapes.outline(&style);
    }
    let few: Vec<Vec<Point>> =
        shapes.into_iter().filter_map(|shape| shape.into_iter().next()).map(|outer| fewer(&outer)).collect();
    few.simplify_shape(FillRule::NonZero).into_iter().filter_map(|shape| shape.into_iter().next()).collect()
}

/// The step of an arc of this radius whose chords stay within 0.02 mm of it.
fn arc_step(radius: f64) -> f64 {
    const CHORD_MM: f64 = 0.02;
    2.0 * (1.0 - CHORD_MM / radius).clamp(-1.0, 1.0).acos()
}

/// A point of the ring and the stretch of true points that it stands for.
#[derive(Clone, Copy)]
struct Knot {
    at: Point,
    first: usize,
    last: usize,
}

/// The same outline with fewer points, nowhere inside the given one.
pub(super) fn fewer(outline: &[Point]) -> Vec<Point> {
    let mut true_points = outline.to_vec();
    let next = outline.iter().cycle().skip(1);
    if outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() < 0.0 {
        true_points.reverse();
    }
    let knots = true_points.iter().enumerate().map(|(index, at)| Knot { at: *at, first: index, last: index });
    let mut knots: Vec<Knot> = knots.collect();
    while fill_dents(&mut knots, &true_points) || carry_corners(&mut knots, &true_points) {}
    knots.into_iter().map(|knot| knot.at).collect()
}

/// Leaves out points at dents (and on straight lines) as long as the straight
/// side that replaces them stays close. Says whether any was left out.
fn fill_dents(knots: &mut Vec<Knot>, true_points: &[Point]) -> bool {
    let before = knots.len();
    let mut index = 0;
    while index < knots.len() && knots.len() > 3 {
        let Some((a, b, c)) = neighbours(knots, index) else { break };
        let dent = turn(a.at, b.at, c.at) <= 0.0;
        let close =
            || stretch(true_points, a.last, c.first).all(|p| (0.0..=DENT_MM).contains(&(inward(a.at, c.at, p) + 1e-9)));
        if dent && close() {
            knots.remove(index);
        } else {
            index += 1;
        }
    }
    knots.len() < before
}

/// Leaves out short sides in a run of outward corners by carrying the sides before
/// and behind on to where they meet, over as many sides as the meeting stays close.
/// Says whether any was left out.
fn carry_corners(knots: &mut Vec<Knot>, true_points: &[Point]) -> bool {
    let before = knots.len();
    let mut index = 0;
    while index + 1 < knots.len() && knots.len() > 4 {
        let carried = (1..knots.len() - index).map_while(|over| carried(knots, index, over, true_points)).last();
        if let Some((knot, over)) = carried
            && let Some(place) = knots.get_mut(index)
        {
            *place = knot;
            knots.drain(index + 1..=index + over);
        }
        index += 1;
    }
    knots.len() < before
}

/// The one corner that may stand for those from `index` to `index + over`.
fn carried(knots: &[Knot], index: usize, over: usize, true_points: &[Point]) -> Option<(Knot, usize)> {
    let (a, b, _) = neighbours(knots, index)?;
    let (previous, c, d) = neighbours(knots, index + over)?;
    let meet = meeting(a.at, b.at, c.at, d.at)?;
    let outward = turn(previous.at, c.at, d.at) > 0.0 && over + 3 < knots.len();
    let chain: Vec<Point> = stretch(true_points, b.first, c.last).collect();
    let close = chain.iter().zip(chain.iter().skip(1)).any(|(p, q)| to_side(meet, *p, *q) <= CORNER_MM);
    (outward && close).then_some((Knot { at: meet, first: b.first, last: c.last }, over))
}

/// Where the side a–b carried on beyond b meets the side c–d carried back beyond c.
fn meeting(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    if turn(a, b, c) <= 0.0 || turn(b, c, d) <= 0.0 {
        return None;
    }
    let (u, v) = ([b[0] - a[0], b[1] - a[1]], [c[0] - d[0], c[1] - d[1]]);
    let cross = u[0] * v[1] - u[1] * v[0];
    let (s, t) =
        (((c[0] - b[0]) * v[1] - (c[1] - b[1]) * v[0]) / cross, ((c[0] - b[0]) * u[1] - (c[1] - b[1]) * u[0]) / cross);
    (s.is_finite() && s > 0.0 && t.is_finite() && t > 0.0).then(|| [b[0] + s * u[0], b[1] + s * u[1]])
}

/// The knot at `index` between the ones before and behind it.
fn neighbours(knots: &[Knot], index: usize) -> Option<(Knot, Knot, Knot)> {
    let before = (index + knots.len()).checked_sub(1)? % knots.len();
    let behind = (index + 1) % knots.len();
    Some((*knots.get(before)?, *knots.get(index)?, *knots.get(behind)?))
}

/// The true points from `first` to `last`, both included, once round.
fn stretch(points: &[Point], first: usize, last: usize) -> impl Iterator<Item = Point> {
    let steps = (last + points.len() - first) % points.len().max(1);
    points.iter().cycle().skip(first).take(steps + 1).copied()
}

/// Above nought for an outward corner of an outline with positive area.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
}

/// How far `p` lies to the inner side of the line from `a` to `c`.
fn inward(a: Point, c: Point, p: Point) -> f64 {
    let length = (c[0] - a[0]).hypot(c[1] - a[1]);
    if length > 0.0 { turn(a, c, p) / length } else { f64::INFINITY }
}

/// Distance of `p` from the side p–q.
fn to_side(p: Point, a: Point, b: Point) -> f64 {
    let (u, w) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let square = u[0] * u[0] + u[1] * u[1];
    let share = if square > 0.0 { ((w[0] * u[0] + w[1] * u[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
    (w[0] - share * u[0]).hypot(w[1] - share * u[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use i_overlay::core::overlay_rule::OverlayRule;
    use i_overlay::float::single::SingleFloatOverlay;
    use proptest::prelude::*;

    fn area(outline: &[Point]) -> f64 {
        let next = outline.iter().cycle().skip(1);
        outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>().abs() / 2.0
    }

    /// A round piece with `bumps` waves of the given depth in its edge.
    fn wavy(points: u32, radius: f64, depth: f64, bumps: f64) -> Vec<Point> {
        (0..points)
            .map(|i| {
                let angle = f64::from(i) / f64::from(points) * std::f64::consts::TAU;
                let r = radius + depth * (angle * bumps).sin();
                [r * angle.cos(), r * angle.sin()]
            })
            .collect()
    }

    #[test]
    fn a_circle_needs_few_points() {
        // Sides that touch a circle of 300 and corners 0.12 outside it: 111 at least.
        let few = fewer(&wavy(1000, 300.0, 0.0, 1.0));
        assert!(few.len() < 150, "{} points", few.len());
        let square = [[0.0, 0.0], [50.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];
        assert_eq!(fewer(&square).len(), 4);
    }

    #[test]
    fn growing_keeps_the_distance() {
        let grown = around(&[[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]], 2.0);
        let right = 104.0 * 104.0 - (4.0 - std::f64::consts::PI) * 4.0;
        assert_eq!(grown.len(), 1);
        assert!((area(&grown[0]) - right).abs() < 20.0, "{}", area(&grown[0]));
    }

    proptest! {
        #[test]
        fn fewer_points_never_lose_cloth_and_stay_close(
            radius in 60.0..600.0_f64, share in 0.0..0.5_f64, bumps in 1..6_u32, backwards: bool,
        ) {
            let mut piece = wavy(600, radius, radius * share, f64::from(bumps));
            if backwards {
                piece.reverse();
            }
            let few = fewer(&piece);
            prop_assert!(few.len() < piece.len());
            let lost = piece.overlay_as::<i64>(&few, OverlayRule::Difference, FillRule::NonZero);
            prop_assert!(lost.iter().flatten().map(|c| area(c)).sum::<f64>() < 1e-3);
            for p in &few {
                let sides = piece.iter().zip(piece.iter().cycle().skip(1));
                let off = sides.map(|(a, b)| to_side(*p, *a, *b)).fold(f64::INFINITY, f64::min);
                prop_assert!(off <= 0.2, "off by {off}");
            }
        }
    }
}
