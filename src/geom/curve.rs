//! A curve as a cutter draws it: through points, with headings where they matter.

use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, ParamCurveArea, ParamCurveDeriv, PathEl};

use super::{FLATTEN_MM, Point, SAME_POINT_MM, distance, heading, squared, turn};

/// A smooth curve made of cubic spans, each starting where the last ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    spans: Vec<CubicBez>,
}

/// A point that a curve runs through, with its heading there if it is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knot {
    /// Where.
    pub at: Point,
    /// In which direction the curve passes, radians.
    pub heading: Option<f64>,
}

/// The share of a step at which the ends of a curve have one point more: its chord then
/// turns away from the tangent by a tenth of what the whole step's does.
const NEAR_END: f64 = 0.1;

/// Arc lengths are worked to this accuracy, mm: a hundredth of a flattening error.
const LENGTH_MM: f64 = 1e-5;

/// A circular arc is split into cubics of at most this angle; each then leaves the
/// circle by less than 4e-6 of the radius (standard bound for cubic arcs of 45°).
const ARC_SPAN: f64 = std::f64::consts::FRAC_PI_4;

impl Curve {
    /// The straight line from `a` to `b`.
    #[must_use]
    pub fn line(a: Point, b: Point) -> Curve {
        Curve { spans: vec![straight(a, b)] }
    }

    /// Straight from point to point.
    #[must_use]
    pub fn polyline(points: &[Point]) -> Curve {
        let spans = points.iter().zip(points.iter().skip(1)).map(|(a, b)| straight(*a, *b)).collect();
        Curve { spans }
    }

    /// Curves one after another; each starts where the one before it ended.
    #[must_use]
    pub fn joined(parts: impl IntoIterator<Item = Curve>) -> Curve {
        Curve { spans: parts.into_iter().flat_map(|part| part.spans).collect() }
    }

    /// The arc of a circle about `centre` from `a` round to `b` the shorter way; the
    /// radius runs evenly from that of `a` to that of `b`, equal in a true circle.
    #[must_use]
    pub fn arc(centre: Point, a: Point, b: Point) -> Curve {
        let (ra, rb) = (distance(centre, a), distance(centre, b));
        let (Some(from), Some(to)) = (heading(centre, a), heading(centre, b)) else { return Curve::line(a, b) };
        let sweep = turn(from, to);
        if sweep.abs() < 1e-9 {
            return Curve::line(a, b);
        }
        let mut count = 1_u32;
        while sweep.abs() / f64::from(count) > ARC_SPAN && count < 64 {
            count += 1;
        }
        let step = sweep / f64::from(count);
        // Handle of a cubic arc: 4/3 tan(step/4) of the radius.
        let handle = 4.0 / 3.0 * (step / 4.0).tan();
        let at = |i: u32| {
            let share = f64::from(i) / f64::from(count);
            let (angle, radius) = (from + sweep * share, ra + (rb - ra) * share);
            let (sin, cos) = angle.sin_cos();
            ([centre[0] + radius * cos, centre[1] + radius * sin], [-sin * radius * handle, cos * radius * handle])
        };
        let spans = (0..count)
            .map(|i| {
                let (p0, d0) = at(i);
                let (p3, d3) = at(i + 1);
                cubic(p0, [p0[0] + d0[0], p0[1] + d0[1]], [p3[0] - d3[0], p3[1] - d3[1]], p3)
            })
            .collect();
        Curve { spans }
    }

    /// The smooth curve through `knots` in order. A heading that is not given is
    /// chosen: inside, the heading of the parabola through the neighbours; at an
    /// end, so that the span bends evenly. One span without headings is straight.
    #[must_use]
    pub fn through(knots: &[Knot]) -> Curve {
        let mut kept: Vec<Knot> = Vec::with_capacity(knots.len());
        for knot in knots {
            match kept.last_mut() {
                Some(last) if squared(last.at, knot.at) <= SAME_POINT_MM * SAME_POINT_MM => {
                    last.heading = last.heading.or(knot.heading);
                }
                _ => kept.push(*knot),
            }
        }
        let headings = headings(&kept);
        let spans = kept
            .windows(2)
            .zip(headings.windows(2))
            .filter_map(|(pair, heads)| match (pair, heads) {
                ([a, b], [from, to]) => Some(span(a.at, *from, b.at, *to)),
                _ => None,
            })
            .collect();
        Curve { spans }
    }

