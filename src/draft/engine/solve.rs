//! Finding an unknown so that two lengths agree.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::formula::{Expr, Node, Scope, Value};
use super::super::style::{SolveRule, Style};
use super::drawing::Drawing;
use super::shape::draw;
use crate::measure::{Length, Showing};

/// Lengths are brought this near, mm: a hundredth of the finest tolerance.
const NEAR_MM: f64 = 1e-3;
/// False position with halving (the Illinois rule) needs about 8 steps; 60 always suffice.
const MOST_STEPS: usize = 60;

/// What a search found.
pub(super) enum Found {
    /// The unknown, mm, and the length that it makes.
    Value(f64, f64),
    /// Nothing between the limits will do, in words.
    Nothing(String),
}

/// The unknown of `rule`.
pub(super) fn solve(
    style: &Style,
    rule: &SolveRule,
    given: &HashMap<String, Value>,
    showing: Showing,
) -> Result<Found, Fault> {
    let scope = Scope { values: given, shapes: None };
    let (least, most) = (scope.length(&rule.least)?, scope.length(&rule.most)?);
    let pieces = measured_pieces([&rule.left, &rule.right]);
    let mut values = given.clone();
    // Unknowns that are found later stand at their most meanwhile: what is measured
    // here must not depend on them.
    for later in style.solves.iter().filter(|other| other.key != rule.key) {
        if !values.contains_key(&later.key) {
            let most = scope.length(&later.most)?;
            values.insert(later.key.clone(), Value::mm(most));
        }
    }
    let mut miss = |x: f64| -> Result<(f64, f64), Fault> {
        values.insert(rule.key.clone(), Value::mm(x));
        let scope = Scope { values: &values, shapes: None };
        let mut drawing = Drawing::default();
        for piece in style.pieces.iter().filter(|p| pieces.contains(&p.key.as_str())) {
            drawing.pieces.insert(piece.key.clone(), draw(style, piece, &scope)?);
        }
        let scope = Scope { values: &values, shapes: Some(&drawing) };
        let (left, right) = (scope.length(&rule.left)?, scope.length(&rule.right)?);
        Ok((left - right, left))
    };
    let (mut a, mut b) = (least, most);
    let ((mut fa, la), (mut fb, lb)) = (miss(a)?, miss(b)?);
    for (x, f, length) in [(a, fa, la), (b, fb, lb)] {
        if f.abs() <= NEAR_MM {
            return Ok(Found::Value(x, length));
        }
    }
    if fa * fb > 0.0 {
        let told = |mm: f64| Length::from_mm(mm).map_or_else(|| format!("{mm:.1} mm"), |l| showing.with_unit(l));
        return Ok(Found::Nothing(format!(
            "{} cannot be drawn: between {} and {} the curve always comes out too {}. Check the measures and lengths.",
            style.label_of(&rule.key),
            told(least),
            told(most),
            if fa > 0.0 { "long" } else { "short" }
        )));
    }
    let mut side = 0;
    for _ in 0..MOST_STEPS {
        let x = (a * fb - b * fa) / (fb - fa);
        let (f, length) = miss(x)?;
        if f.abs() <= NEAR_MM {
            return Ok(Found::Value(x, length));
        }
        if f * fb > 0.0 {
            (b, fb) = (x, f);
            if side == -1 {
                fa /= 2.0;
            }
            side = -1;
        } else {
            (a, fa) = (x, f);
            if side == 1 {
                fb /= 2.0;
            }
            side = 1;
        }
    }
    Ok(Found::Nothing(format!("{} cannot be found for these figures.", style.label_of(&rule.key))))
}

/// The pieces that the formulas measure.
fn measured_pieces(exprs: [&Expr; 2]) -> Vec<&str> {
    let mut pieces = Vec::new();
    for expr in exprs {
        expr.visit(&mut |part| match &part.node {
            Node::EdgeLength(piece, _)
            | Node::Width(piece, _)
            | Node::Height(piece, _)
            | Node::Below { piece, .. }
            | Node::Coordinate { piece, .. } => pieces.push(piece.as_str()),
            _ => {}
        });
    }
    pieces
}
