//! Truths of single pieces: outlines, allowances, folds.

use super::super::super::drafted::{Edge, Piece, Truth};
use super::{CORNER, Proof, truth};
use crate::geom::{Boxed, Point, area, distance, heading, is_simple, squared_distance_to_side, turn};

/// Allowances hold within this along their edges, mm (architecture.md).
const ALLOWANCE_MM: f64 = 0.05;
/// Places along an edge at which its allowance is measured.
const PLACES: usize = 9;

/// Every outline is a closed curve that does not cross itself.
pub(super) fn simple(proof: &Proof<'_>) -> Truth {
    let mut faults = Vec::new();
    for piece in proof.pieces {
        for (outline, which) in [(&piece.sewing, "sewing"), (&piece.cutting, "cutting")] {
            if let Err([x, y]) = is_simple(outline) {
                faults.push(format!("{}: the {which} line meets itself at ({x:.0}, {y:.0}) mm", piece.label));
            }
        }
    }
    let pieces = proof.pieces.len();
    truth("Outlines close and do not cross themselves", faults, format!("{pieces} pieces, sewing and cutting lines"))
}

/// The cutting line lies outside the sewing line by the allowance of each edge.
pub(super) fn allowances(proof: &Proof<'_>) -> Truth {
    let mut faults = Vec::new();
    let mut edges = 0;
    for piece in proof.pieces {
        let cutting = Boxed::of(&piece.cutting);
        for (i, edge) in piece.edges.iter().enumerate().filter(|(_, edge)| !edge.is_fold) {
            edges += 1;
            if let Some(off) = wrong_allowance(piece, &cutting, i) {
                faults.push(format!(
                    "{}, {}: the allowance is {} and should be {}",
                    piece.label,
                    edge.label,
                    proof.told(off),
                    proof.told(edge.allowance_mm)
                ));
            }
        }
    }
    truth("The cutting line keeps each edge's allowance", faults, format!("{edges} edges"))
}

/// An allowance that is not what it should be. At places along the edge the cutting
/// line must lie just its allowance away; nearer only where another edge with a
/// smaller one comes close (a corner, the fold), further only where what lies beyond
/// belongs to the allowance of another place (a hollow).
fn wrong_allowance(piece: &Piece, cutting: &Boxed, at: usize) -> Option<f64> {
    let edge = piece.edges.get(at)?;
    let allowance = edge.allowance_mm;
    let step = (edge.points.len() / PLACES).max(1);
    let places = edge.points.windows(2).step_by(step).filter_map(|pair| match pair {
        [a, b] => Some(([f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])], heading(*a, *b)?)),
        _ => None,
    });
    let way = if area(&piece.sewing) > 0.0 { 1.0 } else { -1.0 };
    let mut near = 0;
    for (p, along) in places {
        // The mouth of a dart has corners of its own.
        let by_dart = piece
            .darts
            .iter()
            .any(|d| [d.feet.0, d.feet.1, d.peak].iter().any(|q| distance(*q, p) < 2.0 * allowance + 1.0));
        if by_dart {
            continue;
        }
        let off = cutting.distance(p, &mut near);
        if allowance > ALLOWANCE_MM && !cutting.contains(p) {
            return Some(-off);
        }
        // The others can only excuse what lies too near: mostly nothing does.
        if off < allowance - ALLOWANCE_MM {
            let others = piece.edges.iter().enumerate().filter(|(i, _)| *i != at);
            let nearest = others
                .map(|(_, other)| nearest_excused(from_line(other, p), other.allowance_mm))
                .fold(allowance, f64::min);
            if off < nearest - ALLOWANCE_MM {
                return Some(off);
            }
        }
        if off > allowance + ALLOWANCE_MM {
            let (sin, cos) = along.sin_cos();
            let reach = (allowance + 1.02 * ALLOWANCE_MM) * way;
            let beyond = [p[0] + sin * reach, p[1] - cos * reach];
            if !piece.edges.iter().any(|e| !e.is_fold && from_edge(e, beyond) <= e.allowance_mm + ALLOWANCE_MM) {
                return Some(off);
            }
        }
    }
    None
}

/// Distance of a point from an edge; from a fold, of its whole straight line: the cutting
/// line follows that line above a V in the neck, too.
fn from_line(edge: &Edge, p: Point) -> f64 {
    match (edge.is_fold, edge.points.first(), edge.points.last()) {
        (true, Some(a), Some(b)) => heading(*a, *b).map_or_else(
            || distance(*a, p),
            |along| {
                let (sin, cos) = along.sin_cos();
                ((p[0] - a[0]) * sin - (p[1] - a[1]) * cos).abs()
            },
        ),
        _ => from_edge(edge, p),
    }
}

