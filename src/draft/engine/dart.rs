//! Darts as drawn: a wedge folded out of an edge, or a spindle inside the piece. The
//! mouth is shaped so that, folded toward its side and sewn, the edge runs on.

use super::ring::Gap;
use crate::geom::{Curve, Knot, Point, distance, heading, turn};

/// A dart as drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DrawnDart<'s> {
    pub key: &'s str,
    /// The edge that it is folded out of; empty for one inside the piece.
    pub edge: &'s str,
    /// The ends of its legs on the edge: nearer to the edge's start, then to its end.
    pub feet: (Point, Point),
    /// The tip of the mouth, where the fold meets the trimmed edge.
    pub peak: Point,
    /// Where the legs meet inside the piece.
    pub apex: Point,
    /// The other end of a dart inside the piece.
    pub top: Option<Point>,
    /// Headings of the edge at the two feet.
    pub headings: (f64, f64),
    /// How wide it is at the edge, mm.
    pub intake: f64,
}

impl DrawnDart<'_> {
    /// How much of a width on the level `y` the dart takes out, mm.
    pub fn width_at(&self, y: f64) -> f64 {
        let on = |foot: Point, tip: Point| {
            let (low, high) = (foot[1].min(tip[1]), foot[1].max(tip[1]));
            // Above the feet the mouth is part of the dart only where it is folded away.
            if !(low..=high).contains(&y) || high - low < 1e-9 {
                return None;
            }
            let t = (y - foot[1]) / (tip[1] - foot[1]);
            Some(foot[0] + t * (tip[0] - foot[0]))
        };
        [Some(self.apex), self.top]
            .into_iter()
            .flatten()
            .find_map(|tip| Some((on(self.feet.0, tip)? - on(self.feet.1, tip)?).abs()))
            .unwrap_or(0.0)
    }
}

/// A dart below this is none, mm: half of what can be sewn.
pub(super) const MIN_INTAKE_MM: f64 = 1.0;

/// A stretch of outline between two darts or corners.
pub(super) type Run = Vec<(Point, f64)>;

/// Bends the two stretches beside a dart so that the edge runs on when it is closed;
/// gives the dart with its mouth, unless nothing is left of it to sew.
pub(super) fn mouth<'s>(
    gap: &Gap<'s>,
    edge: &'s str,
    before: &mut Run,
    after: &mut Run,
    way: f64,
) -> Option<DrawnDart<'s>> {
    let (a, b) = (before.last().copied()?, after.first().copied()?);
    let middle = [f64::midpoint(a.0[0], b.0[0]), f64::midpoint(a.0[1], b.0[1])];
    // Inside is to the right of the way when the outline runs clockwise.
    let inward = heading(a.0, b.0).unwrap_or(a.1) + way * std::f64::consts::FRAC_PI_2;
    let apex = gap.apex;
    let bend = closed_corner(a, b, apex) / 2.0;
    if bend.abs() <= MOST_BEND {
        // One blend for both legs, or they would not stay equal.
        let blend = BLEND_MM.min(walked(before) / 2.0).min(walked(after) / 2.0);
        bend_end(before, apex, bend, blend);
        after.reverse();
        for point in after.iter_mut() {
            point.1 += std::f64::consts::PI;
        }
        bend_end(after, apex, -bend, blend);
        after.reverse();
        for point in after.iter_mut() {
            point.1 -= std::f64::consts::PI;
        }
    }
    let (a, b) = (before.last().copied()?, after.first().copied()?);
    let intake = distance(a.0, b.0);
    if intake <= MIN_INTAKE_MM {
        return None;
    }
    // Folded toward a side, the cloth of the mouth lies on that side's edge: the
    // mouth is that edge mirrored about its leg, as far as the fold.
    let (foot, away) = if gap.toward_start { (a.0, a.1 + std::f64::consts::PI) } else { (b.0, b.1) };
    let leg = heading(foot, apex).unwrap_or(inward);
    let peak = meet(foot, leg + turn(away, leg), apex, inward).unwrap_or(middle);
    let headings = (a.1, b.1);
    Some(DrawnDart { key: gap.key, edge, feet: (a.0, b.0), peak, apex, top: None, headings, intake })
}

/// A larger corner over a closed dart is meant, or a fault that the truths will tell:
/// it is not blended away (60° between both sides; judgement).
const MOST_BEND: f64 = std::f64::consts::FRAC_PI_6;

pub(super) fn walked(run: &[(Point, f64)]) -> f64 {
    run.windows(2).map(|pair| if let [a, b] = pair { distance(a.0, b.0) } else { 0.0 }).sum()
}

/// A dart inside the piece: from `top` to `bottom`, `intake` wide at `widest`.
pub(super) fn inside(key: &str, widest: Point, top: Point, bottom: Point, intake: f64) -> Option<DrawnDart<'_>> {
    let across = heading(top, bottom)? + std::f64::consts::FRAC_PI_2;
    let foot = |mm: f64| [widest[0] + across.cos() * mm, widest[1] + across.sin() * mm];
    Some(DrawnDart {
        key,
        edge: "",
        feet: (foot(intake / 2.0), foot(-intake / 2.0)),
        peak: widest,
        apex: bottom,
        top: Some(top),
        headings: (across, across),
        intake,
    })
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
fn bend_end(run: &mut Run, apex: Point, bend: f64, blend: f64) {
    let Some(end) = run.last().copied() else { return };
    if bend.abs() < 1e-6 {
        return;
    }
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
