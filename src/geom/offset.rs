//! Cutting outlines: an outline with its own allowance outside each side.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;

use super::hem::hems;
use super::{Point, SAME_POINT_MM, area, distance, split_by_line, squared};

/// One side of an outline with what is allowed outside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Side<'a> {
    /// Points along it with their headings, both ends included.
    pub points: &'a [(Point, f64)],
    /// Allowance outside it, mm; nought or more.
    pub allowance: f64,
    /// Whether the piece goes on beyond it (a fold): nothing may be cut outside it.
    pub is_fold: bool,
    /// Whether the allowance is turned up on to the piece (a hem): its ends are shaped
    /// so that it lies flat there.
    pub turned_up: bool,
}

/// Sides that turn less than this (half a degree, as a sine) run straight on: with
/// different allowances their parallels would meet far away, so they make a plain step.
const STRAIGHT_ON: f64 = 0.0087;

/// A mitre runs out to this many times the greater allowance, then is cut off
/// square; the architecture's rule for corners.
const MITRE: f64 = 2.0;

/// The outline `sewing` (closed) with each side's allowance outside it, closed.
/// Corners are mitred up to twice the allowance, then bevelled; hollow corners
/// meet; nothing lies beyond a fold. Empty when the outline has no inside.
#[must_use]
pub fn allowance_outline(sewing: &[Point], sides: &[Side<'_>]) -> Vec<Point> {
    if sewing.len() < 3 {
        return Vec::new();
    }
    if sides.iter().all(|side| side.allowance <= 0.0) {
        return sewing.to_vec();
    }
    // Outside is to the left of the heading when the outline runs clockwise on screen.
    let out = if area(sewing) > 0.0 { -1.0 } else { 1.0 };
    let hems = hems(sides, out);
    let mut shapes: Vec<Vec<Point>> = vec![sewing.to_vec()];
    for (side, banded) in sides.iter().zip(&hems.banded) {
        if side.allowance > 0.0 && !banded {
            shapes.push(band(side, out));
        }
    }
    for ((before, after), cornered) in sides.iter().zip(sides.iter().cycle().skip(1)).zip(&hems.cornered) {
        if !cornered && let Some(corner) = corner(before, after, out) {
            shapes.push(corner);
        }
    }
    shapes.extend(hems.shapes);
    for shape in &mut shapes {
        if area(shape) < 0.0 {
            shape.reverse();
        }
    }
    let joined = shapes.simplify_shape(FillRule::NonZero);
    let mut outline = joined
        .into_iter()
        .filter_map(|shape| shape.into_iter().next())
        .max_by(|a, b| area(a).abs().total_cmp(&area(b).abs()))
        .unwrap_or_default();
    for fold in sides.iter().filter(|side| side.is_fold) {
        outline = cut_at_fold(&outline, fold, out);
    }
    tidy(outline, area(sewing) > 0.0)
}

/// Two outlines that share a line (the halves of a piece beside its fold), joined to one.
#[must_use]
pub fn joined_outline(one: &[Point], other: &[Point]) -> Vec<Point> {
    let clockwise = area(one) > 0.0;
    let mut shapes: Vec<Vec<Point>> = vec![one.to_vec(), other.to_vec()];
    for shape in &mut shapes {
        if area(shape) < 0.0 {
            shape.reverse();
        }
    }
    let joined = shapes.simplify_shape(FillRule::NonZero);
    let outline = joined
        .into_iter()
        .filter_map(|shape| shape.into_iter().next())
        .max_by(|a, b| area(a).abs().total_cmp(&area(b).abs()))
        .unwrap_or_default();
    tidy(outline, clockwise)
}

/// The point `mm` outside a side's point.
pub(super) fn outside(point: (Point, f64), mm: f64, out: f64) -> Point {
    let (sin, cos) = point.1.sin_cos();
    [point.0[0] - sin * mm * out, point.0[1] + cos * mm * out]
}

/// The band between a side and its parallel.
fn band(side: &Side<'_>, out: f64) -> Vec<Point> {
    let mut shape: Vec<Point> = side.points.iter().map(|(p, _)| *p).collect();
    shape.extend(side.points.iter().rev().map(|p| outside(*p, side.allowance, out)));
    shape
}

/// The wedge that fills a corner which points outward, mitred or bevelled.
fn corner(before: &Side<'_>, after: &Side<'_>, out: f64) -> Option<Vec<Point>> {
    let (end, start) = (*before.points.last()?, *after.points.first()?);
    let (sin, cos) = super::turn(end.1, start.1).sin_cos();
    // A clockwise outline turns right (positive) at an outward corner.
    if sin * -out <= 1e-9 && cos > 0.0 {
        return None;
    }
    if sin * -out < -1e-9 {
        return None;
    }
    let (p, q) = (outside(end, before.allowance, out), outside(start, after.allowance, out));
    if cos > 0.0 && sin.abs() < STRAIGHT_ON {
        return Some(vec![end.0, p, q]);
    }
    let reach = MITRE * before.allowance.max(after.allowance);
    let (hs, hc) = end.1.sin_cos();
    if sin.abs() <= 1e-9 {
        // The edge turns straight back: square off beyond its end.
        let on = |p: Point| [p[0] + hc * reach, p[1] + hs * reach];
        return Some(vec![end.0, p, on(p), on(q), q]);
    }
    // Where the two parallels meet, measured along `before` from p.
    let along = (after.allowance - before.allowance * cos) / sin * -out;
    let tip = [p[0] + hc * along, p[1] + hs * along];
    let far = distance(end.0, tip);
    if far <= reach {
        return Some(vec![end.0, p, tip, q]);
    }
    // Cut off square across the line to the tip, so that the corner keeps its allowance.
    let (ux, uy) = ((tip[0] - end.0[0]) / far, (tip[1] - end.0[1]) / far);
    let on_cut = |from: Point| {
        let ahead = |p: Point| (p[0] - end.0[0]) * ux + (p[1] - end.0[1]) * uy;
        let t = ((reach - ahead(from)) / (far - ahead(from))).clamp(0.0, 1.0);
        [from[0] + (tip[0] - from[0]) * t, from[1] + (tip[1] - from[1]) * t]
    };
    Some(vec![end.0, p, on_cut(p), on_cut(q), q])
}

/// Nothing beyond the straight line of a fold.
fn cut_at_fold(outline: &[Point], fold: &Side<'_>, out: f64) -> Vec<Point> {
    let (Some(first), Some(last)) = (fold.points.first(), fold.points.last()) else { return outline.to_vec() };
    let Some(along) = super::heading(first.0, last.0) else { return outline.to_vec() };
    // Inside is to the right of the heading when the outline runs clockwise.
    let along = if out < 0.0 { along } else { along + std::f64::consts::PI };
    split_by_line(outline, first.0, along)
}

/// Without repeated points and without spikes (where the outline runs out and back
/// along one line, as the union leaves them between shapes that share an edge),
/// running the same way round as the sewing outline.
fn tidy(outline: Vec<Point>, clockwise: bool) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(outline.len());
    for point in outline {
        kept.push(point);
        while trim(&mut kept) {}
    }
    // Round the seam of the list: the first points may be part of a spike too.
    while kept.len() > 3 {
        let before = kept.len();
        kept.rotate_left(2);
        let mut again: Vec<Point> = Vec::with_capacity(before);
        for point in std::mem::take(&mut kept) {
            again.push(point);
            while trim(&mut again) {}
        }
        kept = again;
        if kept.len() == before {
            break;
        }
    }
    if (area(&kept) > 0.0) != clockwise {
        kept.reverse();
    }
    kept
}

