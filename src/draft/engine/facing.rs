//! Facings: the top of a piece (or any edge of it), as deep as asked.

use super::closed::closed;
use super::drawing::{DrawnEdge, DrawnPiece};
use crate::geom::{Curve, Knot, Point, crossing, distance, heading, length_along, turn};

/// The facing of `edge`, `depth` mm deep: the edge itself, the first part of the
/// next edge, the parallel (`lower`), the last part of the edge before.
///
/// Darts of the edge are closed first. With `less` the faced edge itself lies that much
/// inside, so that the seam rolls to the inside (the turn of the cloth).
pub(super) fn facing<'s>(
    piece: &DrawnPiece<'s>,
    edge: &str,
    depth: f64,
    less: f64,
    lower_allow: f64,
) -> Result<DrawnPiece<'s>, String> {
    let whole = closed(piece, edge);
    let (piece, pleats) = (&whole, &piece.pleats);
    let edges = piece.standing();
    let too_deep =
        |key: &str| format!("The facing is {depth:.0} mm deep and runs off the end of “{key}”. Make it shallower.");
    let Some(at) = edges.iter().position(|e| e.key == edge) else {
        return Err(format!("“{edge}” has no length, so there is nothing to face."));
    };
    if pleats.iter().any(|pleat| pleat.edge == edge) {
        return Err(format!("“{edge}” has pleats: set it to a band, or face it from a piece of its finished length."));
    }
    let beside = |step: usize| edges.get((at + step) % edges.len()).copied();
    let (Some(faced), Some(next), Some(before)) = (beside(0), beside(1), beside(edges.len().saturating_sub(1))) else {
        return Err(too_deep(edge));
    };
    let inner = extended(&piece.parallel(faced, depth), depth);
    let mut next_part = next.curve.part(meeting(next.points(), &inner, true).ok_or_else(|| too_deep(next.key))?, true);
    let mut before_part =
        before.curve.part(meeting(before.points(), &inner, false).ok_or_else(|| too_deep(before.key))?, false);
    let (Some(from), Some(to)) = (next_part.end(), before_part.start()) else { return Err(too_deep(edge)) };
    // The parallel from the next edge back to the one before, between the two meetings.
    let mut lower: Vec<Point> = vec![from];
    let (from_end, to_end) = (along(&inner, from), along(&inner, to));
    let walked = walked_at(&inner);
    let middle = inner.iter().zip(&walked).take(inner.len().saturating_sub(1)).skip(1);
    lower.extend(middle.rev().filter(|(_, at)| **at < from_end - 0.5 && **at > to_end + 0.5).map(|(p, _)| *p));
    lower.push(to);
    let mut upper = faced.curve.clone();
    if less > 0.0 {
        let outer = extended(&piece.parallel(faced, less), less);
        let past = |edge: &DrawnEdge<'_>, from_start| meeting(edge.points(), &outer, from_start).unwrap_or(0.0);
        next_part = next_part.part(next_part.length() - past(next, true), false);
        before_part = before_part.part(before_part.length() - past(before, false), true);
        let ends = before_part.end().zip(next_part.start());
        let (first, last) = ends.ok_or_else(|| too_deep(edge))?;
        let headed = |at, p: &(Point, f64)| Knot { at, heading: Some(p.1) };
        let inside = piece.parallel(faced, less);
        let (Some(a), Some(b)) = (inside.first(), inside.last()) else { return Err(too_deep(edge)) };
        let middle = inside.get(1..inside.len().saturating_sub(1)).unwrap_or_default().iter();
        let knots = [headed(first, a)].into_iter().chain(middle.map(|p| headed(p.0, p))).chain([headed(last, b)]);
        upper = Curve::through(&knots.collect::<Vec<_>>());
    }
    // A fold is met square already; beside a side that leans the lower edge is trued.
    let next_way = next_part.end_heading().filter(|_| !next.is_fold);
    let before_way = before_part.start_heading().filter(|_| !before.is_fold);
    Ok(DrawnPiece::new(
        vec![
            faced.along(upper),
            next.along(next_part),
            DrawnEdge::new("lower", false, squared(&lower, next_way, before_way), lower_allow),
            before.along(before_part),
        ],
        Vec::new(),
    ))
}

/// The lower edge is bent over this much of its length to meet a side square, mm: an
/// inch, as a cutter trues it (judgement); a third of the edge where it is shorter.
const TRUED_MM: f64 = 25.4;