/// How near the cutting line may lie because of another edge: at a corner, or past a step
/// where two edges run straight on with different allowances.
fn nearest_excused(away: f64, allowance: f64) -> f64 {
    (BLUNT * away + allowance).min(away.hypot(allowance))
}

/// The line of a neighbour comes this much nearer than its end where a corner is as
/// blunt as 135° (the sine of it); blunter corners mix allowances over less than 1 mm.
const BLUNT: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Distance of a point from an edge, mm.
fn from_edge(edge: &Edge, p: Point) -> f64 {
    edge.points
        .windows(2)
        .map(|pair| if let [a, b] = pair { squared_distance_to_side(*a, *b, p) } else { f64::INFINITY })
        .fold(f64::INFINITY, f64::min)
        .sqrt()
}

/// Edges meet a fold at a right angle, but for the points that are meant.
pub(super) fn folds(proof: &Proof<'_>) -> Option<Truth> {
    let mut faults = Vec::new();
    let (mut corners, mut meant) = (0, 0);
    for rule in &proof.style.pieces {
        let Some(piece) = proof.drawing.pieces.get(rule.key.as_str()) else { continue };
        let edges = piece.standing();
        for (i, edge) in edges.iter().enumerate() {
            let Some(next) = edges.get((i + 1) % edges.len()) else { continue };
            if edge.is_fold == next.is_fold {
                continue;
            }
            corners += 1;
            let (Some(arrives), Some(leaves)) = (edge.curve.end_heading(), next.curve.start_heading()) else {
                continue;
            };
            let off = (turn(arrives, leaves).abs() - std::f64::consts::FRAC_PI_2).abs();
            // Both halves of the cloth turn away by the same angle.
            if off * 2.0 > CORNER {
                let here = next.points().first().map(|(p, _)| *p);
                let is_meant = rule
                    .points
                    .iter()
                    .any(|name| piece.point(name).zip(here).is_some_and(|(p, h)| distance(p, h) < 1e-3));
                if is_meant {
                    meant += 1;
                } else {
                    faults.push(format!(
                        "{}: {} and {} meet the fold {:.1}° off square",
                        proof.style.label_of(&rule.key),
                        proof.style.label_of(edge.key),
                        proof.style.label_of(next.key),
                        off.to_degrees()
                    ));
                }
            }
        }
    }
    let marks = if meant > 0 { format!(", {meant} meant points") } else { String::new() };
    (corners > 0).then(|| truth("Edges meet the fold at a right angle", faults, format!("{corners} corners{marks}")))
}

#[cfg(test)]
mod tests {
    use super::super::super::super::{BOOK, Input, Style, draft};
    use super::wrong_allowance;
    use crate::geom::Boxed;
    use crate::measure::{Length, Showing};

    #[test]
    fn a_cutting_line_off_by_a_tenth_of_a_millimetre_is_found() {
        for book in BOOK {
            let style = Style::read(book.text).unwrap();
            let mut input = Input::new(Showing::EIGHTHS);
            let girths = if style.wearer() == "children" { [25, 23, 27] } else { [36, 28, 38] };
            for (key, inches) in ["bust_girth", "waist_girth", "hip_girth"].into_iter().zip(girths) {
                input.body.insert(key.into(), Length::inches(inches, 2));
            }
            let draft = draft(&style, &input).unwrap();
            for piece in &draft.pieces {
                let mut moved = piece.clone();
                for point in &mut moved.cutting {
                    point[0] += 0.1;
                    point[1] += 0.1;
                }
                let mut small = piece.clone();
                small.cutting.clone_from(&small.sewing);
                let sees = |p: &super::Piece| {
                    (0..p.edges.len())
                        .filter(|i| !p.edges[*i].is_fold)
                        .any(|i| wrong_allowance(p, &Boxed::of(&p.cutting), i).is_some())
                };
                assert!(!sees(piece), "{}", piece.label);
                // The narrow interfacing has no allowance and no place away from its corners.
                if piece.edges.iter().any(|e| e.allowance_mm > 0.0) {
                    assert!(sees(&moved), "{}", piece.label);
                    assert!(sees(&small), "{}", piece.label);
                }
            }
        }
    }
}
