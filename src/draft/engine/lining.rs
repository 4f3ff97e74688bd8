//! Linings: a finished piece drawn shorter, with a pleat for movement at its centre.
//! Its darts stay where they are and are laid as tucks.

use std::borrow::Borrow;

use super::super::fault::Fault;
use super::super::formula::Scope;
use super::super::marked::PleatKind;
use super::super::style::LiningRule;
use super::dart::Run;
use super::drawing::{DrawnEdge, DrawnPiece};
use super::facing::{extended, meeting};
use super::pleat::{DrawnFold, DrawnPleat};
use crate::geom::{Curve, Knot, Point, distance, turn};

/// The pleat of a lining is stitched this far down, mm: 2 in, common practice.
const STITCHED_MM: f64 = 50.8;
/// An edge that turns no more than this from end to end is straight: 1°.
const STRAIGHT: f64 = std::f64::consts::PI / 180.0;

/// The lining of `piece`.
pub(super) fn lining<'s>(
    rule: &'s LiningRule,
    piece: &DrawnPiece<'s>,
    scope: &Scope<'_, '_>,
) -> Result<DrawnPiece<'s>, Fault> {
    let by = scope.length(&rule.by)?;
    let allow = rule.allow.as_ref().map(|allow| scope.length(allow)).transpose()?;
    let pleat = rule.pleat.as_ref().map_or(Ok(0.0), |pleat| scope.length(pleat))?;
    let fault = |words: String| Fault::new(rule.by.at, words);
    if by < 0.0 || pleat < 0.0 || allow.is_some_and(|allow| allow < 0.0) {
        return Err(fault(format!("The lining “{}” cannot be shorter or wider by less than nothing.", rule.key)));
    }
    let mut edges: Vec<DrawnEdge<'s>> = piece.standing().into_iter().cloned().collect();
    let hem = hem_run(&edges, &rule.shorten);
    let mut pleats = piece.pleats.clone();
    if let (Some(on), true) = (&rule.pleat_on, pleat > 0.0) {
        let laid = widened(&mut edges, on, pleat, piece.way_round(), &hem).map_err(|()| {
            fault(format!("“{on}” cannot have the pleat of the lining: it must be a straight edge beside two others."))
        })?;
        pleats.extend(laid.into_iter().map(|pleat| DrawnPleat { key: &rule.key, ..pleat }));
    }
    // Widened, the piece is one outline again.
    let wide = DrawnPiece::new(edges.clone(), piece.points.clone());
    if by > 0.0 {
        shortened(&mut edges, &wide, &hem, by).map_err(|()| {
            fault(format!(
                "The lining “{}” cannot be {by:.0} mm shorter at “{}”. Make it longer.",
                rule.key, rule.shorten
            ))
        })?;
    }
    for edge in edges.iter_mut().filter(|edge| hem.contains(&edge.key)) {
        edge.allow = allow.unwrap_or(edge.allow);
    }
    let mut lining = DrawnPiece::new(edges, wide.points);
    (lining.darts, lining.pleats) = (piece.darts.clone(), pleats);
    Ok(lining)
}

/// The edge that is shortened, with those turned up that run on from it.
pub(super) fn hem_keys<'s>(piece: &DrawnPiece<'s>, shorten: &str) -> Vec<&'s str> {
    hem_run(&piece.standing(), shorten)
}

fn hem_run<'s>(edges: &[impl Borrow<DrawnEdge<'s>>], shorten: &str) -> Vec<&'s str> {
    let edges: Vec<&DrawnEdge<'s>> = edges.iter().map(Borrow::borrow).collect();
    let count = edges.len();
    let Some(at) = edges.iter().position(|edge| edge.key == shorten) else { return Vec::new() };
    let is_hem = |step: &usize| edges.get((at + step) % count).is_some_and(|edge| edge.turned_up);
    let after = (1..count).take_while(is_hem);
    let before = (1..count).map(|step| count - step).take_while(is_hem);
    let mut run: Vec<usize> = before.chain([0]).chain(after).collect();
    run.dedup();
    run.into_iter().filter_map(|step| edges.get((at + step) % count)).map(|edge| edge.key).collect()
}

