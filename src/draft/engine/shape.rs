//! Drawing one piece: its outline's words to curves.

use std::collections::HashMap;
use std::f64::consts::FRAC_PI_2;

use super::super::fault::Fault;
use super::super::formula::Scope;
use super::super::style::{At, EdgeKind, EdgeRule, End, PieceRule, Style};
use super::dart::set_darts;
use super::drawing::{DrawnEdge, DrawnPiece};
use super::pleat::set_pleats;
use crate::geom::{Curve, Knot, Point, SAME_POINT_MM, distance, heading, turn};

/// Draws a piece with its darts for the values of `scope`.
pub(super) fn draw(style: &Style, rule: &PieceRule, scope: &Scope<'_>) -> Result<DrawnPiece, Fault> {
    let plain = outlined(rule, scope)?;
    let darted = set_darts(style, &rule.key, &plain, scope)?.unwrap_or(plain);
    Ok(set_pleats(style, &rule.key, &darted, scope)?.unwrap_or(darted))
}

/// The outline alone.
fn outlined(rule: &PieceRule, scope: &Scope<'_>) -> Result<DrawnPiece, Fault> {
    let outline = &rule.outline;
    let start = place(&outline.start.1, scope)?;
    let mut points = HashMap::from([(outline.start.0.clone(), start)]);
    let mut ends = Vec::with_capacity(outline.edges.len());
    let mut from = start;
    for edge in &outline.edges {
        let to = match &edge.at {
            Some(at) => place(at, scope)?,
            None => start,
        };
        points.insert(edge.to.clone(), to);
        ends.push((from, to));
        from = to;
    }
    let curves = curves(&outline.edges, &ends, scope)?;
    let mut edges = Vec::with_capacity(curves.len());
    for (edge, curve) in outline.edges.iter().zip(curves) {
        let allow = match &edge.allow {
            Some(allow) => scope.length(allow)?,
            None => 0.0,
        };
        if allow < 0.0 {
            return Err(Fault::new(edge.span, format!("The allowance of “{}” is less than nothing.", edge.key)));
        }
        let hem = edge.turned_up && edge.turned_when.as_ref().map_or(Ok(true), |when| scope.yes(when))?;
        edges.push(DrawnEdge::new(&edge.key, edge.kind == EdgeKind::Fold, curve, allow).turned_up(hem));
    }
    let turned = match &rule.turned_over {
        Some(condition) => scope.yes(condition)?,
        None => false,
    };
    if turned {
        for edge in &mut edges {
            let over = DrawnEdge::new(&edge.key, edge.is_fold, edge.curve.turned_over(), edge.allow);
            *edge = over.turned_up(edge.turned_up);
        }
        for point in points.values_mut() {
            point[0] = -point[0];
        }
    }
    Ok(DrawnPiece::new(edges, points))
}

/// A place in mm.
pub(super) fn place(at: &At, scope: &Scope<'_>) -> Result<Point, Fault> {
    Ok([scope.length(&at.0)?, scope.length(&at.1)?])
}

/// The curves of all edges; those that stand square to a neighbour come after it.
fn curves(edges: &[EdgeRule], ends: &[(Point, Point)], scope: &Scope<'_>) -> Result<Vec<Curve>, Fault> {
    let mut curves: Vec<Option<Curve>> = vec![None; edges.len()];
    let empty = |i: usize| {
        edges
            .get(i)
            .zip(ends.get(i))
            .is_some_and(|(e, (a, b))| e.through.is_empty() && distance(*a, *b) <= SAME_POINT_MM)
    };
    let beside = |i: usize, step: usize| {
        // The next edge (step 1) or the one before (step len − 1) that has length.
        (1..edges.len()).map(|k| (i + k * step) % edges.len()).find(|j| !empty(*j))
    };
    for round in 0..2 {
        for (i, (edge, (from, to))) in edges.iter().zip(ends).enumerate() {
            if curves.get(i).is_some_and(Option::is_some) {
                continue;
            }
            let neighbour = |step: usize| beside(i, step).and_then(|j| Some((edges.get(j)?, curves.get(j)?.as_ref())));
            let (before, after) = (neighbour(edges.len().saturating_sub(1)), neighbour(1));
            let wants = |end: &Option<End>, next: &Option<(&EdgeRule, Option<&Curve>)>| match end {
                Some(End::Square) => true,
                // Unless it says otherwise, a curve meets a fold at a right angle.
                None => edge.kind == EdgeKind::Curve && next.is_some_and(|(e, _)| e.kind == EdgeKind::Fold),
                Some(_) => false,
            };
            let (square_start, square_end) = (wants(&edge.leaving, &before), wants(&edge.arriving, &after));
            if round == 0 && (square_start || square_end) {
                continue;
            }
            let mut knots = knots(edge, *from, *to, scope)?;
            let stuck = || {
                let message =
                    format!("“{}” stands square to an edge that waits for it. Give one of them an angle.", edge.key);
                Fault::new(edge.span, message)
            };
            if square_start {
                let other = before.and_then(|(_, c)| c).and_then(Curve::end_heading).ok_or_else(stuck)?;
                if let [first, second, ..] = knots.as_mut_slice() {
                    first.heading = Some(square(other, heading(first.at, second.at).unwrap_or(other)));
                }
            }
            if square_end {
                let other = after.and_then(|(_, c)| c).and_then(Curve::start_heading).ok_or_else(stuck)?;
                if let [.., second, last] = knots.as_mut_slice() {
                    last.heading = Some(square(other, heading(second.at, last.at).unwrap_or(other)));
                }
            }
            let curve = match (edge.kind, &edge.about) {
                (EdgeKind::Arc, Some(about)) => Curve::arc(place(about, scope)?, *from, *to),
                (EdgeKind::Curve, _) => Curve::through(&knots),
                _ => Curve::line(*from, *to),
            };
            if let Some(slot) = curves.get_mut(i) {
                *slot = Some(curve);
            }
        }
    }
    Ok(curves.into_iter().flatten().collect())
}

/// The right angle to `other` that is nearest to the way the curve goes.
fn square(other: f64, along: f64) -> f64 {
    let (left, right) = (other - FRAC_PI_2, other + FRAC_PI_2);
    if turn(left, along).abs() < turn(right, along).abs() { left } else { right }
}

fn knots(edge: &EdgeRule, from: Point, to: Point, scope: &Scope<'_>) -> Result<Vec<Knot>, Fault> {
    let leaving = match &edge.leaving {
        Some(End::Angle(angle)) => Some(scope.angle(angle)?),
        Some(End::Tangent(at)) => heading(from, place(at, scope)?),
        Some(End::Square) | None => None,
    };
    let arriving = match &edge.arriving {
        Some(End::Angle(angle)) => Some(scope.angle(angle)?),
        Some(End::Tangent(at)) => heading(place(at, scope)?, to),
        Some(End::Square) | None => None,
    };
    let mut knots = vec![Knot { at: from, heading: leaving }];
    for (at, angle) in &edge.through {
        let heading = angle.as_ref().map(|angle| scope.angle(angle)).transpose()?;
        knots.push(Knot { at: place(at, scope)?, heading });
    }
    knots.push(Knot { at: to, heading: arriving });
    Ok(knots)
}
