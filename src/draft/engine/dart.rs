//! Darts: a wedge folded out of an edge. The mouth is shaped so that, folded toward
//! its side and sewn, the edge runs on.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::formula::Scope;
use super::super::style::{DartRule, Style};
use super::drawing::{DrawnEdge, DrawnPiece};
use crate::geom::{Curve, Knot, Point, distance, heading, turn};

/// A dart as drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DrawnDart {
    pub key: String,
    /// The edge that it is folded out of.
    pub edge: String,
    /// The ends of its legs on the edge: nearer to the edge's start, then to its end.
    pub feet: (Point, Point),
    /// The tip of the mouth, where the fold meets the trimmed edge.
    pub peak: Point,
    /// Where the legs meet inside the piece.
    pub apex: Point,
    /// Headings of the edge at the two feet.
    pub headings: (f64, f64),
    /// How wide it is at the edge, mm.
    pub intake: f64,
}

impl DrawnDart {
    /// How much of a width on the level `y` the dart takes out, mm.
    pub fn width_at(&self, y: f64) -> f64 {
        let on = |foot: Point| {
            let (low, high) = (foot[1].min(self.apex[1]), foot[1].max(self.apex[1]));
            // Above the feet the mouth is part of the dart only where it is folded away.
            if !(low..=high).contains(&y) || high - low < 1e-9 {
                return None;
            }
            let t = (y - foot[1]) / (self.apex[1] - foot[1]);
            Some(foot[0] + t * (self.apex[0] - foot[0]))
        };
        match (on(self.feet.0), on(self.feet.1)) {
            (Some(a), Some(b)) => (a - b).abs(),
            _ => 0.0,
        }
    }
}

/// Draws the darts of one piece into it: each edge with darts gets its mouths.
pub(super) fn set_darts(
    style: &Style,
    key: &str,
    piece: &DrawnPiece,
    scope: &Scope<'_>,
) -> Result<Option<DrawnPiece>, Fault> {
    let mut by_edge: HashMap<&str, Vec<(&DartRule, f64, f64, f64)>> = HashMap::new();
    for rule in style.darts.iter().filter(|rule| rule.piece == key) {
        let applies = rule.when.as_ref().map_or(Ok(true), |when| scope.yes(when))?;
        let intake = if applies { scope.length(&rule.intake)? } else { 0.0 };
        if intake <= MIN_INTAKE_MM {
            continue;
        }
        let (at, length) = (scope.length(&rule.at)?, scope.length(&rule.length)?);
        by_edge.entry(rule.edge.as_str()).or_default().push((rule, at, intake, length));
    }
    if by_edge.is_empty() {
        return Ok(None);
    }
    let way = piece.way_round();
    let mut edges = Vec::with_capacity(piece.edges.len());
    let mut darts = Vec::new();
    for edge in &piece.edges {
        let Some(mut on) = by_edge.remove(edge.key.as_str()) else {
            edges.push(edge.clone());
            continue;
        };
        on.sort_by(|a, b| a.1.total_cmp(&b.1));
        edges.push(with_darts(edge, &on, way, &mut darts)?);
    }
    let mut drawn = DrawnPiece::new(edges, piece.points.clone());
    drawn.darts = darts;
    Ok(Some(drawn))
}

/// A dart below this is none, mm: half of what can be sewn.
const MIN_INTAKE_MM: f64 = 1.0;

