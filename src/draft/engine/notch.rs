//! Notches: marks at the same distance along two runs of edges that are sewn together.

use super::super::drafted::Piece;
use super::super::fault::Fault;
use super::super::formula::{Expr, Scope, edges_of};
use super::super::marked::Notch;
use super::super::style::{NotchRule, Style};
use super::drawing::{Drawing, DrawnPiece};
use super::walk::{Place, place_on};

/// Marks every notch of the style on its pieces.
pub(super) fn set_notches(
    style: &Style,
    drawing: &Drawing<'_>,
    scope: &Scope<'_, '_>,
    pieces: &mut [Piece],
) -> Result<(), Fault> {
    for rule in &style.notches {
        if !rule.when.as_ref().map_or(Ok(true), |when| scope.yes(when))? {
            continue;
        }
        let at = scope.length(&rule.at)?;
        mark(style, rule, &rule.on, at, drawing, pieces)?;
        if let Some(with) = &rule.with {
            let with_at = met_at(rule, with, at, scope)?;
            mark(style, rule, with, with_at, drawing, pieces)?;
        }
    }
    Ok(())
}

/// How far from its start the other run has the notch.
pub(super) fn met_at(rule: &NotchRule, with: &Expr, at: f64, scope: &Scope<'_, '_>) -> Result<f64, Fault> {
    let along = rule.with_at.as_ref().map_or(Ok(at), |along| scope.length(along))?;
    Ok(if rule.with_start == Some(false) { scope.length(with)? - along } else { along })
}

fn mark(
    style: &Style,
    rule: &NotchRule,
    run: &Expr,
    at: f64,
    drawing: &Drawing<'_>,
    pieces: &mut [Piece],
) -> Result<(), Fault> {
    let edges = edges_of(run);
    let Some((key, _)) = edges.first() else { return Ok(()) };
    // A piece that this order does not have carries no notch.
    let Some(drawn) = drawing.pieces.get(*key) else { return Ok(()) };
    let keys: Vec<&str> = edges.iter().map(|(_, edge)| *edge).collect();
    let Some(Place { edge, at, heading }) = run_place(drawn, &keys, at) else {
        let message = format!(
            "The notch “{}” lies {:.0} mm along {key}, beyond the ends of the run it stands on. Move it.",
            rule.key, at
        );
        return Err(Fault::new(rule.at.at, message));
    };
    let outward = heading - drawn.way_round() * std::f64::consts::FRAC_PI_2;
    for piece in pieces.iter_mut().filter(|piece| piece.key == *key) {
        let allowance_mm = piece.edges.iter().find(|e| e.key == edge).map_or(0.0, |e| e.allowance_mm);
        let label = style.label_of(&rule.key);
        piece.notches.push(Notch { label, edge: edge.into(), at, heading: outward, allowance_mm, double: rule.double });
    }
    Ok(())
}

/// The place `mm` along a run of edges, darts and pleats closed.
fn run_place<'a>(piece: &'a DrawnPiece<'_>, keys: &[&str], mm: f64) -> Option<Place<'a>> {
    /// What is this little beyond an end is on it, mm.
    const NEAR_MM: f64 = 0.05;
    /// What falls on a corner belongs to the edge before it, however its length was rounded, mm.
    const TIE_MM: f64 = 1e-6;
    let run: Vec<_> = keys.iter().filter_map(|key| piece.edge(key)).filter(|edge| !edge.is_empty()).collect();
    let whole: f64 = run.iter().map(|edge| edge.length()).sum();
    if !(-NEAR_MM..=whole + NEAR_MM).contains(&mm) {
        return None;
    }
    let mut left = mm.clamp(0.0, whole);
    let last = run.last().copied();
    for edge in run {
        if left <= edge.length() + TIE_MM {
            return place_on(piece, edge, left.min(edge.length()));
        }
        left -= edge.length();
    }
    last.and_then(|edge| place_on(piece, edge, edge.length()))
}
