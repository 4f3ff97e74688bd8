//! The truth of linings: shorter by what was asked, and laid as long as their piece.

use super::super::super::drafted::Truth;
use super::super::super::fault::Fault;
use super::super::lining::hem_keys;
use super::{EQUAL_MM, Proof, truth};
use crate::geom::{Point, distance, squared_distance_to_side};

/// Each lining hangs above its hem by what the style says, and its other edges, darts
/// tucked and the pleat laid, are as long as those of the piece.
pub(super) fn fit(proof: &Proof<'_>) -> Result<Option<Truth>, Fault> {
    let (mut faults, mut found) = (Vec::new(), Vec::new());
    for rule in &proof.style.linings {
        let (Some(piece), Some(lining)) =
            (proof.drawing.pieces.get(rule.piece.as_str()), proof.drawing.pieces.get(rule.key.as_str()))
        else {
            continue;
        };
        let name = proof.style.label_of(&rule.key);
        let by = proof.scope.length(&rule.by)?;
        let hem = hem_keys(piece, &rule.shorten);
        let outer: Vec<Point> = piece
            .edges
            .iter()
            .filter(|edge| hem.contains(&edge.key))
            .flat_map(|edge| edge.points().iter().map(|(p, _)| *p))
            .collect();
        for edge in lining.edges.iter().filter(|edge| hem.contains(&edge.key)) {
            for (p, _) in edge.points() {
                if let Some(off) = beside(&outer, *p)
                    && (off - by).abs() > proof.tolerance().max(EQUAL_MM)
                {
                    faults.push(format!(
                        "{name}: it hangs {} above the hem and should {}",
                        proof.told(off),
                        proof.told(by)
                    ));
                    break;
                }
            }
        }
        let ends: Vec<Point> = outer.first().into_iter().chain(outer.last()).copied().collect();
        let pleated = rule.pleat_on.as_ref().and_then(|on| piece.edge(on)).map_or(&[][..], |edge| edge.points());
        let pleat_ends: Vec<Point> = pleated.first().into_iter().chain(pleated.last()).map(|(p, _)| *p).collect();
        for edge in piece.standing() {
            // Edges that run down to the hem are shorter; beside the pleat only the laid one is as long.
            let meets_hem = edge.points().iter().any(|(p, _)| ends.iter().any(|end| distance(*p, *end) < 1e-3));
            let sewn = lining.edge(edge.key).map_or(0.0, |e| e.length());
            let beside_pleat = || {
                let is_laid = lining.pleats.iter().any(|pleat| pleat.key == rule.key && pleat.edge == edge.key);
                !is_laid && edge.points().iter().any(|(p, _)| pleat_ends.iter().any(|end| distance(*p, *end) < 1e-3))
            };
            if !meets_hem && !beside_pleat() && (sewn - edge.length()).abs() > proof.tolerance() {
                faults.push(format!(
                    "{name}, {}: {} where the piece has {}",
                    proof.style.label_of(edge.key),
                    proof.told(sewn),
                    proof.told(edge.length())
                ));
            }
        }
        found.push(format!("{name}: {} shorter", proof.told(by)));
    }
    Ok((!found.is_empty()).then(|| truth("Linings fit their pieces", faults, found.join("; "))))
}

/// The distance of a point from a run where it lies beside it, not beyond its ends.
fn beside(run: &[Point], p: Point) -> Option<f64> {
    let nearest = run
        .windows(2)
        .map(|w| if let [a, b] = w { squared_distance_to_side(*a, *b, p) } else { f64::INFINITY })
        .fold(f64::INFINITY, f64::min)
        .sqrt();
    let ends = [run.first()?, run.last()?];
    ends.iter().all(|end| distance(**end, p) > nearest + 1e-6).then_some(nearest)
}
