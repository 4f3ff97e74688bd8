//! Truths of fit: girths and lengths measured back, ease in its sane range, and
//! whether she can get into it.

use super::super::super::drafted::{Measured, Truth};
use super::super::super::fault::Fault;
use super::super::super::formula::Value;
use super::{Proof, truth};

/// Each girth and length measured back from the pieces equals body + ease; all
/// that this kind of garment must prove is there; the ease makes sense.
pub(super) fn measured_back(proof: &Proof<'_>) -> Vec<Truth> {
    let mut truths = Vec::new();
    for must in proof.style.kind.must_measure() {
        if !proof.measured.iter().any(|m| m.key == must.key) {
            let words = format!("{} is not measured back in [measured]", proof.style.label_of(must.key));
            truths.push(truth(format!("{} measures back", proof.style.label_of(must.key)), vec![words], ""));
        }
    }
    for measured in proof.measured {
        let Some(body) = measured.body_mm else { continue };
        let wanted = body + measured.ease_mm;
        let mut faults = Vec::new();
        if (measured.mm - wanted).abs() > proof.tolerance() {
            faults.push(format!(
                "{} where {} is wanted: {} off",
                proof.told(measured.mm),
                proof.told(wanted),
                proof.by(measured.mm - wanted)
            ));
        }
        let must = proof.style.kind.must_measure().iter().find(|must| must.key == measured.key);
        let over = waist_over_hip(proof, measured);
        if let Some(must) = must
            && !(must.least_ease - 1e-6..=must.most_ease + over + 1e-6).contains(&measured.ease_mm)
        {
            faults.push(format!(
                "ease {} is outside {} to {} for this kind of garment",
                proof.told(measured.ease_mm),
                proof.told(must.least_ease),
                proof.told(must.most_ease + over)
            ));
        }
        let is_body = crate::measure::dimension(&measured.key).is_some();
        let found = if is_body {
            format!("{} = {} + ease {}", proof.told(measured.mm), proof.told(body), proof.told(measured.ease_mm))
        } else {
            proof.told(measured.mm)
        };
        truths.push(truth(format!("{} measures back", measured.label), faults, found));
    }
    truths
}

/// Where the waist is larger than the hip the cloth hangs from it, and the hip has that much
/// more ease than the cutter chose.
fn waist_over_hip(proof: &Proof<'_>, measured: &Measured) -> f64 {
    let body = measured.body_mm.filter(|_| measured.key == "hip_girth");
    match (body, proof.scope.values.get("waist_girth")) {
        (Some(hip), Some(Value::Quantity { size, power: 1 })) => (size - hip).max(0.0),
        _ => 0.0,
    }
}

/// Every opening lets the largest girth through that must pass it.
pub(super) fn gets_in(proof: &Proof<'_>) -> Result<Option<Truth>, Fault> {
    let what = "She can get into it";
    if proof.style.opens_all_the_way {
        return Ok(Some(truth(what, Vec::new(), "opens all the way")));
    }
    if proof.style.passes.is_empty() {
        let fault = || truth(what, vec!["no opening is declared in [passes]".to_string()], "");
        return Ok(proof.style.kind.must_pass().then(fault));
    }
    let (mut faults, mut found) = (Vec::new(), Vec::new());
    for pass in &proof.style.passes {
        if !pass.when.as_ref().map_or(Ok(true), |when| proof.scope.yes(when))? {
            continue;
        }
        let (opening, over) = (proof.scope.length(&pass.opening)?, proof.scope.length(&pass.over)?);
        let words =
            format!("{}: {} opens for {}", proof.style.label_of(&pass.key), proof.told(opening), proof.told(over));
        if opening + 1e-6 < over {
            let short = proof.told(over - opening);
            faults.push(format!(
                "{words}, {short} too little: make the opening longer, by half of that on each side of it"
            ));
        } else {
            found.push(words);
        }
    }
    Ok(Some(truth(what, faults, found.join("; "))))
}