/// The run as a curve that meets the sides square where their headings are given, so
/// that the facings' lower edges run on over the joined seam.
fn squared(run: &[Point], at_start: Option<f64>, at_end: Option<f64>) -> Curve {
    let reversed = |points: &[Point]| points.iter().rev().copied().collect::<Vec<Point>>();
    let (rest, end) = bent(run, at_end);
    let (rest, start) = bent(&reversed(&rest), at_start);
    let start = start.map(|(from, to)| Curve::through(&[turned_back(to), turned_back(from)]));
    let end = end.map(|(from, to)| Curve::through(&[from, to]));
    Curve::joined(start.into_iter().chain([Curve::polyline(&reversed(&rest))]).chain(end))
}

fn turned_back(knot: Knot) -> Knot {
    Knot { heading: knot.heading.map(|along| along + std::f64::consts::PI), ..knot }
}

/// The run without its last stretch, and that stretch as two knots: as the run lies,
/// then square to the side.
fn bent(run: &[Point], side: Option<f64>) -> (Vec<Point>, Option<(Knot, Knot)>) {
    let whole = || (run.to_vec(), None);
    let (Some(side), [.., near, last]) = (side, run) else { return whole() };
    let Some(along) = heading(*near, *last) else { return whole() };
    let right = std::f64::consts::FRAC_PI_2;
    let square = if turn(side + right, along).abs() < right { side + right } else { side - right };
    let keep = length_along(run) - TRUED_MM.min(length_along(run) / 3.0);
    let mut kept: Vec<Point> = run.first().copied().into_iter().collect();
    let mut walked = 0.0;
    for (a, b) in run.iter().zip(run.iter().skip(1)) {
        let step = distance(*a, *b);
        if walked + step >= keep {
            let t = if step > 0.0 { (keep - walked) / step } else { 0.0 };
            kept.push([a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]);
            let Some(at) = kept.last().copied() else { return whole() };
            let knot = |at, heading| Knot { at, heading };
            return (kept, Some((knot(at, heading(*a, *b)), knot(*last, Some(square)))));
        }
        kept.push(*b);
        walked += step;
    }
    whole()
}

/// The run of points with a straight piece of `mm` added at both ends.
pub(super) fn extended(points: &[(Point, f64)], mm: f64) -> Vec<Point> {
    let mut run: Vec<Point> = points.iter().map(|(p, _)| *p).collect();
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        let (fs, fc) = first.1.sin_cos();
        let (ls, lc) = last.1.sin_cos();
        run.insert(0, [first.0[0] - fc * mm, first.0[1] - fs * mm]);
        run.push([last.0[0] + lc * mm, last.0[1] + ls * mm]);
    }
    run
}

/// How far along an edge (from its start or from its end) the run crosses it.
pub(super) fn meeting(edge: &[(Point, f64)], run: &[Point], from_start: bool) -> Option<f64> {
    let mut points: Vec<Point> = edge.iter().map(|(p, _)| *p).collect();
    if !from_start {
        points.reverse();
    }
    let mut walked = 0.0;
    for (a, b) in points.iter().zip(points.iter().skip(1)) {
        for (c, d) in run.iter().zip(run.iter().skip(1)) {
            if let Some(place) = crossing(*a, *b, *c, *d) {
                return Some(walked + distance(*a, place));
            }
        }
        walked += distance(*a, *b);
    }
    None
}

/// How far along the run each of its points lies.
fn walked_at(run: &[Point]) -> Vec<f64> {
    let mut walked = 0.0;
    let mut all = Vec::with_capacity(run.len());
    all.extend(run.first().map(|_| walked));
    all.extend(run.iter().zip(run.iter().skip(1)).map(|(a, b)| {
        walked += distance(*a, *b);
        walked
    }));
    all
}

/// How far along the run a point on it lies.
fn along(run: &[Point], point: Point) -> f64 {
    let mut walked = 0.0;
    let mut best = (f64::INFINITY, 0.0);
    for (a, b) in run.iter().zip(run.iter().skip(1)) {
        let size = distance(*a, *b);
        if size > 0.0 {
            let t = (((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / (size * size))
                .clamp(0.0, 1.0);
            let off = distance(point, [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
            if off < best.0 {
                best = (off, walked + t * size);
            }
        }
        walked += size;
    }
    best.1
}
