//! Truths of single pieces: outlines, allowances, folds.

use super::super::super::drafted::{Edge, Piece, Truth};
use super::{CORNER, Proof, truth};
use crate::geom::{Point, contains, distance, distance_to_outline, is_simple, turn};

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
        for edge in piece.edges.iter().filter(|edge| !edge.is_fold) {
            edges += 1;
            if let Some(off) = worst_allowance(piece, edge) {
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

/// An allowance that is not what it should be, away from the edge's corners.
fn worst_allowance(piece: &Piece, edge: &Edge) -> Option<f64> {
    let (first, last) = (*edge.points.first()?, *edge.points.last()?);
    // Beside its corners an edge is nearer to its neighbour's allowance or to the fold.
    let clear = 2.0 * piece.edges.iter().map(|e| e.allowance_mm).fold(0.0, f64::max) + 1.0;
    let step = (edge.points.len() / PLACES).max(1);
    // Straight edges have two points: look between them too.
    let between = edge.points.windows(2).map(|pair| match pair {
        [a, b] => [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])],
        _ => first,
    });
    let places = edge.points.iter().copied().step_by(step).chain(between.step_by(step));
    // The mouth of a dart has corners of its own.
    let by_dart =
        |p: &Point| piece.darts.iter().any(|d| [d.feet.0, d.feet.1, d.peak].iter().any(|q| distance(*q, *p) < clear));
    places.filter(|p| !by_dart(p)).filter(|p| distance(*p, first) > clear && distance(*p, last) > clear).find_map(|p| {
        let off = distance_to_outline(&piece.cutting, p);
        let wrong_side = edge.allowance_mm > ALLOWANCE_MM && !contains(&piece.cutting, p);
        // A neighbour that comes round close by may bring its own, smaller allowance nearer.
        let near = piece
            .edges
            .iter()
            .any(|other| other.key != edge.key && other.points.iter().any(|q| distance(*q, p) < clear));
        (wrong_side || (!near && (off - edge.allowance_mm).abs() > ALLOWANCE_MM)).then_some(if wrong_side {
            -off
        } else {
            off
        })
    })
}

/// Edges meet a fold at a right angle, but for the points that are meant.
pub(super) fn folds(proof: &Proof<'_>) -> Option<Truth> {
    let mut faults = Vec::new();
    let (mut corners, mut meant) = (0, 0);
    for rule in &proof.style.pieces {
        let Some(piece) = proof.drawing.pieces.get(&rule.key) else { continue };
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
                let here = next.points.first().map(|(p, _)| *p);
                let is_meant = rule
                    .points
                    .iter()
                    .any(|name| piece.points.get(name).zip(here).is_some_and(|(p, h)| distance(*p, h) < 1e-3));
                if is_meant {
                    meant += 1;
                } else {
                    faults.push(format!(
                        "{}: {} and {} meet the fold {:.1}° off square",
                        proof.style.label_of(&rule.key),
                        proof.style.label_of(&edge.key),
                        proof.style.label_of(&next.key),
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
    use super::worst_allowance;
    use crate::measure::{Length, Showing};

    #[test]
    fn a_cutting_line_off_by_a_tenth_of_a_millimetre_is_found() {
        for book in BOOK {
            let style = Style::read(book.text).unwrap();
            let mut input = Input::new(Showing::EIGHTHS);
            input.body.insert("waist_girth".into(), Length::inches(28, 2));
            input.body.insert("hip_girth".into(), Length::inches(38, 0));
            let draft = draft(&style, &input).unwrap();
            for piece in &draft.pieces {
                let mut moved = piece.clone();
                for point in &mut moved.cutting {
                    point[0] += 0.1;
                    point[1] += 0.1;
                }
                let mut small = piece.clone();
                small.cutting.clone_from(&small.sewing);
                let sees =
                    |p: &super::Piece| p.edges.iter().filter(|e| !e.is_fold).any(|e| worst_allowance(p, e).is_some());
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
