//! Truths of seams: they walk, carry equal allowance, and run on at their ends.

use super::super::super::drafted::{Seam, Truth};
use super::super::super::fault::Fault;
use super::super::super::formula::{Binary, Expr, Node};
use super::super::super::style::SeamRule;
use super::super::drawing::{DrawnEdge, DrawnPiece};
use super::{CORNER, Proof, truth};
use crate::geom::{Point, turn};

/// Allowances that differ by less are one allowance, mm.
const SAME_ALLOWANCE_MM: f64 = 0.05;

pub(super) fn applies(seam: &SeamRule, proof: &Proof<'_>) -> Result<bool, Fault> {
    seam.when.as_ref().map_or(Ok(true), |when| proof.scope.yes(when))
}

/// The seams of this order, for whoever must know what meets what.
pub(in super::super) fn joined(proof: &Proof<'_>) -> Result<Vec<Seam>, Fault> {
    let mut seams = Vec::new();
    for seam in &proof.style.seams {
        if !applies(seam, proof)? {
            continue;
        }
        let run = |expr: &Expr| -> Result<Vec<(String, String)>, Fault> {
            let mut found = Vec::new();
            edges(expr, proof, &mut found)?;
            Ok(found.into_iter().map(|(piece, edge)| (piece.into(), edge.into())).collect())
        };
        let (left, right) = (run(&seam.left)?, run(&seam.right)?);
        let fullness = seam.fullness.as_ref().map_or(Ok(1.0), |f| proof.scope.number(f))?;
        let ease = seam.ease.as_ref().map_or(Ok(0.0), |e| proof.scope.length(e))?;
        let lies_inside = |(piece, _): &(String, String)| {
            let faces = proof.style.facings.iter().any(|facing| facing.key == *piece);
            faces || proof.style.linings.iter().any(|lining| lining.key == *piece)
        };
        seams.push(Seam {
            label: proof.style.label_of(&seam.key),
            eased: ease.abs() > SAME_ALLOWANCE_MM,
            gathered: (fullness - 1.0).abs() > 1e-9,
            inner: left.iter().chain(&right).any(lies_inside),
            left,
            right,
        });
    }
    Ok(seams)
}

/// Each declared seam: its two runs are equal, or in the declared ratio.
pub(super) fn walk(proof: &Proof<'_>) -> Result<Vec<Truth>, Fault> {
    let mut truths = Vec::new();
    if proof.style.seams.is_empty() && proof.style.kind.must_pass() {
        truths.push(truth("Seams walk", vec!["no seam is declared in [seams]".into()], ""));
    }
    for seam in &proof.style.seams {
        if !applies(seam, proof)? {
            continue;
        }
        let (left, right) = (proof.scope.length(&seam.left)?, proof.scope.length(&seam.right)?);
        let fullness = seam.fullness.as_ref().map_or(Ok(1.0), |f| proof.scope.number(f))?;
        let ease = seam.ease.as_ref().map_or(Ok(0.0), |e| proof.scope.length(e))?;
        let off = left - (right * fullness + ease);
        let mut found = proof.told(left);
        if (fullness - 1.0).abs() > 1e-9 {
            found = format!("{found} gathered to {}", proof.told(right));
        }
        if ease.abs() > 1e-9 {
            let how = if ease > 0.0 { "shorter and stretched to it" } else { "longer and eased in" };
            found = format!("{found}, the other side {} {how}", proof.told(ease.abs()));
        }
        let faults = if off.abs() > proof.tolerance() + turn_of_cloth(seam, proof)? {
            vec![format!(
                "{} against {}: {} apart",
                proof.told(left),
                proof.told(right * fullness + ease),
                proof.by(off)
            )]
        } else {
            Vec::new()
        };
        truths.push(truth(format!("{} walk", proof.style.label_of(&seam.key)), faults, found));
    }
    Ok(truths)
}