/// Moves a straight edge outward and draws its neighbours on to it; the pleat that the
/// neighbour away from the hem is laid in.
fn widened<'s>(
    edges: &mut [DrawnEdge<'s>],
    on: &str,
    mm: f64,
    way: f64,
    hem: &[&str],
) -> Result<Option<DrawnPleat<'s>>, ()> {
    let count = edges.len();
    let at = edges.iter().position(|edge| edge.key == on).filter(|_| count > 2).ok_or(())?;
    let edge = edges.get(at).ok_or(())?.clone();
    let (start, end) = edge.curve.start_heading().zip(edge.curve.end_heading()).ok_or(())?;
    if turn(start, end).abs() > STRAIGHT || edge.runs().count() > 1 {
        return Err(());
    }
    let out = start - way * std::f64::consts::FRAC_PI_2;
    let moved = |p: Point| [p[0] + out.cos() * mm, p[1] + out.sin() * mm];
    let (from, to) = edge.curve.start().zip(edge.curve.end()).ok_or(())?;
    // It is laid at the end away from the hem; at the other the cloth hangs free.
    let hem_points: Vec<Point> =
        edges.iter().filter(|e| hem.contains(&e.key)).flat_map(|e| e.points().iter().map(|(p, _)| *p)).collect();
    let above = |p: Point| hem_points.iter().map(|q| distance(*q, p)).fold(f64::INFINITY, f64::min);
    let laid_first = above(from) < above(to);
    let line = extended(&[(moved(from), start), (moved(to), start)], edge.length());
    let mut ends = (moved(from), moved(to));
    let mut laid = None;
    for (step, old, first) in [(count - 1, from, false), (1, to, true)] {
        let beside = edges.get_mut((at + step) % count).ok_or(())?;
        // A neighbour that already lies further out (the head of a vent) ends at the moved edge.
        if let (true, Some(off)) = (first != laid_first, meeting(beside.points(), &line, first)) {
            *beside = trimmed(beside, off, first).ok_or(())?;
            let end = if first { beside.points().first() } else { beside.points().last() };
            let end = end.ok_or(())?.0;
            if first {
                ends.1 = end
            } else {
                ends.0 = end
            }
            continue;
        }
        let new = moved(old);
        let along = if first { out + std::f64::consts::PI } else { out };
        let bit = if first { vec![(new, along), (old, along)] } else { vec![(old, along), (new, along)] };
        let hangs_free = first != laid_first;
        let length = beside.length() + if hangs_free { mm } else { 0.0 };
        if !hangs_free {
            // Along the moved edge, away from this end of it.
            let inward = if first { start + std::f64::consts::PI } else { start };
            let down = |p: Point| [p[0] + inward.cos() * STITCHED_MM, p[1] + inward.sin() * STITCHED_MM];
            let line = |p: Point| (p, down(p));
            let lines = if first { [line(new), line(old)] } else { [line(old), line(new)] };
            let at = if first { 0.0 } else { beside.length() };
            let fold = DrawnFold { at, take: mm, take_below: mm, faces_end: !first, lines };
            let kind = PleatKind::Knife;
            laid = Some(DrawnPleat { key: "", edge: beside.key, kind, folds: vec![fold] });
        }
        let piece_of_line = Curve::line(if first { new } else { old }, if first { old } else { new });
        let mut runs: Vec<Run> = beside.runs().map(<[_]>::to_vec).collect();
        let curve = if first {
            runs.insert(0, bit);
            Curve::joined([piece_of_line, beside.curve.clone()])
        } else {
            runs.push(bit);
            Curve::joined([beside.curve.clone(), piece_of_line])
        };
        *beside = beside.along(curve).with_runs(runs, length).with_mouth(beside.is_mouth);
    }
    if let Some(slot) = edges.get_mut(at) {
        *slot = edge.along(Curve::line(ends.0, ends.1));
    }
    Ok(laid)
}

