//! The truth of hems: what is turned up lies flat on the garment.

use super::super::super::drafted::{Edge, Piece, Truth};
use super::{Proof, truth};
use crate::geom::{Point, area, contains, crossing, distance, heading, length_along, turn};

/// So much of the width on which a hem lies may be eased in, for a row of easing
/// thread shrinks no more (judgement).
const MOST_EASED: f64 = 0.05;
/// So much may be stretched where the hem is hollow: a cut edge that runs off the grain
/// gives so much under the iron (judgement).
const MOST_STRETCHED: f64 = 0.03;
/// A difference below this lies flat by itself, mm: half a sixteenth of an inch.
const FLAT_MM: f64 = 0.8;
/// The cut edge is measured this much inside itself, mm, so that the line crosses the ends.
const INSIDE_MM: f64 = 0.2;

/// The cut edge of each hem against the garment's width at the level where it will lie.
pub(super) fn lie_flat(proof: &Proof<'_>) -> Option<Truth> {
    let (mut faults, mut found) = (Vec::new(), Vec::new());
    let mut count = 0;
    for piece in proof.pieces {
        for hem in hems(piece) {
            count += 1;
            let halves = if piece.on_fold { 2.0 } else { 1.0 };
            let (Some(cut), Some(lies_on)) = (level(piece, &hem, INSIDE_MM - hem.depth), level(piece, &hem, hem.depth))
            else {
                faults.push(format!("{}: the hem of {} does not lie on it", piece.label, proof.told(hem.depth)));
                continue;
            };
            let more = (cut - lies_on) * halves;
            let words = |how: &str| format!("{}: {} to {how}", piece.label, proof.told(more.abs()));
            if more > MOST_EASED * lies_on * halves {
                faults.push(format!(
                    "{} of {}, more than {:.0} %: turn up a shallower hem, or face it",
                    words("ease in"),
                    proof.told(cut * halves),
                    MOST_EASED * 100.0
                ));
            } else if -more > MOST_STRETCHED * lies_on * halves {
                faults.push(format!(
                    "{} of {}, more than {:.0} %: turn up a shallower hem, or face it",
                    words("stretch"),
                    proof.told(cut * halves),
                    MOST_STRETCHED * 100.0
                ));
            } else if more.abs() > FLAT_MM {
                found.push(words(if more > 0.0 { "ease in" } else { "stretch" }));
            }
        }
    }
    if found.is_empty() {
        found.push("nothing to ease in".into());
    }
    (count > 0).then(|| truth("Hem lies flat when turned up", faults, found.join("; ")))
}

/// A hem of a piece: its line, and how deep it is turned.
struct Hem {
    line: Vec<Point>,
    depth: f64,
    /// How far the cutting line can lie beside its ends.
    reach: f64,
}

/// The runs of edges that are turned up.
fn hems(piece: &Piece) -> Vec<Hem> {
    let count = piece.edges.len();
    let is_hem = |edge: &Edge| edge.turned_up && edge.allowance_mm > 2.0 * INSIDE_MM;
    let first = |i: &usize| {
        let before = piece.edges.get((i + count - 1) % count);
        piece.edges.get(*i).is_some_and(is_hem) && !before.is_some_and(is_hem)
    };
    let widest = piece.edges.iter().map(|edge| edge.allowance_mm).fold(0.0, f64::max);
    (0..count)
        .filter(first)
        .map(|i| {
            let run: Vec<&Edge> = piece.edges.iter().cycle().skip(i).take(count).take_while(|e| is_hem(e)).collect();
            let mut line: Vec<Point> = run.iter().flat_map(|edge| edge.points.iter().copied()).collect();
            line.dedup_by(|a, b| distance(*a, *b) < 1e-6);
            let depth = run.iter().map(|edge| edge.allowance_mm).fold(0.0, f64::max);
            Hem { line, depth, reach: 2.0 * widest + depth }
        })
        .collect()
}

