//! A piece while it is being shaped: its outline as stretches of curve with the
//! openings of darts between them, before mouths are drawn.

use super::super::fault::{Fault, Span};
use super::super::formula::Scope;
use super::super::style::{DartFrom, DartRule, Style};
use super::dart::{DrawnDart, MIN_INTAKE_MM, Run, inside, mouth, walked};
use super::drawing::{DrawnChalk, DrawnEdge, DrawnPiece};
use crate::geom::{Curve, Point, area, heading};

/// The opening of a dart between two stretches of outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gap<'s> {
    pub key: &'s str,
    pub apex: Point,
    pub toward_start: bool,
}

/// An edge: stretches with the openings between them. A dart drawn in the outline is
/// an edge without stretches, its one opening between its neighbours.
#[derive(Clone, Debug)]
pub(super) struct RingEdge<'s> {
    pub key: &'s str,
    pub to: &'s str,
    pub is_fold: bool,
    pub allow: f64,
    pub turned_up: bool,
    pub parts: Vec<Curve>,
    pub gaps: Vec<Gap<'s>>,
}

/// The whole piece.
#[derive(Clone, Debug)]
pub(super) struct Ring<'s> {
    pub edges: Vec<RingEdge<'s>>,
    pub start: &'s str,
    pub marks: Vec<(&'s str, Point)>,
    pub darts: Vec<DrawnDart<'s>>,
    pub chalk: Vec<DrawnChalk<'s>>,
}

impl<'s> Ring<'s> {
    /// The stretches in order as (edge, part).
    pub fn stretches(&self) -> Vec<(usize, usize)> {
        self.edges.iter().enumerate().flat_map(|(e, edge)| (0..edge.parts.len()).map(move |p| (e, p))).collect()
    }

    pub fn part(&self, (edge, part): (usize, usize)) -> Option<&Curve> {
        self.edges.get(edge)?.parts.get(part)
    }

    /// +1 when the outline runs clockwise on screen, else −1.
    fn way(&self) -> f64 {
        let parts = || self.edges.iter().flat_map(|edge| &edge.parts);
        let corners: Vec<Point> = parts().flat_map(|part| part.start().into_iter().chain(part.end())).collect();
        // What lies between the chords, and beside them the bellies of the curves.
        if area(&corners) + parts().map(Curve::belly).sum::<f64>() > 0.0 { 1.0 } else { -1.0 }
    }

