//! Walking an edge as it is sewn: its darts closed, its pleats laid.

use super::drawing::{DrawnEdge, DrawnPiece};
use super::pleat::folds_on;
use crate::geom::{Point, SAME_POINT_MM, distance, turn};

/// A place on an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place<'a> {
    /// The key of the edge.
    pub edge: &'a str,
    pub at: Point,
    /// The heading of the edge there.
    pub heading: f64,
}

/// The stretches of an edge between the mouths of its darts.
pub(super) fn stretches<'a>(piece: &DrawnPiece<'_>, edge: &'a DrawnEdge<'_>) -> Vec<&'a [(Point, f64)]> {
    let is_mouth = |run: &[(Point, f64)]| {
        let ends = [run.first(), run.last()];
        let on = |peak: Point| ends.iter().flatten().any(|(p, _)| distance(*p, peak) <= SAME_POINT_MM);
        piece.darts.iter().any(|dart| dart.edge == edge.key && on(dart.peak))
    };
    edge.runs().filter(|run| !is_mouth(run)).collect()
}

/// The place `mm` along an edge as it is sewn.
pub(super) fn place_on<'a>(piece: &DrawnPiece<'_>, edge: &'a DrawnEdge<'_>, mm: f64) -> Option<Place<'a>> {
    let laid = folds_on(piece, edge.key).into_iter().filter(|fold| fold.at < mm - SAME_POINT_MM);
    open_place(piece, edge, mm + laid.map(|fold| fold.take).sum::<f64>())
}

/// The place `mm` along an edge with its darts closed and its pleats open.
pub(super) fn open_place<'a>(piece: &DrawnPiece<'_>, edge: &'a DrawnEdge<'_>, mm: f64) -> Option<Place<'a>> {
    let mut left = mm.max(0.0);
    let mut end = None;
    for run in stretches(piece, edge) {
        for (a, b) in run.iter().zip(run.iter().skip(1)) {
            let step = distance(a.0, b.0);
            if step > 0.0 && left <= step {
                let t = left / step;
                let at = [a.0[0] + (b.0[0] - a.0[0]) * t, a.0[1] + (b.0[1] - a.0[1]) * t];
                return Some(Place { edge: edge.key, at, heading: a.1 + turn(a.1, b.1) * t });
            }
            left -= step;
            end = Some(Place { edge: edge.key, at: b.0, heading: b.1 });
        }
    }
    end
}
