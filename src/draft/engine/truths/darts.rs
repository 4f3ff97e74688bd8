//! Truths of darts: legs of one length, and an edge that runs on when they are folded.

use super::super::super::drafted::Truth;
use super::super::dart::closed_corner;
use super::{CORNER, EQUAL_MM, Proof, truth};
use crate::geom::distance;

/// Folded darts true: both legs are equal, and the edge runs on over the closed dart.
pub(super) fn folded(proof: &Proof<'_>) -> Option<Truth> {
    let mut faults = Vec::new();
    let mut count = 0;
    for rule in &proof.style.pieces {
        let Some(piece) = proof.drawing.pieces.get(rule.key.as_str()) else { continue };
        for dart in &piece.darts {
            count += 1;
            let name = format!("{}, {}", proof.style.label_of(&rule.key), proof.style.label_of(dart.key));
            let off = distance(dart.feet.0, dart.apex) - distance(dart.feet.1, dart.apex);
            if off.abs() > EQUAL_MM {
                faults.push(format!("{name}: its legs are {} apart in length", proof.by(off)));
            }
            if dart.top.is_some() {
                continue;
            }
            let corner = closed_corner((dart.feet.0, dart.headings.0), (dart.feet.1, dart.headings.1), dart.apex);
            if corner.abs() > CORNER {
                faults.push(format!("{name}: folded, the edge makes a corner of {:.1}°", corner.to_degrees()));
            }
        }
    }
    (count > 0).then(|| truth("Folded darts true", faults, format!("{count} darts")))
}
