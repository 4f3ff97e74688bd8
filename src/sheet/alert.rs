//! The bordered box: everything that must be heeded before the scissors.

use crate::draft::{Draft, DraftError};
use crate::job::{Laid, applied, facts_of, reads};
use crate::lay::LayError;
use crate::measure::{Length, figure_note};

use crate::shop::{Correction, Stage, Wearer};

use super::job_sheet::{Facts, cloth_words};
use super::measured::Measures;

/// One entry of the box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alert {
    /// What kind it is; kinds stand in this order.
    pub kind: AlertKind,
    /// The words.
    pub text: String,
}

/// Kinds of entries, the gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AlertKind {
    /// There is no draft, and why.
    NoDraft,
    /// The tape must go round again before the cloth is cut.
    TakeFirst,
    /// Something that was checked does not hold.
    Fails,
    /// It cannot be cut from this cloth, and why.
    NotLaid,
    /// There is too little cloth.
    Short,
    /// The lay that was accepted does not fit any more, and another is shown.
    OtherLay,
    /// Flaws of the cloth, and where: pieces are laid around them.
    Flaws,
    /// A figure note: the cut depends on it.
    Figure,
    /// What a fitting of this very garment showed: the cloth is to be altered.
    Pinned,
    /// A standing correction of the wearer that the garment is drafted with.
    Standing,
    /// A note on fit in words.
    FitNote,
    /// A warning of the style for this body.
    Warning,
    /// A safety caution, where the wearer is a child; else it stands with the remarks.
    Caution,
}

impl AlertKind {
    /// The words before it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            AlertKind::NoDraft => "No draft",
            AlertKind::TakeFirst => "TAKE BEFORE CUTTING",
            AlertKind::Fails => "DOES NOT HOLD",
            AlertKind::NotLaid => "CANNOT BE LAID",
            AlertKind::Short => "CLOTH IS SHORT",
            AlertKind::OtherLay => "ANOTHER LAY",
            AlertKind::Flaws => "Flaws in the cloth",
            AlertKind::Figure => "Figure",
            AlertKind::Pinned => "At the fitting",
            AlertKind::Standing => "Corrected",
            AlertKind::FitNote => "On fit",
            AlertKind::Warning => "Warning",
            AlertKind::Caution => "Caution",
        }
    }

    /// Whether the scissors must wait for it.
    #[must_use]
    pub const fn stops(self) -> bool {
        matches!(
            self,
            AlertKind::NoDraft
                | AlertKind::TakeFirst
                | AlertKind::Fails
                | AlertKind::NotLaid
                | AlertKind::Short
                | AlertKind::OtherLay
        )
    }
}

pub(super) fn alerts(
    facts: &Facts<'_>,
    draft: Option<&Result<Draft, DraftError>>,
    lays: &[Result<Laid, LayError>],
    measures: &Measures,
) -> Vec<Alert> {
    let showing = facts.settings.showing;
    let is_child = facts.wearer.facts.wearer == Wearer::Child;
    let mut found = Vec::new();
    let mut add = |kind, text: String| found.push(Alert { kind, text });
    let take: Vec<&str> = measures.body.iter().filter(|row| row.take_first).map(|row| row.term.as_str()).collect();
    if !take.is_empty() {
        add(AlertKind::TakeFirst, take.join(", "));
    }
    match draft {
        Some(Err(why)) => add(AlertKind::NoDraft, why.to_string()),
        Some(Ok(draft)) => {
            for truth in draft.truths.iter().filter(|truth| !truth.held) {
                add(AlertKind::Fails, format!("{}: {}", truth.what, truth.found));
            }
            for note in &draft.notes {
                // Cautions are about cords, small parts and fire: a child's box has them, a grown wearer's remarks.
                let kind = match (note.warning, note.caution) {
                    (_, true) if is_child => AlertKind::Caution,
                    (true, false) => AlertKind::Warning,
                    _ => continue,
                };
                add(kind, note.text.text(showing));
            }
        }
        None => {}
    }
    for lay in lays {
        match lay {
            Ok(laid) => shortage(facts, laid).into_iter().for_each(|short| add(AlertKind::Short, short)),
            Err(why) => add(AlertKind::NotLaid, why.to_string()),
        }
    }
    let flaws = facts.garment.facts.cloth.flaws.trim();
    if !flaws.is_empty() {
        add(AlertKind::Flaws, flaws.into());
    }
    for note in &facts.body.figure {
        add(AlertKind::Figure, figure_note(note).map_or_else(|| note.clone(), |row| row.words.into()));
    }
    for (kind, text) in corrections(facts) {
        add(kind, text);
    }
    let notes = facts.wearer.facts.fit_notes.lines().map(str::trim).filter(|line| !line.is_empty());
    for line in notes {
        add(AlertKind::FitNote, line.into());
    }
    found.sort_by_key(|alert| alert.kind);
    found
}

/// The last corrections: what this garment is drafted with, and what its own fittings showed.
fn corrections(facts: &Facts<'_>) -> Vec<(AlertKind, String)> {
    let (garment, showing) = (facts.garment, facts.settings.showing);
    let told = |one: &Correction| {
        let note = one.facts.words.trim();
        let note = if note.is_empty() { String::new() } else { format!(": {note}") };
        format!("{} ({}){note}", one.facts.text(showing), one.origin())
    };
    let read = |one: &&Correction| facts.style.is_some_and(|style| reads(style, &one.facts.dimension));
    let drafted = applied(&garment.facts, facts.body).filter(read);
    let drafted: Vec<_> = drafted.map(|one| (AlertKind::Standing, told(one))).collect();
    // What the draft has in it already need not be pinned again.
    let is_drafted = |one: &Correction| garment.facts.corrections.get(&one.id) == Some(&true);
    let is_cut = garment.stage >= Stage::Cut;
    let seen_on_it = facts
        .body
        .corrections
        .iter()
        .filter(|one| is_cut && one.is_in_force() && one.facts.garment == Some(garment.id));
    let pinned = seen_on_it.filter(|one| !is_drafted(one)).map(|one| (AlertKind::Pinned, told(one)));
    pinned.chain(drafted).collect()
}

/// By how much the cloth that is there falls short, in words.
fn shortage(facts: &Facts<'_>, laid: &Laid) -> Option<String> {
    let cloth = facts_of(&facts.garment.facts, laid.cloth);
    let written = |length| laid.need.step.written(length);
    let lengths: Vec<Length> = cloth.all_lengths().collect();
    if lengths.iter().any(|have| laid.short_by(*have) == Length::ZERO) {
        return None;
    }
    let there: Vec<String> = lengths.iter().map(|have| written(*have)).collect();
    let (name, needed, there) = (cloth_words(laid.cloth), written(laid.need.cut_length), there.join(" and "));
    match laid.short_by(lengths.iter().copied().sum()) {
        _ if lengths.is_empty() => None,
        Length::ZERO => Some(format!(
            "{name} needs {needed} as one length, there is {there}: each too short. Its cloth page says whether it can be \
             cut from several"
        )),
        short => Some(format!("{name} needs {needed}, there is {there}: {} short", written(short))),
    }
}
