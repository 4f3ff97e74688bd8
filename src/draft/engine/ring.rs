//! A piece while it is being shaped: its outline as stretches of curve with the
//! openings of darts between them, before mouths are drawn.

use std::collections::HashMap;

use super::super::fault::{Fault, Span};
use super::super::formula::Scope;
use super::super::style::{DartFrom, DartRule, Style};
use super::dart::{DrawnDart, MIN_INTAKE_MM, Run, inside, mouth, walked};
use super::drawing::{DrawnChalk, DrawnEdge, DrawnPiece};
use crate::geom::{Curve, Point, area, heading};

/// The opening of a dart between two stretches of outline.
#[derive(Clone, Debug)]
pub(super) struct Gap {
    pub key: String,
    pub apex: Point,
    pub toward_start: bool,
}

/// An edge: stretches with the openings between them. A dart drawn in the outline is
/// an edge without stretches, its one opening between its neighbours.
#[derive(Clone, Debug)]
pub(super) struct RingEdge {
    pub key: String,
    pub to: String,
    pub is_fold: bool,
    pub allow: f64,
    pub turned_up: bool,
    pub parts: Vec<Curve>,
    pub gaps: Vec<Gap>,
}

/// The whole piece.
#[derive(Clone, Debug)]
pub(super) struct Ring {
    pub edges: Vec<RingEdge>,
    pub start: String,
    pub marks: HashMap<String, Point>,
    pub darts: Vec<DrawnDart>,
    pub chalk: Vec<DrawnChalk>,
}

impl Ring {
    /// The stretches in order as (edge, part).
    pub fn stretches(&self) -> Vec<(usize, usize)> {
        self.edges.iter().enumerate().flat_map(|(e, edge)| (0..edge.parts.len()).map(move |p| (e, p))).collect()
    }

    pub fn part(&self, (edge, part): (usize, usize)) -> Option<&Curve> {
        self.edges.get(edge)?.parts.get(part)
    }

    /// +1 when the outline runs clockwise on screen, else −1.
    fn way(&self) -> f64 {
        let parts = self.edges.iter().flat_map(|edge| &edge.parts);
        let outline: Vec<Point> = parts.flat_map(Curve::flattened).map(|(p, _)| p).collect();
        if area(&outline) > 0.0 { 1.0 } else { -1.0 }
    }

    /// Sets the darts of `[darts]` that this order has.
    pub fn set_darts(&mut self, style: &Style, piece: &str, scope: &Scope<'_, '_>) -> Result<(), Fault> {
        let mut by_edge: HashMap<&str, Vec<OnEdge<'_>>> = HashMap::new();
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
                    by_edge.entry(edge.as_str()).or_default().push(dart);
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
            if let Some(mut on) = by_edge.remove(edge.key.as_str()) {
                on.sort_by(|a, b| a.at.total_cmp(&b.at));
                opened(edge, &on, way)?;
            }
        }
        Ok(())
    }

    /// The piece with the mouths of its darts drawn.
    pub fn drawn(mut self) -> DrawnPiece {
        let places = self.stretches();
        let mut runs: Vec<Run> = places.iter().filter_map(|at| self.part(*at)).map(Curve::flattened).collect();
        let mut bent = vec![false; runs.len()];
        let way = if self.edges.iter().any(|edge| !edge.gaps.is_empty()) { self.way() } else { 1.0 };
        // Each opening lies after a stretch: (stretch before, edge, place among its gaps).
        let mut mouths: HashMap<(usize, usize), Option<DrawnDart>> = HashMap::new();
        let mut before = runs.len().saturating_sub(1);
        for (e, edge) in self.edges.iter().enumerate() {
            for part in 0..edge.parts.len().max(edge.gaps.len()) {
                if part < edge.parts.len() {
                    before = (before + 1) % runs.len().max(1);
                }
                let Some(gap) = edge.gaps.get(part) else { continue };
                let after = (before + 1) % runs.len().max(1);
                if before == after {
                    continue;
                }
                let take = |runs: &mut Vec<Run>, at: usize| runs.get_mut(at).map(std::mem::take).unwrap_or_default();
                let (mut one, mut other) = (take(&mut runs, before), take(&mut runs, after));
                let (lengths, dart) = ((one.len(), other.len()), mouth(gap, &edge.key, &mut one, &mut other, way));
                for (at, run, length) in [(before, one, lengths.0), (after, other, lengths.1)] {
                    if let (Some(slot), Some(flag)) = (runs.get_mut(at), bent.get_mut(at)) {
                        *flag |= dart.is_some() || run.len() != length;
                        *slot = run;
                    }
                }
                mouths.insert((e, part), dart);
            }
        }
        let mut points: HashMap<String, Point> = self.marks.clone();
        let end = |runs: &[Run], at: usize| runs.get(at).and_then(|run| run.last()).map(|(p, _)| *p);
        let start =
            |runs: &[Run], at: usize| runs.get(at % runs.len().max(1)).and_then(|run| run.first()).map(|(p, _)| *p);
        points.extend(start(&runs, 0).map(|p| (self.start.clone(), p)));
        let mut edges = Vec::with_capacity(self.edges.len());
        let mut next = 0;
        for (e, edge) in self.edges.iter().enumerate() {
            let first = next;
            next += edge.parts.len();
            let to = if edge.parts.is_empty() { start(&runs, next) } else { end(&runs, next.saturating_sub(1)) };
            points.extend(to.map(|p| (edge.to.clone(), p)));
            edges.push(finished(edge, e, first, &runs, &bent, &mouths));
        }
        let mut darts = std::mem::take(&mut self.darts);
        let mut mouths: Vec<((usize, usize), DrawnDart)> =
            mouths.into_iter().filter_map(|(at, dart)| Some((at, dart?))).collect();
        mouths.sort_by_key(|(at, _)| *at);
        darts.extend(mouths.into_iter().map(|(_, dart)| dart));
        let mut piece = DrawnPiece::new(edges, points);
        (piece.darts, piece.chalk) = (darts, self.chalk);
        piece
    }
}