    /// Sets the darts of `[darts]` that this order has.
    pub fn set_darts(&mut self, style: &'s Style, piece: &str, scope: &Scope<'_, '_>) -> Result<(), Fault> {
        let mut by_edge: Vec<(&str, OnEdge<'_>)> = Vec::new();
        for rule in style.darts.iter().filter(|rule| rule.piece == piece) {
            let applies = rule.when.as_ref().map_or(Ok(true), |when| scope.yes(when))?;
            let intake = if applies { scope.length(&rule.intake)? } else { 0.0 };
            if intake <= MIN_INTAKE_MM {
                continue;
            }
            match &rule.from {
                DartFrom::Edge { edge, at, length } => {
                    let (place, length) = (scope.length(at)?, scope.length(length)?);
                    let dart = OnEdge { rule, span: at.at, at: place, intake, depth: length };
                    by_edge.push((edge, dart));
                }
                DartFrom::Inside { widest, top, bottom } => {
                    let (at, from, to) = (scope.place(widest)?, scope.place(top)?, scope.place(bottom)?);
                    self.darts.extend(inside(&rule.key, at, from, to, intake));
                }
            }
        }
        if by_edge.is_empty() {
            return Ok(());
        }
        let way = self.way();
        for edge in &mut self.edges {
            let mut on: Vec<&OnEdge<'_>> =
                by_edge.iter().filter(|(key, _)| *key == edge.key).map(|(_, dart)| dart).collect();
            if !on.is_empty() {
                on.sort_by(|a, b| a.at.total_cmp(&b.at));
                opened(edge, &on, way)?;
            }
        }
        Ok(())
    }

    /// The piece with the mouths of its darts drawn.
    pub fn drawn(mut self) -> DrawnPiece<'s> {
        let mut points = std::mem::take(&mut self.marks);
        let places = self.stretches();
        let part = |at: usize| places.get(at).and_then(|place| self.part(*place));
        // Points only of the stretches beside an opening: the others stay as they are drawn.
        let mut runs: Vec<Option<Run>> = vec![None; places.len()];
        let way = if self.edges.iter().any(|edge| !edge.gaps.is_empty()) { self.way() } else { 1.0 };
        // Each opening lies after a stretch: (edge, place among its gaps).
        let mut mouths: Vec<((usize, usize), DrawnDart<'s>)> = Vec::new();
        let mut before = runs.len().saturating_sub(1);
        for (e, edge) in self.edges.iter().enumerate() {
            for place in 0..edge.parts.len().max(edge.gaps.len()) {
                if place < edge.parts.len() {
                    before = (before + 1) % runs.len().max(1);
                }
                let Some(gap) = edge.gaps.get(place) else { continue };
                let after = (before + 1) % runs.len().max(1);
                if before == after {
                    continue;
                }
                let take = |runs: &mut Vec<Option<Run>>, at: usize| {
                    let bent = runs.get_mut(at).and_then(Option::take);
                    let is_bent = bent.is_some();
                    (bent.unwrap_or_else(|| part(at).map(Curve::flattened).unwrap_or_default()), is_bent)
                };
                let ((mut one, one_bent), (mut other, other_bent)) = (take(&mut runs, before), take(&mut runs, after));
                let (lengths, dart) = ((one.len(), other.len()), mouth(gap, edge.key, &mut one, &mut other, way));
                for (at, run, length, bent) in
                    [(before, one, lengths.0, one_bent), (after, other, lengths.1, other_bent)]
                {
                    if let Some(slot) = runs.get_mut(at) {
                        *slot = (bent || dart.is_some() || run.len() != length).then_some(run);
                    }
                }
                mouths.extend(dart.map(|dart| ((e, place), dart)));
            }
        }
        let start = |at: usize| {
            let at = at % places.len().max(1);
            let bent = runs.get(at).and_then(Option::as_ref).and_then(|run| run.first()).map(|(p, _)| *p);
            bent.or_else(|| part(at)?.start())
        };
        let end = |at: usize| {
            let bent = runs.get(at).and_then(Option::as_ref).and_then(|run| run.last()).map(|(p, _)| *p);
            bent.or_else(|| part(at)?.end())
        };
        points.extend(start(0).map(|p| (self.start, p)));
        let mut edges = Vec::with_capacity(self.edges.len());
        let mut next = 0;
        for (e, edge) in self.edges.iter().enumerate() {
            let first = next;
            next += edge.parts.len();
            let to = if edge.parts.is_empty() { start(next) } else { end(next.saturating_sub(1)) };
            points.extend(to.map(|p| (edge.to, p)));
            edges.push(finished(edge, e, runs.get(first..next).unwrap_or_default(), &mouths));
        }
        let mut piece = DrawnPiece::new(edges, points);
        piece.darts = self.darts;
        piece.darts.extend(mouths.into_iter().map(|(_, dart)| dart));
        piece.chalk = self.chalk;
        piece
    }
}

/// One edge with its mouths; of its stretches, `runs` has those that were bent.
fn finished<'s>(
    edge: &RingEdge<'s>,
    e: usize,
    runs: &[Option<Run>],
    mouths: &[((usize, usize), DrawnDart<'s>)],
) -> DrawnEdge<'s> {
    let straight = |p: Point, q: Point| {
        let along = heading(p, q).unwrap_or(0.0);
        vec![(p, along), (q, along)]
    };
    let mouth = |part: usize| {
        let dart = mouths.iter().find(|(at, _)| *at == (e, part));
        dart.map(|(_, d)| [straight(d.feet.0, d.peak), straight(d.peak, d.feet.1)]).into_iter().flatten()
    };
    let plain = |curve: Curve| DrawnEdge::new(edge.key, edge.is_fold, curve, edge.allow);
    if edge.parts.is_empty() {
        let runs: Vec<Run> = mouth(0).collect();
        let points: Vec<Point> = runs.iter().flatten().map(|(p, _)| *p).collect();
        let is_mouth = !points.is_empty();
        return plain(Curve::polyline(&points)).with_runs(runs, 0.0).with_mouth(is_mouth);
    }
    if let ([one], [None]) = (edge.parts.as_slice(), runs) {
        return plain(one.clone()).turned_up(edge.turned_up);
    }
    let mut all = Vec::with_capacity(edge.parts.len() * 3);
    let mut length = 0.0;
    for (place, (run, part)) in runs.iter().zip(&edge.parts).enumerate() {
        let run = run.clone().unwrap_or_else(|| part.flattened());
        length += walked(&run);
        all.push(run);
        all.extend(mouth(place));
    }
    let curve = Curve::joined(edge.parts.iter().cloned());
    plain(curve).turned_up(edge.turned_up).with_runs(all, length)
}

/// A dart to be folded out of an edge, mm.
struct OnEdge<'s> {
    rule: &'s DartRule,
    span: Span,
    /// How far along the edge its middle lies, other darts closed.
    at: f64,
    intake: f64,
    depth: f64,
}

/// Opens the darts `on` in an edge.
fn opened<'s>(edge: &mut RingEdge<'s>, on: &[&OnEdge<'s>], way: f64) -> Result<(), Fault> {
    let whole = Curve::joined(std::mem::take(&mut edge.parts));
    let length = whole.length();
    let between = |from: f64, to: f64| whole.part(to, true).part(to - from, false);
    let (mut taken, mut from) = (0.0, 0.0);
    for OnEdge { rule, span, at, intake, .. } in on.iter().copied() {
        let (first, second) = (at + taken, at + taken + intake);
        if first <= from || second >= length {
            let message = format!("The dart “{}” does not fit on its edge. Move it or make it smaller.", rule.key);
            return Err(Fault::new(*span, message));
        }
        edge.parts.push(between(from, first));
        taken += intake;
        from = second;
    }
    edge.parts.push(between(from, length));
    for (pair, OnEdge { rule, depth, .. }) in edge.parts.windows(2).zip(on.iter().copied()) {
        let [before, after] = pair else { continue };
        let (Some(a), Some(b)) = (before.end(), after.start()) else { continue };
        let middle = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
        let along = heading(a, b).or_else(|| before.end_heading()).unwrap_or(0.0);
        let inward = along + way * std::f64::consts::FRAC_PI_2;
        let apex = [middle[0] + inward.cos() * depth, middle[1] + inward.sin() * depth];
        edge.gaps.push(Gap { key: &rule.key, apex, toward_start: rule.toward_start });
    }
    Ok(())
}
