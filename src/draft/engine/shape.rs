//! Drawing one piece: its outline's words to curves.

use std::f64::consts::FRAC_PI_2;

use super::super::fault::Fault;
use super::super::formula::Scope;
use super::super::style::{EdgeKind, EdgeRule, End, PieceRule, Style};
use super::drawing::{DrawnChalk, DrawnPiece};
use super::pleat::set_pleats;
use super::ring::{Gap, Ring, RingEdge};
use crate::geom::{Curve, Knot, Point, SAME_POINT_MM, distance, heading, turn};

/// Draws a piece with its darts, turned as the style says, for the values of `scope`.
pub(super) fn draw<'s>(style: &'s Style, rule: &'s PieceRule, scope: &Scope<'_, '_>) -> Result<DrawnPiece<'s>, Fault> {
    let mut ring = outlined(rule, scope)?;
    let points: usize = ring.edges.iter().flat_map(|edge| &edge.parts).map(Curve::steps).sum();
    if points > MOST_POINTS {
        let message =
            format!("“{}” is drawn with {points} points; at most {MOST_POINTS} are. Draw fewer curves.", rule.key);
        return Err(Fault::new(rule.outline.edges.first().map_or_else(Default::default, |e| e.span), message));
    }
    ring.set_darts(style, &rule.key, scope)?;
    ring.turn_darts(style, &rule.key, scope)?;
    let mut piece = set_pleats(style, &rule.key, ring.drawn(), scope)?;
    piece.steps = points;
    let turned = rule.turned_over.as_ref().map_or(Ok(false), |condition| scope.yes(condition))?;
    Ok(if turned { piece.turned_over() } else { piece })
}

/// So many points the curves of one piece may have; the most of the book is under 1,000.
const MOST_POINTS: usize = 5_000;

/// No allowance is wider, mm: what is wider than 1 m is cloth of the piece.
const WIDEST_MM: f64 = 1_000.0;

/// The outline alone, with the openings of the darts that are drawn in it.
fn outlined<'s>(rule: &'s PieceRule, scope: &Scope<'_, '_>) -> Result<Ring<'s>, Fault> {
    let outline = &rule.outline;
    let start = scope.place(&outline.start.1)?;
    let mut ends = Vec::with_capacity(outline.edges.len());
    let mut from = start;
    for edge in &outline.edges {
        let to = match &edge.at {
            Some(at) => scope.place(at)?,
            None => start,
        };
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
        if allow > WIDEST_MM {
            return Err(Fault::new(
                edge.span,
                format!("The allowance of “{}” is more than 1 m wide. Draw it.", edge.key),
            ));
        }
        let (mut parts, mut gaps) = (vec![curve], Vec::new());
        if let (EdgeKind::Dart, Some(about)) = (edge.kind, &edge.about) {
            parts.clear();
            gaps.push(Gap { key: &edge.key, apex: scope.place(about)?, toward_start: edge.toward_start });
        }
        let is_fold = edge.kind == EdgeKind::Fold;
        let turned_up = edge.turned_up && edge.turned_when.as_ref().map_or(Ok(true), |when| scope.yes(when))?;
        edges.push(RingEdge { key: &edge.key, to: &edge.to, is_fold, allow, turned_up, parts, gaps });
    }
    let mut marks = Vec::with_capacity(rule.marks.len() + rule.outline.edges.len() + 1);
    for mark in &rule.marks {
        marks.push((mark.key.as_str(), scope.place(&mark.place)?));
    }
    let mut chalk = Vec::with_capacity(rule.chalk.len());
    for (label, from, to) in &rule.chalk {
        let (from, to) = (scope.place(from)?, scope.place(to)?);
        chalk.push(DrawnChalk { label, from, to, mm: distance(from, to) });
    }
    Ok(Ring { edges, start: &outline.start.0, marks, darts: Vec::new(), chalk })
}

/// The curves of all edges; those that stand square to a neighbour come after it.
fn curves(edges: &[EdgeRule], ends: &[(Point, Point)], scope: &Scope<'_, '_>) -> Result<Vec<Curve>, Fault> {
    let mut curves: Vec<Option<Curve>> = vec![None; edges.len()];
    let empty = |i: usize| {
        edges.get(i).zip(ends.get(i)).is_some_and(|(e, (a, b))| {
            e.kind == EdgeKind::Dart || (e.through.is_empty() && distance(*a, *b) <= SAME_POINT_MM)
        })
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
                (EdgeKind::Arc, Some(about)) => Curve::arc(scope.place(about)?, *from, *to),
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

fn knots(edge: &EdgeRule, from: Point, to: Point, scope: &Scope<'_, '_>) -> Result<Vec<Knot>, Fault> {
    let leaving = match &edge.leaving {
        Some(End::Angle(angle)) => Some(scope.angle(angle)?),
        Some(End::Tangent(at)) => heading(from, scope.place(at)?),
        Some(End::Square) | None => None,
    };
    let arriving = match &edge.arriving {
        Some(End::Angle(angle)) => Some(scope.angle(angle)?),
        Some(End::Tangent(at)) => heading(scope.place(at)?, to),
        Some(End::Square) | None => None,
    };
    let mut knots = vec![Knot { at: from, heading: leaving }];
    for (at, angle) in &edge.through {
        let heading = angle.as_ref().map(|angle| scope.angle(angle)).transpose()?;
        knots.push(Knot { at: scope.place(at)?, heading });
    }
    knots.push(Knot { at: to, heading: arriving });
    Ok(knots)
}