/// The edge with its mouths, in runs; what is left of its length when they are closed.
fn with_darts(
    edge: &DrawnEdge,
    on: &[(&DartRule, f64, f64, f64)],
    way: f64,
    darts: &mut Vec<DrawnDart>,
) -> Result<DrawnEdge, Fault> {
    // The stretches of edge between the mouths, first as the edge lies.
    let mut stretches: Vec<Vec<(Point, f64)>> = Vec::new();
    let (mut taken, mut from) = (0.0, 0.0);
    for (rule, at, intake, _) in on {
        let (first, second) = (at + taken, at + taken + intake);
        if first <= from || second >= edge.length {
            let message = format!("The dart “{}” does not fit on its edge. Move it or make it smaller.", rule.key);
            return Err(Fault::new(rule.at.at, message));
        }
        stretches.push(edge.curve.between(from, first));
        taken += intake;
        from = second;
    }
    stretches.push(edge.curve.between(from, edge.length));
    // Then each dart: apex, the edge bent to run on over the closed dart, the mouth.
    let mut mouths = Vec::with_capacity(on.len());
    for (i, (rule, _, _, length)) in on.iter().enumerate() {
        let [before, after] = stretches.get_mut(i..i + 2).unwrap_or_default() else { continue };
        let (Some(a), Some(b)) = (before.last().copied(), after.first().copied()) else { continue };
        let middle = [f64::midpoint(a.0[0], b.0[0]), f64::midpoint(a.0[1], b.0[1])];
        // Inside is to the right of the way when the outline runs clockwise.
        let inward = heading(a.0, b.0).unwrap_or(a.1) + way * std::f64::consts::FRAC_PI_2;
        let apex = [middle[0] + inward.cos() * length, middle[1] + inward.sin() * length];
        let bend = closed_corner(a, b, apex) / 2.0;
        bend_end(before, apex, bend);
        after.reverse();
        for point in after.iter_mut() {
            point.1 += std::f64::consts::PI;
        }
        bend_end(after, apex, -bend);
        after.reverse();
        for point in after.iter_mut() {
            point.1 -= std::f64::consts::PI;
        }
        let (Some(a), Some(b)) = (before.last().copied(), after.first().copied()) else { continue };
        // Folded toward a side, the cloth of the mouth lies on that side's edge: the
        // mouth is that edge mirrored about its leg, as far as the fold.
        let (foot, away) = if rule.toward_start { (a.0, a.1 + std::f64::consts::PI) } else { (b.0, b.1) };
        let leg = heading(foot, apex).unwrap_or(inward);
        let peak = meet(foot, leg + turn(away, leg), apex, inward).unwrap_or(middle);
        darts.push(DrawnDart {
            key: rule.key.clone(),
            edge: edge.key.clone(),
            feet: (a.0, b.0),
            peak,
            apex,
            headings: (a.1, b.1),
            intake: distance(a.0, b.0),
        });
        mouths.push([(a.0, peak), (peak, b.0)]);
    }
    let length = stretches.iter().map(|run| walked(run)).sum();
    let mut runs = Vec::with_capacity(stretches.len() * 3);
    let mut mouths = mouths.into_iter();
    for stretch in stretches {
        runs.push(stretch);
        for (p, q) in mouths.next().into_iter().flatten() {
            let along = heading(p, q).unwrap_or(0.0);
            runs.push(vec![(p, along), (q, along)]);
        }
    }
    Ok(edge.with_runs(runs, length))
}

fn walked(run: &[(Point, f64)]) -> f64 {
    run.windows(2).map(|pair| if let [a, b] = pair { distance(a.0, b.0) } else { 0.0 }).sum()
}

/// By how much the edge turns over the closed dart, beyond running straight on.
pub(super) fn closed_corner(a: (Point, f64), b: (Point, f64), apex: Point) -> f64 {
    let (Some(leg_a), Some(leg_b)) = (heading(a.0, apex), heading(b.0, apex)) else { return 0.0 };
    turn(a.1, b.1 + turn(leg_b, leg_a))
}

/// The edge is bent over this much of its length beside a dart, mm: an inch, as a
/// cutter blends it (judgement); half the stretch where it is shorter.
const BLEND_MM: f64 = 25.4;

/// Bends the end of a stretch by `bend` so that the edge runs on over the closed
/// dart; the end stays on its leg.
fn bend_end(run: &mut Vec<(Point, f64)>, apex: Point, bend: f64) {
    let Some(end) = run.last().copied() else { return };
    if bend.abs() < 1e-6 {
        return;
    }
    let blend = BLEND_MM.min(walked(run) / 2.0);
    let back = |mm: f64| [end.0[0] - end.1.cos() * mm, end.0[1] - end.1.sin() * mm];
    let (Some(leg), turning) = (heading(end.0, apex), back(blend / 2.0)) else { return };
    let Some(foot) = meet(turning, end.1 + bend, end.0, leg) else { return };
    // The run as far as the bend begins.
    let mut left = walked(run) - blend;
    let mut kept: Vec<(Point, f64)> = run.first().copied().into_iter().collect();
    for pair in run.windows(2) {
        let [p, q] = pair else { continue };
        let step = distance(p.0, q.0);
        if left <= step {
            let t = if step > 0.0 { (left / step).clamp(0.0, 1.0) } else { 0.0 };
            let at = [p.0[0] + (q.0[0] - p.0[0]) * t, p.0[1] + (q.0[1] - p.0[1]) * t];
            kept.push((at, p.1 + turn(p.1, q.1) * t));
            break;
        }
        kept.push(*q);
        left -= step;
    }
    *run = kept;
    let Some(start) = run.last().copied() else { return };
    let knot = |at, heading| Knot { at, heading: Some(heading) };
    let curve = Curve::through(&[knot(start.0, start.1), knot(foot, end.1 + bend)]);
    run.extend(curve.flattened().into_iter().skip(1));
}

/// Where two lines meet, each given by a point and a heading.
fn meet(p: Point, a: f64, q: Point, b: f64) -> Option<Point> {
    let (sa, ca) = a.sin_cos();
    let (sb, cb) = b.sin_cos();
    let cross = ca * sb - sa * cb;
    if cross.abs() < 1e-9 {
        return None;
    }
    let t = ((q[0] - p[0]) * sb - (q[1] - p[1]) * cb) / cross;
    Some([p[0] + t * ca, p[1] + t * sa])
}