/// By how much a facing that is drawn less for the turn of the cloth may differ from its
/// edge: the parallel of a curve is longer or shorter by that × the angle it turns through.
fn turn_of_cloth(seam: &SeamRule, proof: &Proof<'_>) -> Result<f64, Fault> {
    let mut joined = Vec::new();
    edges(&seam.left, proof, &mut joined)?;
    edges(&seam.right, proof, &mut joined)?;
    let mut sum = 0.0;
    for rule in &proof.style.facings {
        if let (Some(less), true) = (&rule.less, joined.contains(&(rule.key.as_str(), rule.edge.as_str()))) {
            let drawn = proof.drawing.pieces.get(rule.key.as_str()).and_then(|p| p.edge(&rule.edge));
            let bends = |e: &DrawnEdge<'_>| {
                e.points().windows(2).map(|w| if let [a, b] = w { turn(a.1, b.1) } else { 0.0 }).sum()
            };
            let turned: f64 = drawn.map_or(0.0, bends);
            sum += proof.scope.length(less)? * (turned.abs() + CORNER);
        }
    }
    Ok(sum)
}

/// The edges that a seam's formula measures for this order: of an `if`, those of
/// the branch that is taken.
pub(super) fn edges<'e>(expr: &'e Expr, proof: &Proof<'_>, found: &mut Vec<(&'e str, &'e str)>) -> Result<(), Fault> {
    match &expr.node {
        Node::EdgeLength(piece, edge) => found.push((piece, edge)),
        Node::If(condition, yes, no) => edges(if proof.scope.yes(condition)? { yes } else { no }, proof, found)?,
        Node::Binary(_, a, b) => {
            edges(a, proof, found)?;
            edges(b, proof, found)?;
        }
        Node::Negative(a) => edges(a, proof, found)?,
        Node::Call(_, all) => all.iter().try_for_each(|e| edges(e, proof, found))?,
        _ => {}
    }
    Ok(())
}

/// Edges that join carry the same allowance.
pub(super) fn equal_allowances(proof: &Proof<'_>) -> Result<Option<Truth>, Fault> {
    let mut faults = Vec::new();
    let mut seams = 0;
    for seam in &proof.style.seams {
        if !applies(seam, proof)? {
            continue;
        }
        seams += 1;
        let mut first: Option<(&str, f64)> = None;
        let mut joined = Vec::new();
        edges(&seam.left, proof, &mut joined)?;
        edges(&seam.right, proof, &mut joined)?;
        for (piece, edge) in joined {
            let Some(drawn) = proof.drawing.pieces.get(piece).and_then(|p| p.edge(edge)) else { continue };
            if drawn.is_empty() {
                continue;
            }
            match first {
                None => first = Some((piece, drawn.allow)),
                Some((other, allow)) if (allow - drawn.allow).abs() > SAME_ALLOWANCE_MM => {
                    faults.push(format!(
                        "{}: {} has {}, {} has {}",
                        proof.style.label_of(&seam.key),
                        proof.style.label_of(other),
                        proof.told(allow),
                        proof.style.label_of(piece),
                        proof.told(drawn.allow)
                    ));
                }
                Some(_) => {}
            }
        }
    }
    Ok((seams > 0).then(|| truth("Edges that join carry equal allowance", faults, format!("{seams} seams"))))
}

/// A run of neighbouring edges of one piece.
pub(super) struct Run<'a> {
    piece: &'a DrawnPiece<'a>,
    edges: Vec<&'a DrawnEdge<'a>>,
    first: usize,
    last: usize,
}