/// Takes away the last point but one when it repeats a neighbour or is a spike.
fn trim(points: &mut Vec<Point>) -> bool {
    let [.., before, last] = points.as_slice() else { return false };
    if squared(*before, *last) <= SAME_POINT_MM * SAME_POINT_MM {
        points.pop();
        return true;
    }
    let [.., first, tip, end] = points.as_slice() else { return false };
    let (u, v) = ([tip[0] - first[0], tip[1] - first[1]], [end[0] - tip[0], end[1] - tip[1]]);
    let (cross, dot) = (u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]);
    let flat = || cross.abs() <= SAME_POINT_MM * (u[0].hypot(u[1]) + v[0].hypot(v[1]));
    if dot < 0.0 && flat() {
        let end = *end;
        points.truncate(points.len() - 2);
        points.push(end);
        return true;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::super::{Curve, Knot, contains, distance_to_outline};
    use super::*;
    use proptest::prelude::*;

    fn outline(curves: &[Curve]) -> (Vec<Point>, Vec<Vec<(Point, f64)>>) {
        let flat: Vec<Vec<(Point, f64)>> = curves.iter().map(Curve::flattened).collect();
        let sewing = flat.iter().flat_map(|side| side[..side.len() - 1].iter().map(|(p, _)| *p)).collect();
        (sewing, flat)
    }

    #[test]
    fn a_square_with_four_allowances_is_a_larger_square() {
        let p = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];
        for order in [[0, 1, 2, 3], [3, 2, 1, 0]] {
            let curves: Vec<Curve> = (0..4).map(|i| Curve::line(p[order[i]], p[order[(i + 1) % 4]])).collect();
            let (sewing, flat) = outline(&curves);
            let sides: Vec<Side> =
                flat.iter().map(|points| Side { points, allowance: 10.0, is_fold: false, turned_up: false }).collect();
            let cut = allowance_outline(&sewing, &sides);
            assert!((area(&cut).abs() - 120.0 * 120.0).abs() < 0.1, "{}", area(&cut));
            assert_eq!(area(&cut) > 0.0, area(&sewing) > 0.0);
        }
    }

    #[test]
    fn nothing_lies_beyond_a_fold_and_each_edge_keeps_its_own_allowance() {
        let p = [[0.0, 0.0], [100.0, 0.0], [100.0, 200.0], [0.0, 200.0]];
        let curves: Vec<Curve> = (0..4).map(|i| Curve::line(p[i], p[(i + 1) % 4])).collect();
        let (sewing, flat) = outline(&curves);
        let sides: Vec<Side> = flat
            .iter()
            .zip([12.0, 25.0, 40.0, 0.0])
            .enumerate()
            .map(|(i, (points, allowance))| Side { points, allowance, is_fold: i == 3, turned_up: false })
            .collect();
        let cut = allowance_outline(&sewing, &sides);
        assert!((area(&cut) - 125.0 * 252.0).abs() < 0.1);
        assert!(cut.iter().all(|p| p[0] > -1e-6));
    }

    #[test]
    fn a_sharp_corner_is_bevelled_at_twice_the_allowance() {
        let p = [[0.0, 0.0], [200.0, 0.0], [0.0, 20.0]];
        let curves: Vec<Curve> = (0..3).map(|i| Curve::line(p[i], p[(i + 1) % 3])).collect();
        let (sewing, flat) = outline(&curves);
        let sides: Vec<Side> =
            flat.iter().map(|points| Side { points, allowance: 10.0, is_fold: false, turned_up: false }).collect();
        let cut = allowance_outline(&sewing, &sides);
        // Cut off 20 mm out; the ends of that cut lie at most 10 mm to each side.
        assert!(cut.iter().all(|c| p.iter().any(|p| distance(*p, *c) <= 20.0_f64.hypot(10.0) + 1e-6)), "{cut:?}");
        assert!(p.iter().all(|p| distance_to_outline(&cut, *p) >= 10.0 - 1e-6), "{cut:?}");
    }

    proptest! {
        #[test]
        fn every_edge_keeps_its_allowance(
            w in 60.0_f64..400.0, h in 100.0_f64..900.0, flare in -30.0_f64..200.0, rise in 0.0_f64..30.0,
            a in 3.0_f64..40.0, b in 3.0_f64..40.0, c in 3.0_f64..40.0,
        ) {
            let knot = |at, heading| Knot { at, heading };
            let curves = [
                Curve::through(&[knot([0.0, 0.0], Some(0.0)), knot([w, -rise], None)]),
                Curve::through(&[knot([w, -rise], None), knot([w + flare * 0.6, h / 3.0], None), knot([w + flare, h], None)]),
                Curve::through(&[knot([w + flare, h], None), knot([0.0, h + 10.0], Some(std::f64::consts::PI))]),
                Curve::line([0.0, h + 10.0], [0.0, 0.0]),
            ];
            let (sewing, flat) = outline(&curves);
            let allowances = [a, b, c, 0.0];
            let sides: Vec<Side> = flat.iter().zip(allowances).enumerate()
                .map(|(i, (points, allowance))| Side { points, allowance, is_fold: i == 3, turned_up: false }).collect();
            let cut = allowance_outline(&sewing, &sides);
            for (side, allowance) in flat.iter().zip(allowances).take(3) {
                // Beside the fold the cutting outline runs along the fold itself.
                for (p, _) in side.iter().filter(|(p, _)| p[0] > 45.0) {
                    let d = distance_to_outline(&cut, *p);
                    prop_assert!(d >= allowance.min(a.min(b).min(c)) - 0.05, "{d} {allowance}");
                    prop_assert!(contains(&cut, *p));
                }
                let middle = side[side.len() / 2].0;
                if p_far(middle, side, 90.0) {
                    let d = distance_to_outline(&cut, middle);
                    prop_assert!((d - allowance).abs() < 0.05 || d < allowance, "{d} {allowance}");
                }
            }
        }
    }

    fn p_far(p: Point, side: &[(Point, f64)], mm: f64) -> bool {
        distance(p, side[0].0) > mm && distance(p, side[side.len() - 1].0) > mm
    }
}