/// The length of the line that lies `depth` inside the hem (outside, when negative),
/// from cutting line to cutting line.
fn level(piece: &Piece, hem: &Hem, depth: f64) -> Option<f64> {
    let way = if area(&piece.sewing) > 0.0 { depth } else { -depth };
    let count = hem.line.len();
    let at = |i: usize| hem.line.get(i.min(count.saturating_sub(1))).copied();
    let along = |i: usize| heading(at(i)?, at(i + 1)?);
    let size = |i: usize| at(i).zip(at(i + 1)).map_or(0.0, |(a, b)| distance(a, b));
    // From the middle of its last chord the line bends on to its end as it bent from the chord before.
    let on_to_end = |last: usize, before: usize| size(last) / (size(last) + size(before)).max(1e-9);
    let mut line = Vec::with_capacity(count + 2);
    let mut headings = Vec::with_capacity(count);
    for i in 0..count {
        // Inside the mean of the two sides that meet there; at an end drawn on as it bends.
        let (before, after) = (i.checked_sub(1).and_then(along), along(i).filter(|_| i + 1 < count));
        let along = match (before, after) {
            (Some(a), Some(b)) => a + turn(a, b) / 2.0,
            (None, Some(b)) => b - along(1).filter(|_| count > 2).map_or(0.0, |next| turn(b, next) * on_to_end(0, 1)),
            (Some(a), None) => {
                a + i.checked_sub(2).and_then(along).map_or(0.0, |last| turn(last, a) * on_to_end(i - 1, i - 2))
            }
            (None, None) => return None,
        };
        let (sin, cos) = along.sin_cos();
        let p = at(i)?;
        line.push([p[0] - sin * way, p[1] + cos * way]);
        headings.push(along);
    }
    let on = |p: &Point, along: &f64, mm: f64| [p[0] + along.cos() * mm, p[1] + along.sin() * mm];
    let before = on(line.first()?, headings.first()?, -hem.reach);
    let after = on(line.last()?, headings.last()?, hem.reach);
    line.insert(0, before);
    line.push(after);
    let line = from_outline(line, &piece.cutting)?;
    let line = from_outline(line.into_iter().rev().collect(), &piece.cutting)?;
    Some(length_along(&line))
}

/// The run from where it comes into the outline. Drawn on beyond its end it may cross another
/// part of the piece further out: there the crossing next to the hem counts, if there is one.
fn from_outline(run: Vec<Point>, outline: &[Point]) -> Option<Vec<Point>> {
    for (i, (a, b)) in run.iter().zip(run.iter().skip(1)).enumerate() {
        let drawn_on = i == 0;
        if drawn_on && !contains(outline, *b) {
            continue;
        }
        let crossings =
            outline.iter().zip(outline.iter().cycle().skip(1)).filter_map(|(c, d)| crossing(*a, *b, *c, *d));
        if let Some(place) = crossings.min_by(|p, q| {
            let near = if drawn_on { *b } else { *a };
            distance(near, *p).total_cmp(&distance(near, *q))
        }) {
            return Some([place].into_iter().chain(run.into_iter().skip(i + 1)).collect());
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::{Cloth, Grain};

    /// A quarter skirt that leans out to its straight hem, 40 mm turned up.
    fn flared(cutting: Vec<Point>) -> Piece {
        let edge = |key: &str, points: Vec<Point>, allowance_mm: f64| Edge {
            key: key.into(),
            label: key.into(),
            is_fold: key == "centre",
            turned_up: key == "hem",
            allowance_mm,
            length_mm: length_along(&points),
            points,
        };
        let corners: [Point; 4] = [[0.0, 0.0], [200.0, 0.0], [300.0, 500.0], [0.0, 500.0]];
        let [a, b, c, d] = corners;
        Piece {
            key: "front".into(),
            label: "Front".into(),
            letter: "A".into(),
            count: 1,
            on_fold: true,
            pairs: false,
            grain: Grain::Along,
            off_grain_deg: 0,
            cloth: Cloth::Main,
            edges: vec![
                edge("waist", vec![a, b], 0.0),
                edge("side", vec![b, c], 0.0),
                edge("hem", vec![c, d], 40.0),
                edge("centre", vec![d, a], 0.0),
            ],
            sewing: corners.into(),
            cutting,
            fold: Some((d, a)),
            darts: Vec::new(),
            pleats: Vec::new(),
            notches: Vec::new(),
            chalk: Vec::new(),
        }
    }

    #[test]
    fn the_mirrored_end_lies_flat_and_the_plain_one_does_not() {
        let more = |cutting: Vec<Point>| {
            let piece = flared(cutting);
            let hem = &hems(&piece)[0];
            level(&piece, hem, INSIDE_MM - hem.depth).unwrap() - level(&piece, hem, hem.depth).unwrap()
        };
        let [a, b, c, d] = [[0.0, 0.0], [200.0, 0.0], [300.0, 500.0], [0.0, 500.0]];
        let mirrored = more(vec![a, b, c, [292.0, 540.0], [0.0, 540.0], d]);
        assert!(mirrored.abs() < 0.3, "{mirrored}");
        // Drawn on along the side, the cut edge is 16 mm wider than the skirt there.
        let plain = more(vec![a, b, c, [308.0, 540.0], [0.0, 540.0], d]);
        assert!((plain - 16.0).abs() < 0.3, "{plain}");
    }
}
