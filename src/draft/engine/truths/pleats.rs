//! The truth of pleats: laid, they leave the finished length.

use super::super::super::drafted::Truth;
use super::super::super::fault::Fault;
use super::super::super::formula::edges_of;
use super::super::drawing::DrawnEdge;
use super::super::pleat::{apart, folds_on};
use super::super::walk::stretches;
use super::{EQUAL_MM, Proof, seams, truth};
use crate::geom::{Point, distance, heading};

/// Each pleated edge: the cloth drawn, less what lies between the lines of its pleats, is
/// the length that the style tells or the seam it is joined in; no pleat runs into the next.
pub(super) fn close(proof: &Proof<'_>) -> Result<Option<Truth>, Fault> {
    let (mut faults, mut found) = (Vec::new(), Vec::new());
    for rule in &proof.style.pieces {
        let Some(piece) = proof.drawing.pieces.get(rule.key.as_str()) else { continue };
        for edge in piece.standing() {
            let folds = folds_on(piece, edge.key);
            if folds.is_empty() {
                continue;
            }
            let name = format!("{}, {}", proof.style.label_of(&rule.key), proof.style.label_of(edge.key));
            let pairs = stretches(piece, edge).into_iter().flat_map(|run| run.iter().zip(run.iter().skip(1)));
            let open: f64 = pairs.map(|(a, b)| distance(a.0, b.0)).sum();
            let closed = open - folds.iter().map(|fold| apart(fold).0).sum::<f64>();
            let told =
                |wanted: f64| format!("{name}: {} closed where {} is wanted", proof.told(closed), proof.told(wanted));
            let mut wanted = Vec::new();
            for pleats in &proof.style.pleats {
                let here = pleats.piece == rule.key && pleats.edge == edge.key;
                if let (true, Some(closes_to)) = (here, &pleats.closes_to) {
                    wanted.push(proof.scope.length(closes_to)?);
                }
            }
            for wanted in &wanted {
                if (closed - wanted).abs() > proof.tolerance() {
                    faults.push(format!("{}: {} off", told(*wanted), proof.by(closed - wanted)));
                }
            }
            // A seam proves that the sewn length is right: it must be the length of the drawing.
            if (closed - edge.length()).abs() > proof.tolerance() {
                faults.push(format!("{}: {} off", told(edge.length()), proof.by(closed - edge.length())));
            }
            if wanted.is_empty() && !is_joined(&rule.key, edge.key, proof)? {
                faults.push(format!("{name}: to what length it closes is told nowhere; add “closes_to” or a seam"));
            }
            let way = way_along(edge);
            for pair in folds.windows(2) {
                let [one, next] = pair else { continue };
                let [_, (top, foot)] = one.lines;
                let [(next_top, next_foot), _] = next.lines;
                let back = |from: Point, to: Point| (to[0] - from[0]) * way[0] + (to[1] - from[1]) * way[1] < -EQUAL_MM;
                if back(top, next_top) || back(foot, next_foot) {
                    faults.push(format!("{name}: the lines of two pleats cross: take up less below, or fewer"));
                    break;
                }
            }
            found.push(format!("{name}: {} of {}", proof.told(closed), proof.told(open)));
        }
    }
    Ok((!found.is_empty() || !faults.is_empty())
        .then(|| truth("Pleats close to the finished length", faults, found.join("; "))))
}

/// The way from the start of an edge to its end, of length 1.
fn way_along(edge: &DrawnEdge<'_>) -> Point {
    let ends = edge.points().first().zip(edge.points().last());
    let along = ends.and_then(|(a, b)| heading(a.0, b.0)).unwrap_or(0.0);
    [along.cos(), along.sin()]
}

/// Whether a seam of the style joins the edge.
fn is_joined(piece: &str, edge: &str, proof: &Proof<'_>) -> Result<bool, Fault> {
    for seam in &proof.style.seams {
        let has = |expr| edges_of(expr).contains(&(piece, edge));
        if (has(&seam.left) || has(&seam.right)) && seams::applies(seam, proof)? {
            return Ok(true);
        }
    }
    Ok(false)
}