impl<'a> Run<'a> {
    /// The run that a plain sum of edges of one piece makes; `None` for anything else.
    pub(super) fn of(expr: &Expr, proof: &'a Proof<'_>) -> Option<Run<'a>> {
        let mut keys = Vec::new();
        sum(expr, &mut keys)?;
        let (name, _) = *keys.first()?;
        let piece = proof.drawing.pieces.get(name)?;
        let edges: Vec<&DrawnEdge<'_>> = piece.standing().into_iter().filter(|edge| !edge.is_mouth).collect();
        let mut places: Vec<usize> = Vec::new();
        for (other, key) in &keys {
            if *other != name {
                return None;
            }
            // An edge without length in this order is no part of the run.
            places.extend(edges.iter().position(|e| e.key == *key));
        }
        places.sort_unstable();
        let (first, last) = (*places.first()?, *places.last()?);
        (last - first + 1 == places.len()).then_some(Run { piece, edges, first, last })
    }

    fn beside(&self, start: bool) -> Option<(&DrawnEdge<'a>, &DrawnEdge<'a>)> {
        let count = self.edges.len();
        let (inner, outer) =
            if start { (self.first, (self.first + count - 1) % count) } else { (self.last, (self.last + 1) % count) };
        Some((*self.edges.get(inner)?, *self.edges.get(outer)?))
    }

    /// The inside angle between the run and its neighbour; `None` beside a fold.
    fn angle(&self, start: bool) -> Option<f64> {
        let (inner, outer) = self.beside(start)?;
        if outer.is_fold || inner.is_fold {
            return None;
        }
        let (arrives, leaves) = if start {
            (outer.curve.end_heading()?, inner.curve.start_heading()?)
        } else {
            (inner.curve.end_heading()?, outer.curve.start_heading()?)
        };
        Some(std::f64::consts::PI - turn(arrives, leaves) * self.piece.way_round())
    }

    fn end(&self, start: bool) -> Option<Point> {
        if start { self.edges.get(self.first)?.curve.start() } else { self.edges.get(self.last)?.curve.end() }
    }

    /// The ends as (upper, lower), or for a run that lies flat (nearer to x = 0, further).
    pub(super) fn ordered(&self) -> Option<[bool; 2]> {
        let (a, b) = (self.end(true)?, self.end(false)?);
        let upright = (b[1] - a[1]).abs() >= (b[0] - a[0]).abs();
        let start_first = if upright { a[1] <= b[1] } else { a[0].abs() <= b[0].abs() };
        Some(if start_first { [true, false] } else { [false, true] })
    }
}

/// The edges of `a.x + a.y + …`.
fn sum<'e>(expr: &'e Expr, keys: &mut Vec<(&'e str, &'e str)>) -> Option<()> {
    match &expr.node {
        Node::EdgeLength(piece, edge) => keys.push((piece, edge)),
        Node::Binary(Binary::Add, a, b) => {
            sum(a, keys)?;
            sum(b, keys)?;
        }
        _ => return None,
    }
    Some(())
}

/// At both ends of a seam the outer edges of the two pieces run on smoothly: their
/// inside angles make a straight line. Meant corners are counted.
pub(super) fn corners(proof: &Proof<'_>) -> Result<Option<Truth>, Fault> {
    let mut faults = Vec::new();
    let (mut checked, mut meant) = (0, 0);
    for seam in &proof.style.seams {
        // A facing lies on its piece, edge on edge: nothing runs on from one to the other.
        let faces = |expr: &Expr| -> Result<bool, Fault> {
            let mut joined = Vec::new();
            edges(expr, proof, &mut joined)?;
            Ok(joined.iter().any(|(piece, _)| proof.style.facings.iter().any(|f| f.key == *piece)))
        };
        if !applies(seam, proof)? || seam.fullness.is_some() || faces(&seam.left)? != faces(&seam.right)? {
            continue;
        }
        let (Some(left), Some(right)) = (Run::of(&seam.left, proof), Run::of(&seam.right, proof)) else { continue };
        let (Some(left_ends), Some(right_ends)) = (left.ordered(), right.ordered()) else { continue };
        for (l, r) in left_ends.into_iter().zip(right_ends) {
            let (Some(a), Some(b)) = (left.angle(l), right.angle(r)) else { continue };
            let straight = std::f64::consts::PI;
            // Both seams go straight on here: the seam ends inside a longer one.
            if (a - straight).abs() <= CORNER && (b - straight).abs() <= CORNER {
                continue;
            }
            checked += 1;
            let off = a + b - straight;
            if off.abs() <= CORNER {
                continue;
            }
            if seam.meant_corner {
                meant += 1;
                continue;
            }
            let name =
                |run: &Run<'_>, start| run.beside(start).map_or(String::new(), |(_, e)| proof.style.label_of(e.key));
            faults.push(format!(
                "{}: {} and {} make a corner of {:.1}°",
                proof.style.label_of(&seam.key),
                name(&left, l),
                name(&right, r),
                off.to_degrees()
            ));
        }
    }
    let marks = if meant > 0 { format!(", {meant} meant corners") } else { String::new() };
    Ok((checked > 0)
        .then(|| truth("Lines run on smoothly across the seams", faults, format!("{checked} corners{marks}"))))
}
