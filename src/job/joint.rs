//! Several garments cut from one cloth: one lay, one need. A bridal party, uniforms, a mother
//! and her children.

use crate::draft::{self, Draft};
use crate::lay::{LayError, LayJob, USUAL_BUDGET, best_layout, need};
use crate::measure::Length;
use crate::shop::{ClothFacts, Settings};

use super::laid::{Laid, SEED, bolt, cloth_job, selling, usual_widths};

/// A garment of a joint lay.
#[derive(Clone, Copy, Debug)]
pub struct Joined<'a> {
    /// Whose: the order's number and the garment's letter, `2026-0147 B`.
    pub mark: &'a str,
    /// What is cut.
    pub draft: &'a Draft,
}

/// Garments laid together on one cloth. Pieces are named with their garment (`2026-0147 B
/// Over-front`), their letters with its place among those that are laid (`2A`), so that no two
/// are alike. `facts` are those of the common cloth; without a width it is the usual one.
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn joint(garments: &[Joined], facts: &ClothFacts, settings: &Settings) -> Result<Laid, LayError> {
    let (width, width_assumed, job) = asked_jointly(garments, facts, settings);
    let lay = best_layout(&job, USUAL_BUDGET, SEED)?;
    let need = need(&lay, &job, selling(settings.selling_step));
    Ok(Laid { cloth: draft::Cloth::Main, width, width_assumed, job, lay, need })
}

/// What is to be laid, before any search: on which width, whether that was assumed, what.
pub(super) fn asked_jointly(garments: &[Joined], facts: &ClothFacts, settings: &Settings) -> (Length, bool, LayJob) {
    let [_, usual, ..] = *usual_widths(settings.showing);
    let width = facts.width.unwrap_or(usual);
    (width, facts.width.is_none(), joint_job(garments, facts, settings, width))
}

/// What is cut from the common cloth, as the layer takes it.
fn joint_job(garments: &[Joined], facts: &ClothFacts, settings: &Settings, width: Length) -> LayJob {
    let cloth = bolt(draft::Cloth::Main, facts, settings, width);
    let mut all = LayJob { parts: Vec::new(), strips: Vec::new(), cloth, matched: Vec::new() };
    for (place, garment) in (1_u32..).zip(garments) {
        let own = cloth_job(garment.draft, draft::Cloth::Main, facts, settings, width);
        // Prints match within a garment, whose parts lie behind those of the garments before it.
        let before = all.parts.len();
        all.matched.extend(own.matched.into_iter().map(|mut matched| {
            matched.a.0 += before;
            matched.b.0 += before;
            matched
        }));
        let named = |key: &str, label: &str, letter: &str| {
            (format!("{place}/{key}"), format!("{} {label}", garment.mark), format!("{place}{letter}"))
        };
        all.parts.extend(own.parts.into_iter().map(|mut part| {
            (part.key, part.label, part.letter) = named(&part.key, &part.label, &part.letter);
            part.garment = place;
            part
        }));
        all.strips.extend(own.strips.into_iter().map(|mut strip| {
            (strip.key, strip.label, strip.letter) = named(&strip.key, &strip.label, &strip.letter);
            strip.garment = place;
            strip
        }));
    }
    all
}
