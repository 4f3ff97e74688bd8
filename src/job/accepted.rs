//! An accepted lay brought back for its garment as it is now: it serves as long as it
//! passes the checker for the pieces and the cloth of today.

use crate::draft::{self, Draft};
use crate::lay::{Bit, Lay, LayJob, Layout, Placement, check, need};
use crate::measure::Length;
use crate::shop::{AcceptedLay, AcceptedPlacement, ClothFacts, Settings};

use super::joint::{Joined, asked_jointly};
use super::laid::{Laid, asked, selling};

/// One cloth of a garment with the lay that was accepted for it; `facts` are those of that cloth.
///
/// # Errors
/// In words why the accepted lay serves no more: the cloth has another width, or the pieces
/// changed so that one of the checker's rules is broken.
pub fn accepted(
    draft: &Draft,
    cloth: draft::Cloth,
    facts: &ClothFacts,
    settings: &Settings,
    kept: &AcceptedLay,
) -> Result<Laid, String> {
    brought_back(cloth, asked(draft, cloth, facts, settings), settings, kept)
}

/// Several garments on their common cloth with the joint lay that was accepted for them, in the order in
/// which it numbers them.
///
/// # Errors
/// As [`accepted`].
pub fn accepted_jointly(
    garments: &[Joined],
    facts: &ClothFacts,
    settings: &Settings,
    kept: &AcceptedLay,
) -> Result<Laid, String> {
    brought_back(draft::Cloth::Main, asked_jointly(garments, facts, settings), settings, kept)
}

fn brought_back(
    cloth: draft::Cloth,
    (width, width_assumed, job): (Length, bool, LayJob),
    settings: &Settings,
    kept: &AcceptedLay,
) -> Result<Laid, String> {
    if width != kept.width {
        let (was, is) = (settings.showing.with_unit(kept.width), settings.showing.with_unit(width));
        return Err(format!("it was laid on cloth {was} wide, and the cloth is {is} wide now"));
    }
    let lay = restored(&job, kept).ok_or("a piece of it is cut no more")?;
    if let Some(fault) = check(&job, &lay).first() {
        return Err(fault.text.clone());
    }
    let need = need(&lay, &job, selling(settings.selling_step));
    Ok(Laid { cloth, width, width_assumed, job, lay, need })
}

/// The lay as it was kept, its pieces found again by their keys; nothing when one is no more.
fn restored(job: &LayJob, kept: &AcceptedLay) -> Option<Lay> {
    let mut lay = Lay {
        layout: layout(&kept.layout)?,
        width_mm: job.cloth.usable_width_mm(),
        folded_mm: kept.folded.mm(),
        fold_at_mm: kept.fold_at.mm(),
        used_length_mm: kept.used.mm(),
        placements: Vec::new(),
        bits: Vec::new(),
        evaluations: u32::try_from(kept.evaluations).unwrap_or(u32::MAX),
        seed: kept.seed,
    };
    for placed in &kept.placements {
        match placed.length {
            None => lay.placements.push(placement(job, placed)?),
            Some(length) => lay.bits.push(Bit {
                strip: job.strips.iter().position(|strip| strip.key == placed.part)?,
                copy: placed.copy.saturating_add(1),
                under: placed.under_copy.map(|copy| copy.saturating_add(1)),
                length_mm: length.mm(),
                turn: placed.turn,
                at: [placed.x.mm(), placed.y.mm()],
            }),
        }
    }
    Some(lay)
}

fn placement(job: &LayJob, placed: &AcceptedPlacement) -> Option<Placement> {
    Some(Placement {
        part: job.parts.iter().position(|part| part.key == placed.part)?,
        copy: placed.copy.saturating_add(1),
        under: placed.under_copy.map(|copy| copy.saturating_add(1)),
        turn: placed.turn,
        mirrored: placed.mirrored,
        at: [placed.x.mm(), placed.y.mm()],
        on_fold: placed.on_fold,
    })
}

/// How the cloth was spread, by the key that it is kept under.
fn layout(key: &str) -> Option<Layout> {
    [Layout::Folded, Layout::Crosswise, Layout::Open].into_iter().find(|layout| layout.key() == key)
}
