//! An edge with its darts closed, as a facing is taken from it: what lies beyond each
//! dart swings about its tip until the legs meet.

use std::f64::consts::PI;

use super::drawing::{DrawnEdge, DrawnPiece};
use super::walk::stretches;
use crate::geom::{Curve, Knot, Point, distance, heading, turn};

/// The edge, the next one and the one before, with the darts of the edge closed; the piece
/// itself when it has none. Further away the cloth would gape.
pub(super) fn closed<'s>(piece: &DrawnPiece<'s>, key: &str) -> DrawnPiece<'s> {
    let mut darts: Vec<_> = piece.darts.iter().filter(|dart| dart.edge == key).collect();
    let edges = piece.standing();
    let Some((at, edge)) = edges.iter().enumerate().find(|(_, edge)| edge.key == key) else { return piece.clone() };
    if darts.is_empty() {
        return piece.clone();
    }
    let start = edge.points().first().map_or([0.0; 2], |(p, _)| *p);
    let reach = |p: Point| distance(start, p);
    darts.sort_by(|a, b| reach(a.feet.0).total_cmp(&reach(b.feet.0)));
    // Each stretch swings about the tips of all darts before it, the nearest first.
    let swing = |point: (Point, f64), count: usize| {
        darts.iter().take(count).rev().fold(point, |(p, along), dart| {
            let legs = heading(dart.feet.1, dart.apex).zip(heading(dart.feet.0, dart.apex));
            let angle = legs.map_or(0.0, |(from, to)| turn(from, to));
            (swung(p, dart.apex, angle), along + angle)
        })
    };
    let mut run: Vec<(Point, f64)> = Vec::new();
    for (count, stretch) in stretches(piece, edge).into_iter().enumerate() {
        run.extend(stretch.iter().map(|point| swing(*point, count)));
    }
    // The corners are those of the neighbours, to the last digit: the outline has no gap.
    let count = edges.len();
    let corner = |step: usize, first: bool| {
        let other = edges.get((at + step) % count)?.points();
        if first { other.first().copied() } else { other.last().copied() }
    };
    if let (Some(first), Some((p, _))) = (run.first_mut(), corner(count - 1, false)) {
        first.0 = p;
    }
    if let (Some(last), Some(point)) = (run.last_mut(), corner(1, true)) {
        last.0 = swing(point, darts.len()).0;
    }
    let beyond = |edge: &DrawnEdge<'s>| {
        let points: Vec<(Point, f64)> = edge.points().iter().map(|point| swing(*point, darts.len())).collect();
        edge.along(through(&points))
    };
    let moved = (0..count)
        .filter(|i| *i < 2 || i + 1 == count)
        .filter_map(|i| {
            let other = edges.get((at + i) % count)?;
            Some(match i {
                0 => edge.along(through(&run)),
                _ if i + 1 == count => (*other).clone(),
                _ => beyond(other),
            })
        })
        .collect();
    DrawnPiece::new(moved, Vec::new()).going(piece.way_round())
}

/// The point turned about another.
fn swung(point: Point, about: Point, angle: f64) -> Point {
    let ((sin, cos), [x, y]) = (angle.sin_cos(), [point[0] - about[0], point[1] - about[1]]);
    [about[0] + x * cos - y * sin, about[1] + x * sin + y * cos]
}

/// The curve through points with their headings; a corner stays a corner.
fn through(points: &[(Point, f64)]) -> Curve {
    /// Points that turn more than this from one to the next (6°) make a corner.
    const CORNER: f64 = PI / 30.0;
    let mut parts = Vec::new();
    let mut knots: Vec<Knot> = Vec::new();
    for (at, along) in points {
        let sharp =
            knots.last().and_then(|last| last.heading).is_some_and(|before| turn(before, *along).abs() > CORNER);
        if let (true, Some(last)) = (sharp, knots.last().copied()) {
            parts.push(Curve::through(&knots));
            knots = vec![Knot { at: last.at, heading: None }, Knot { at: *at, heading: None }];
        } else {
            knots.push(Knot { at: *at, heading: Some(*along) });
        }
    }
    parts.push(Curve::through(&knots));
    Curve::joined(parts)
}