    /// Whether the curve has no length at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.spans.iter().all(|s| (s.p3 - s.p0).hypot() <= SAME_POINT_MM && (s.p1 - s.p0).hypot() <= SAME_POINT_MM)
    }

    /// Where it starts.
    #[must_use]
    pub fn start(&self) -> Option<Point> {
        self.spans.first().map(|s| [s.p0.x, s.p0.y])
    }

    /// Where it ends.
    #[must_use]
    pub fn end(&self) -> Option<Point> {
        self.spans.last().map(|s| [s.p3.x, s.p3.y])
    }

    /// The heading with which it leaves its start.
    #[must_use]
    pub fn start_heading(&self) -> Option<f64> {
        let s = self.spans.first()?;
        [s.p1, s.p2, s.p3].iter().find_map(|p| heading([s.p0.x, s.p0.y], [p.x, p.y]))
    }

    /// The heading with which it arrives at its end.
    #[must_use]
    pub fn end_heading(&self) -> Option<f64> {
        let s = self.spans.last()?;
        [s.p2, s.p1, s.p0].iter().find_map(|p| heading([p.x, p.y], [s.p3.x, s.p3.y]))
    }

    /// Its length, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.spans
            .iter()
            .map(|s| if is_straight(s) { (s.p3 - s.p0).hypot2().sqrt() } else { s.arclen(LENGTH_MM) })
            .sum()
    }

    /// The area between the curve and the chord from its start to its end, mm²; with the sign
    /// of [`area`](super::area) of an outline that runs along it.
    #[must_use]
    pub fn belly(&self) -> f64 {
        let chord = self.start().zip(self.end()).map_or(0.0, |(a, b)| (a[0] * b[1] - b[0] * a[1]) / 2.0);
        self.spans.iter().map(ParamCurveArea::signed_area).sum::<f64>() - chord
    }

    /// How many chords [`Curve::flattened`] makes of it.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.spans.iter().map(|s| usize::try_from(span_steps(s)).unwrap_or(usize::MAX)).sum()
    }

    /// Points along it, both ends included, with the heading at each; the chords
    /// stay within [`FLATTEN_MM`] of the curve.
    #[must_use]
    pub fn flattened(&self) -> Vec<(Point, f64)> {
        let mut points: Vec<(Point, f64)> = Vec::new();
        let mut last_heading = self.start_heading().unwrap_or(0.0);
        let last = self.spans.len().saturating_sub(1);
        for (n, s) in self.spans.iter().enumerate() {
            let count = span_steps(s);
            // All of this span, its first point and the two near the ends.
            points.reserve(usize::try_from(count).unwrap_or_default() + 3);
            let derivative = s.deriv();
            let step = 1.0 / f64::from(count);
            // Nearer to the ends, so that the chord leaves them as the curve does: an
            // allowance squared off there is as far out as its own chord's.
            let after_start = (count > 1 && n == 0).then_some(step * NEAR_END);
            let before_end = (count > 1 && n == last).then_some(1.0 - step * NEAR_END);
            let even = |i: u32| f64::from(i) * step;
            let first = points.is_empty().then_some(0.0);
            let places = first.into_iter().chain(after_start).chain((1..count).map(even)).chain(before_end);
            for t in places.chain([even(count)]) {
                let (p, d) = (s.eval(t), derivative.eval(t));
                if d.to_vec2().hypot2() > 1e-18 {
                    last_heading = d.y.atan2(d.x);
                }
                points.push(([p.x, p.y], last_heading));
            }
        }
        if let (Some(first), Some(head)) = (points.first_mut(), self.start_heading()) {
            first.1 = head;
        }
        if let (Some(last), Some(head)) = (points.last_mut(), self.end_heading()) {
            last.1 = head;
        }
        points
    }

    /// The curve turned over: x becomes −x. It still runs from its start to its end.
    #[must_use]
    pub fn turned_over(&self) -> Curve {
        let flip = |p: kurbo::Point| kurbo::Point::new(-p.x, p.y);
        let spans = self.spans.iter().map(|s| CubicBez::new(flip(s.p0), flip(s.p1), flip(s.p2), flip(s.p3)));
        Curve { spans: spans.collect() }
    }

    /// The curve turned by `angle` about `centre`; positive from x towards y.
    #[must_use]
    pub fn rotated(&self, centre: Point, angle: f64) -> Curve {
        let go = |p: kurbo::Point| {
            let [x, y] = super::rotated([p.x, p.y], centre, angle);
            kurbo::Point::new(x, y)
        };
        let spans = self.spans.iter().map(|s| CubicBez::new(go(s.p0), go(s.p1), go(s.p2), go(s.p3)));
        Curve { spans: spans.collect() }
    }

    /// The part of the curve from its start (`from_start`) or its end that is `mm`
    /// long; all of it when it is shorter.
    #[must_use]
    pub fn part(&self, mm: f64, from_start: bool) -> Curve {
        let mut left = mm;
        let mut spans = Vec::new();
        let order: Vec<&CubicBez> =
            if from_start { self.spans.iter().collect() } else { self.spans.iter().rev().collect() };
        for s in order {
            let whole = s.arclen(LENGTH_MM);
            if left <= 0.0 {
                break;
            }
            if left >= whole {
                spans.push(*s);
            } else if from_start {
                spans.push(s.subsegment(0.0..s.inv_arclen(left, LENGTH_MM)));
            } else {
                spans.push(s.subsegment(s.inv_arclen(whole - left, LENGTH_MM)..1.0));
            }
            left -= whole;
        }
        if !from_start {
            spans.reverse();
        }
        Curve { spans }
    }

    /// Points with headings from `from` to `to` mm along the curve.
    #[must_use]
    pub fn between(&self, from: f64, to: f64) -> Vec<(Point, f64)> {
        self.part(to, true).part(to - from, false).flattened()
    }

    /// SVG path data of the curve after its first point.
    #[must_use]
    pub fn elements(&self) -> Vec<PathEl> {
        self.spans.iter().map(|s| PathEl::CurveTo(s.p1, s.p2, s.p3)).collect()
    }
}