/// Draws the hem `by` mm further in and its neighbours as far as that.
fn shortened<'s>(edges: &mut [DrawnEdge<'s>], piece: &DrawnPiece<'s>, hem: &[&str], by: f64) -> Result<(), ()> {
    let count = edges.len();
    let is_hem = |i: usize| edges.get(i % count).is_some_and(|edge| hem.contains(&edge.key));
    let first = (0..count).find(|i| is_hem(*i) && !is_hem(i + count - 1)).ok_or(())?;
    let length = (0..count).take_while(|step| is_hem(first + step)).count();
    let (before, after) = ((first + count - 1) % count, (first + length) % count);
    let mut line: Vec<Run> =
        (0..length).filter_map(|step| edges.get((first + step) % count)).map(|edge| piece.parallel(edge, by)).collect();
    let whole = extended(&line.concat(), 2.0 * by);
    for (beside, from_start) in [(before, false), (after, true)] {
        let edge = edges.get_mut(beside).ok_or(())?;
        let off = meeting(edge.points(), &whole, from_start).ok_or(())?;
        *edge = trimmed(edge, off, from_start).ok_or(())?;
    }
    // The ends of the new hem are those of its neighbours.
    let from = edges.get(before).and_then(|edge| edge.points().last()).ok_or(())?.0;
    let to = edges.get(after).and_then(|edge| edge.points().first()).ok_or(())?.0;
    line.first_mut().and_then(|run| run.first_mut()).ok_or(())?.0 = from;
    line.last_mut().and_then(|run| run.last_mut()).ok_or(())?.0 = to;
    for (step, run) in line.iter().enumerate() {
        let edge = edges.get_mut((first + step) % count).ok_or(())?;
        let knots: Vec<Knot> = run.iter().map(|(at, along)| Knot { at: *at, heading: Some(*along) }).collect();
        // A corner (the extension over the pleat) stays one: straight from point to point.
        let sharp = run.windows(2).any(|w| if let [a, b] = w { turn(a.1, b.1).abs() > 0.1 } else { false });
        let curve = if sharp || run.len() == 2 {
            Curve::polyline(&run.iter().map(|(p, _)| *p).collect::<Vec<Point>>())
        } else {
            Curve::through(&knots)
        };
        *edge = edge.along(curve);
    }
    Ok(())
}

/// The edge without its first or last `mm`; `None` when that reaches into a dart.
fn trimmed<'s>(edge: &DrawnEdge<'s>, mm: f64, from_start: bool) -> Option<DrawnEdge<'s>> {
    let kept = edge.length() - mm;
    if edge.runs().count() == 1 {
        let curve = edge.curve.part(edge.curve.length() - mm, !from_start);
        return Some(edge.along(curve));
    }
    let mut runs: Vec<Run> = edge.runs().map(<[_]>::to_vec).collect();
    let run = if from_start { runs.first_mut() } else { runs.last_mut() }?;
    if from_start {
        run.reverse();
    }
    let whole: f64 = run.windows(2).map(|w| if let [a, b] = w { distance(a.0, b.0) } else { 0.0 }).sum();
    let mut left = whole - mm;
    if left <= 0.0 {
        return None;
    }
    let mut cut: Vec<(Point, f64)> = run.first().copied().into_iter().collect();
    for (a, b) in run.iter().zip(run.iter().skip(1)) {
        let step = distance(a.0, b.0);
        if left <= step {
            let t = if step > 0.0 { left / step } else { 0.0 };
            cut.push(([a.0[0] + (b.0[0] - a.0[0]) * t, a.0[1] + (b.0[1] - a.0[1]) * t], a.1 + turn(a.1, b.1) * t));
            break;
        }
        cut.push(*b);
        left -= step;
    }
    if from_start {
        cut.reverse();
    }
    *run = cut;
    Some(edge.clone().with_runs(runs, kept))
}