/// One edge with its mouths.
fn finished(
    edge: &RingEdge,
    e: usize,
    first: usize,
    runs: &[Run],
    bent: &[bool],
    mouths: &HashMap<(usize, usize), Option<DrawnDart>>,
) -> DrawnEdge {
    let straight = |p: Point, q: Point| {
        let along = heading(p, q).unwrap_or(0.0);
        vec![(p, along), (q, along)]
    };
    let mouth = |part: usize| {
        let dart = mouths.get(&(e, part)).and_then(Option::as_ref);
        dart.map(|d| [straight(d.feet.0, d.peak), straight(d.peak, d.feet.1)]).into_iter().flatten()
    };
    let own = first..first + edge.parts.len();
    if edge.parts.is_empty() {
        let runs: Vec<Run> = mouth(0).collect();
        let points: Vec<Point> = runs.iter().flatten().map(|(p, _)| *p).collect();
        let is_mouth = !points.is_empty();
        let plain = DrawnEdge::new(&edge.key, edge.is_fold, Curve::polyline(&points), edge.allow);
        return DrawnEdge { is_mouth, ..plain.with_runs(runs, 0.0) };
    }
    let as_drawn = !own.clone().any(|at| bent.get(at).copied().unwrap_or(false));
    if let ([one], true) = (edge.parts.as_slice(), as_drawn) {
        return DrawnEdge::new(&edge.key, edge.is_fold, one.clone(), edge.allow).turned_up(edge.turned_up);
    }
    let mut all = Vec::with_capacity(edge.parts.len() * 3);
    let mut length = 0.0;
    for (part, run) in runs.get(own).unwrap_or_default().iter().enumerate() {
        length += walked(run);
        all.push(run.clone());
        all.extend(mouth(part));
    }
    let curve = Curve::joined(edge.parts.iter().cloned());
    DrawnEdge::new(&edge.key, edge.is_fold, curve, edge.allow).turned_up(edge.turned_up).with_runs(all, length)
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
fn opened(edge: &mut RingEdge, on: &[OnEdge<'_>], way: f64) -> Result<(), Fault> {
    let whole = Curve::joined(std::mem::take(&mut edge.parts));
    let length = whole.length();
    let between = |from: f64, to: f64| whole.part(to, true).part(to - from, false);
    let (mut taken, mut from) = (0.0, 0.0);
    for OnEdge { rule, span, at, intake, .. } in on {
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
    for (pair, OnEdge { rule, depth, .. }) in edge.parts.windows(2).zip(on) {
        let [before, after] = pair else { continue };
        let (Some(a), Some(b)) = (before.end(), after.start()) else { continue };
        let middle = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
        let along = heading(a, b).or_else(|| before.end_heading()).unwrap_or(0.0);
        let inward = along + way * std::f64::consts::FRAC_PI_2;
        let apex = [middle[0] + inward.cos() * depth, middle[1] + inward.sin() * depth];
        edge.gaps.push(Gap { key: rule.key.clone(), apex, toward_start: rule.toward_start });
    }
    Ok(())
}