fn cubic(p0: Point, p1: Point, p2: Point, p3: Point) -> CubicBez {
    CubicBez::new((p0[0], p0[1]), (p1[0], p1[1]), (p2[0], p2[1]), (p3[0], p3[1]))
}

fn straight(a: Point, b: Point) -> CubicBez {
    let at = |t: f64| [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
    cubic(a, at(1.0 / 3.0), at(2.0 / 3.0), b)
}

/// Whether both handles lie on the chord, between its ends.
fn is_straight(s: &CubicBez) -> bool {
    let chord = s.p3 - s.p0;
    let size = chord.hypot2().sqrt();
    let off = |p: kurbo::Point| chord.cross(p - s.p0).abs() <= 1e-9 * size.max(1.0);
    let within = |p: kurbo::Point| (0.0..=size * size).contains(&chord.dot(p - s.p0));
    off(s.p1) && off(s.p2) && within(s.p1) && within(s.p2)
}

/// How many equal parameter steps keep the chords of a cubic within
/// [`FLATTEN_MM`]: Wang's bound, √(6·max‖second difference‖ / (8·tolerance)).
fn span_steps(s: &CubicBez) -> u32 {
    if is_straight(s) {
        return 1;
    }
    let second = |a: kurbo::Point, b: kurbo::Point, c: kurbo::Point| ((a - b) - (b - c)).hypot2();
    let bend = second(s.p0, s.p1, s.p2).max(second(s.p1, s.p2, s.p3)).sqrt();
    let wanted = (6.0 * bend / (8.0 * FLATTEN_MM)).sqrt().ceil();
    let mut count = 1_u32;
    while f64::from(count) < wanted && count < 512 {
        count += 1;
    }
    count
}

/// A heading for every knot.
fn headings(knots: &[Knot]) -> Vec<f64> {
    let at = |i: usize| knots.get(i).map(|k| k.at);
    let chord = |i: usize| at(i).zip(at(i + 1)).and_then(|(a, b)| heading(a, b)).unwrap_or(0.0);
    let last = knots.len().saturating_sub(1);
    // Inside first: the heading of the parabola through the knot and its neighbours.
    let inside: Vec<Option<f64>> = knots
        .iter()
        .enumerate()
        .map(|(i, knot)| {
            knot.heading.or_else(|| {
                let (before, here, after) = (at(i.checked_sub(1)?)?, at(i)?, at(i + 1)?);
                let (d1, d2) = (distance(before, here), distance(here, after));
                let part = |axis: usize| (here[axis] - before[axis]) / d1 * d2 + (after[axis] - here[axis]) / d2 * d1;
                Some(part(1).atan2(part(0)))
            })
        })
        .collect();
    inside
        .iter()
        .enumerate()
        .map(|(i, given)| {
            given.unwrap_or_else(|| {
                // An end: mirror the other heading of its span about the chord.
                let (other, chord) = if i == 0 { (1, chord(0)) } else { (last.saturating_sub(1), chord(i - 1)) };
                let other = inside.get(other).copied().flatten();
                other.map_or(chord, |other| chord - turn(chord, other))
            })
        })
        .collect()
}

/// A bend below this part of the other is next to nothing (judgement: a waist that runs
/// level and hooks up at the side, a fifth, still lies on its parabola).
const NEXT_TO_NOTHING: f64 = 0.18;

/// One span with a heading at each end. Where the two tangents meet ahead it is
/// the parabola that touches both, which never overshoots; else a cubic with
/// handles of a third of the chord.
fn span(a: Point, from: f64, b: Point, to: f64) -> CubicBez {
    let chord = distance(a, b);
    let Some(along) = heading(a, b) else { return straight(a, b) };
    let (bend_a, bend_b) = (turn(from, along), turn(along, to));
    if bend_a.abs() < 1e-9 && bend_b.abs() < 1e-9 {
        return straight(a, b);
    }
    let third = chord / 3.0;
    let sum = bend_a + bend_b;
    // Tangents meet ahead of `a` and behind `b`: both bends have one sign and turn
    // less than half round (law of sines in the triangle of chord and tangents).
    // With one bend next to nothing its far handle would vanish and leave a kink, and
    // change at a stroke where the bend changes sides: there the handles run from those
    // of the parabola to thirds (share 0 to 1).
    let (small, large) = (bend_a.abs().min(bend_b.abs()), bend_a.abs().max(bend_b.abs()));
    let share = (small / (large * NEXT_TO_NOTHING)).min(1.0);
    let (ha, hb) = if bend_a * bend_b > 0.0 && sum.abs() < std::f64::consts::PI * 0.95 {
        let ahead = chord * bend_b.sin() / sum.sin();
        let behind = chord * bend_a.sin() / sum.sin();
        let least = chord / 5.0 * (1.0 - share);
        ((ahead * 2.0 / 3.0).max(least), (behind * 2.0 / 3.0).max(least))
    } else if bend_a.abs() < bend_b.abs() {
        (third * (2.0 - share), chord / 5.0 + (third - chord / 5.0) * share)
    } else {
        (chord / 5.0 + (third - chord / 5.0) * share, third * (2.0 - share))
    };
    let step = |p: Point, angle: f64, mm: f64| [p[0] + angle.cos() * mm, p[1] + angle.sin() * mm];
    cubic(a, step(a, from, ha), step(b, to, -hb), b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    #[test]
    fn a_quarter_circle_has_the_length_of_a_quarter_circle() {
        let arc = Curve::arc([0.0, 0.0], [100.0, 0.0], [0.0, 100.0]);
        assert!((arc.length() - 50.0 * PI).abs() < 1e-3, "{}", arc.length());
        for (p, _) in arc.flattened() {
            assert!((p[0].hypot(p[1]) - 100.0).abs() < 1e-3);
        }
        assert!((arc.start_heading().unwrap() - FRAC_PI_2).abs() < 1e-9);
    }

    #[test]
    fn a_curve_keeps_its_points_and_headings() {
        let knots = [
            Knot { at: [0.0, 0.0], heading: Some(0.0) },
            Knot { at: [50.0, 40.0], heading: None },
            Knot { at: [60.0, 200.0], heading: Some(FRAC_PI_2) },
        ];
        let curve = Curve::through(&knots);
        assert!((curve.start_heading().unwrap()).abs() < 1e-9);
        assert!((curve.end_heading().unwrap() - FRAC_PI_2).abs() < 1e-9);
        assert!(curve.flattened().iter().any(|(p, _)| distance(*p, [50.0, 40.0]) < 1e-9));
    }

    #[test]
    fn a_span_without_headings_is_straight() {
        let knot = |at| Knot { at, heading: None };
        let curve = Curve::through(&[knot([0.0, 0.0]), knot([30.0, 40.0])]);
        assert_eq!(curve.flattened().len(), 2);
        assert!((curve.length() - 50.0).abs() < 1e-12);
    }

    #[test]
    fn a_hook_at_the_end_does_not_dip() {
        // A waist that runs level and rises 9.5 mm at the side never falls below level.
        let curve = Curve::through(&[
            Knot { at: [0.0, 0.0], heading: Some(0.0) },
            Knot { at: [197.0, -9.5], heading: Some(-0.3) },
        ]);
        assert!(curve.flattened().iter().all(|(p, _)| p[1] <= 1e-9));
    }

    #[test]
    fn a_part_has_the_length_asked_for() {
        let arc = Curve::arc([0.0, 0.0], [100.0, 0.0], [0.0, 100.0]);
        assert!((arc.part(60.0, true).length() - 60.0).abs() < 1e-3);
        assert!((arc.part(60.0, false).length() - 60.0).abs() < 1e-3);
        assert_eq!(arc.part(60.0, false).end(), arc.end());
    }

    proptest! {
        #[test]
        fn flattening_stays_on_the_curve(x in -300.0_f64..300.0, y in 20.0_f64..900.0, h in -1.4_f64..1.4, g in -1.4_f64..1.4) {
            let curve = Curve::through(&[
                Knot { at: [0.0, 0.0], heading: Some(FRAC_PI_2 + h) },
                Knot { at: [x, y], heading: Some(FRAC_PI_2 + g) },
            ]);
            let points = curve.flattened();
            let chords: f64 = points.windows(2).map(|w| distance(w[0].0, w[1].0)).sum();
            prop_assert!(chords <= curve.length() + 1e-6);
            prop_assert!(curve.length() - chords < 0.05, "{} {}", curve.length(), chords);
        }
    }
}
