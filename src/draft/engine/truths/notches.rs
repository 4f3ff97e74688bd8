//! The truth of notches: those that meet lie equally far along their seam.

use super::super::super::drafted::Truth;
use super::super::super::fault::Fault;
use super::super::super::formula::edges_of;
use super::super::super::style::{NotchRule, SeamRule};
use super::super::notch::met_at;
use super::seams::{self, Run};
use super::{Proof, truth};

/// Each pair of notches: equally far from the same end of the seam, or apart by no
/// more than the ease or fullness that is declared for it.
pub(super) fn meet(proof: &Proof<'_>) -> Result<Option<Truth>, Fault> {
    let (mut faults, mut pairs) = (Vec::new(), 0);
    for rule in &proof.style.notches {
        if !rule.when.as_ref().map_or(Ok(true), |when| proof.scope.yes(when))? {
            continue;
        }
        let Some(with) = &rule.with else { continue };
        let is_drawn = |run| edges_of(run).iter().all(|(piece, _)| proof.drawing.pieces.contains_key(*piece));
        if !is_drawn(&rule.on) || !is_drawn(with) {
            continue;
        }
        let ends = |run| Run::of(run, proof).and_then(|run| run.ordered());
        pairs += 1;
        let name = proof.style.label_of(&rule.key);
        let at = proof.scope.length(&rule.at)?;
        let along = met_at(rule, with, at, proof.scope)?;
        let (length, other_length) = (proof.scope.length(&rule.on)?, proof.scope.length(with)?);
        // Both from the same end of the seam.
        let same_way = match rule.with_start {
            Some(start) => start,
            None => ends(&rule.on).zip(ends(with)).is_none_or(|(a, b)| a == b),
        };
        let met = if same_way { along } else { other_length - along };
        let Some((seam, on_left)) = joining(rule, proof)? else {
            faults.push(format!("{name}: the edges it stands on are joined by no seam of [seams]"));
            continue;
        };
        let (left, right) = if on_left { (at, met) } else { (met, at) };
        let whole = if on_left { other_length } else { length };
        let fullness = seam.fullness.as_ref().map_or(Ok(1.0), |f| proof.scope.number(f))?;
        let ease = seam.ease.as_ref().map_or(Ok(0.0), |e| proof.scope.length(e))?;
        let (more, allowed) = (left - right, whole * (fullness - 1.0) + ease);
        let near = proof.tolerance();
        if more < allowed.min(0.0) - near || more > allowed.max(0.0) + near {
            faults.push(format!(
                "{name}: {} along one edge and {} along the other, {} apart{}",
                proof.told(left),
                proof.told(right),
                proof.by(more),
                if allowed.abs() > near {
                    format!(", where {} are eased in", proof.told(allowed.abs()))
                } else {
                    String::new()
                }
            ));
        }
    }
    Ok((pairs > 0)
        .then(|| truth("Notches meet", faults, if pairs == 1 { "1 pair".into() } else { format!("{pairs} pairs") })))
}

/// The seam that joins the two runs, and whether the first is on its left.
fn joining<'a>(rule: &NotchRule, proof: &'a Proof<'_>) -> Result<Option<(&'a SeamRule, bool)>, Fault> {
    let Some(with) = &rule.with else { return Ok(None) };
    let (on, with) = (edges_of(&rule.on), edges_of(with));
    for seam in &proof.style.seams {
        if !seams::applies(seam, proof)? {
            continue;
        }
        let (mut left, mut right) = (Vec::new(), Vec::new());
        seams::edges(&seam.left, proof, &mut left)?;
        seams::edges(&seam.right, proof, &mut right)?;
        let all = |run: &[(&str, &str)], side: &[(&str, &str)]| run.iter().all(|edge| side.contains(edge));
        if all(&on, &left) && all(&with, &right) {
            return Ok(Some((seam, true)));
        }
        if all(&on, &right) && all(&with, &left) {
            return Ok(Some((seam, false)));
        }
    }
    Ok(None)
}
