//! What lies on the cloth, and what lies too near to what.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

use crate::geom::Point;

use super::super::words::both;
use super::super::{Lay, Layout};
use super::unfold::Cut;
use super::{Fault, Rule, WITHIN_MM};

/// All within the selvedges and within the length that the lay claims.
pub(super) fn on_cloth(cuts: &[Cut], lay: &Lay) -> Vec<Fault> {
    // Unfolded, what is folded across reaches as far up as it does down.
    let (first, last) = match lay.layout {
        Layout::Crosswise => (-lay.folded_mm, lay.used_length_mm - lay.folded_mm),
        Layout::Folded | Layout::Open => (0.0, lay.used_length_mm),
    };
    let mut faults = Vec::new();
    for cut in cuts {
        let [left, top, right, bottom] = bounds(&cut.outline);
        let over = (-left).max(right - lay.width_mm);
        if over > WITHIN_MM {
            let text = format!("{} lies beyond the selvedge by {}", cut.name, both(over));
            faults.push(Fault::new(Rule::Width, over, text));
        }
        let over = (first - top).max(bottom - last);
        if over > WITHIN_MM {
            let text = format!("{} lies beyond the end of the lay by {}", cut.name, both(over));
            faults.push(Fault::new(Rule::Length, over, text));
        }
    }
    faults
}

/// No two pieces overlap, and all keep the gap (but for strips among themselves,
/// which share a straight cut).
pub(super) fn apart(cuts: &[Cut], gap: f64) -> Vec<Fault> {
    let mut faults = Vec::new();
    let boxes: Vec<[f64; 4]> = cuts.iter().map(|cut| bounds(&cut.outline)).collect();
    for (index, (one, box_one)) in cuts.iter().zip(&boxes).enumerate() {
        for (other, box_other) in cuts.iter().zip(&boxes).skip(index + 1) {
            if one.piece == other.piece || between(box_one, box_other) >= gap {
                continue;
            }
            let depth = overlap_depth(&one.outline, &other.outline);
            if depth > WITHIN_MM {
                let text = format!("{} and {} overlap by {}", one.name, other.name, both(depth));
                faults.push(Fault::new(Rule::Overlap, depth, text));
                continue;
            }
            if gap <= WITHIN_MM || (one.is_strip && other.is_strip) {
                continue;
            }
            let missing = gap - distance(&one.outline, &other.outline, gap);
            if missing > WITHIN_MM {
                let text = format!("{} and {} are nearer than the gap by {}", one.name, other.name, both(missing));
                faults.push(Fault::new(Rule::Gap, missing, text));
            }
        }
    }
    faults
}

/// The area that two outlines share, mm².
pub(super) fn shared_area(one: &[Point], other: &[Point]) -> f64 {
    shared(one, other).iter().map(|region| area(region)).sum()
}

/// How deep two outlines run into one another, mm: at least the deepest corner (or
/// middle of a side) of what they share, and at least its area over its edge,
/// which no region is thinner than; the latter tells a piece that lies exactly on
/// another, all of whose corners are at the edge.
pub(super) fn overlap_depth(one: &[Point], other: &[Point]) -> f64 {
    let depth = |region: &Vec<Point>| {
        let corners = region.iter().zip(region.iter().cycle().skip(1));
        let edge: f64 = corners.clone().map(|(p, q)| (q[0] - p[0]).hypot(q[1] - p[1])).sum();
        let thin = if edge > 0.0 { area(region) / edge } else { 0.0 };
        // Nothing lies deeper in a region than half its lesser breadth; a region of
        // no breadth to speak of is where two pieces touch.
        let [left, top, right, bottom] = bounds(region);
        if (right - left).min(bottom - top) <= WITHIN_MM {
            return thin.min(WITHIN_MM);
        }
        let points = corners.flat_map(|(p, q)| [*p, [f64::midpoint(p[0], q[0]), f64::midpoint(p[1], q[1])]]);
        points.map(|p| from_edge(p, one).max(from_edge(p, other))).fold(thin, f64::max)
    };
    shared(one, other).iter().map(depth).fold(0.0, f64::max)
}

/// The regions that two outlines share. Their holes are left out: pieces have none.
fn shared(one: &[Point], other: &[Point]) -> Vec<Vec<Point>> {
    let (one, other) = (one.to_vec(), other.to_vec());
    let shapes = one.overlay_as::<i64>(&other, OverlayRule::Intersect, FillRule::NonZero);
    shapes.into_iter().filter_map(|shape| shape.into_iter().next()).collect()
}

/// Reckoned from the first point: a sliver far from the origin would otherwise lose
/// its area to rounding.
fn area(outline: &[Point]) -> f64 {
    let Some(from) = outline.first() else { return 0.0 };
    let corners = outline.iter().zip(outline.iter().skip(1));
    let twice = corners.map(|(p, q)| (p[0] - from[0]) * (q[1] - from[1]) - (q[0] - from[0]) * (p[1] - from[1]));
    (twice.sum::<f64>() / 2.0).abs()
}

/// `[left, top, right, bottom]`.
fn bounds(outline: &[Point]) -> [f64; 4] {
    outline.iter().fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |b, p| {
        [b[0].min(p[0]), b[1].min(p[1]), b[2].max(p[0]), b[3].max(p[1])]
    })
}

/// A lower bound of the distance of what two boxes hold; negative where they overlap.
fn between(one: &[f64; 4], other: &[f64; 4]) -> f64 {
    let across = (other[0] - one[2]).max(one[0] - other[2]);
    let along = (other[1] - one[3]).max(one[1] - other[3]);
    across.max(along)
}

/// The least distance between the edges of two outlines; `enough` where it is more.
fn distance(one: &[Point], other: &[Point], enough: f64) -> f64 {
    let box_other = bounds(other);
    let mut least = enough;
    for (p, q) in one.iter().zip(one.iter().cycle().skip(1)) {
        let side = bounds(&[*p, *q]);
        if between(&side, &box_other) >= least {
            continue;
        }
        for (r, s) in other.iter().zip(other.iter().cycle().skip(1)) {
            if between(&side, &bounds(&[*r, *s])) < least {
                // Sides that do not cross are nearest at an end of one of them.
                least = [side_from(*p, *r, *s), side_from(*q, *r, *s), side_from(*r, *p, *q), side_from(*s, *p, *q)]
                    .into_iter()
                    .fold(least, f64::min);
            }
        }
    }
    least
}

/// Distance of a point from the edge of an outline.
fn from_edge(p: Point, outline: &[Point]) -> f64 {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    sides.map(|(a, b)| side_from(p, *a, *b)).fold(f64::INFINITY, f64::min)
}

/// Distance of a point from a straight side.
fn side_from(p: Point, a: Point, b: Point) -> f64 {
    let (ux, uy, wx, wy) = (b[0] - a[0], b[1] - a[1], p[0] - a[0], p[1] - a[1]);
    let square = ux * ux + uy * uy;
    let share = if square > 0.0 { ((wx * ux + wy * uy) / square).clamp(0.0, 1.0) } else { 0.0 };
    (wx - share * ux).hypot(wy - share * uy)
}
