//! From a garment's facts to its draft.

use std::collections::BTreeMap;

use crate::draft::{self, Draft, DraftError, Input, Style, draft};
use crate::measure::{Length, Showing};
use crate::shop::{Body, Correction, GarmentFacts, Settings};

/// The draft of a garment: its style's rules for the wearer's body, what was
/// chosen, and the shop's allowances. `style` is read once from the text that the
/// garment pins ([`Style::read`]); whoever drafts often keeps it.
///
/// # Errors
/// [`DraftError`]: measures to be taken, a choice outside its limits, a
/// combination that the style refuses, or a rule that does not work.
pub fn drafted(style: &Style, garment: &GarmentFacts, body: &Body, settings: &Settings) -> Result<Draft, DraftError> {
    draft(style, &input(style, garment, body, settings))
}

/// What a garment is drafted from. A finished length that the client asked for
/// stands for the style's choice of that name where nothing else was chosen; the
/// garment's own allowances go before the shop's; the standing corrections that the
/// garment is drafted with go onto the body.
#[must_use]
pub fn input(style: &Style, garment: &GarmentFacts, body: &Body, settings: &Settings) -> Input {
    let mut choices = garment.choices.clone();
    for choice in style.choices() {
        let unsaid = choices.get(&choice.key).is_none_or(|text| text.trim().is_empty());
        if unsaid && let Some(length) = asked_length(style, &choice.key, garment, body) {
            choices.insert(choice.key.clone(), exactly(length));
        }
    }
    let mut allowances: BTreeMap<String, Length> = settings.allowances.clone();
    allowances.extend(garment.allowances.iter().map(|(name, length)| (name.clone(), *length)));
    let figure = body.figure.iter().map(|note| noted(note)).collect();
    let corrections = applied(garment, body).map(correction).collect();
    Input { body: body.lengths(), choices, allowances, figure, corrections, showing: settings.showing }
}

/// The key of a figure note that stands in the measures by its words (or already by its key).
fn noted(note: &str) -> String {
    let row = crate::measure::figure_notes().iter().find(|row| row.words == note || row.key == note);
    row.map_or_else(|| note.to_string(), |row| row.key.to_string())
}

/// The standing corrections that a garment is drafted with, oldest first. One that ended since
/// still counts for a garment that was drafted with it: nothing promised moves by itself.
pub fn applied<'a>(garment: &'a GarmentFacts, body: &'a Body) -> impl Iterator<Item = &'a Correction> {
    body.corrections.iter().filter(|one| garment.corrections.get(&one.id).copied().unwrap_or(false))
}

/// A standing correction as a draft takes it.
#[must_use]
pub fn correction(kept: &Correction) -> draft::Correction {
    let facts = &kept.facts;
    draft::Correction { key: facts.dimension.clone(), side: facts.side, amount: facts.amount, words: kept.origin() }
}

/// Whether a style reads this dimension of a body at all.
#[must_use]
pub fn reads(style: &Style, dimension: &str) -> bool {
    style.needs().iter().any(|key| key == dimension) || style.assumes().any(|key| key == dimension)
}

/// What the client asked for under this name: written for the garment, else taken at a fitting.
fn asked_length(style: &Style, choice: &str, garment: &GarmentFacts, body: &Body) -> Option<Length> {
    let is_finished =
        |key| crate::measure::dimension(key).is_some_and(|row| row.class == crate::measure::DimensionClass::Finished);
    // A `finished_length` is the one that this kind of garment is measured by.
    let key = match choice {
        "finished_length" => style.hem_taken_as()?,
        other if is_finished(other) => other,
        _ => return None,
    };
    garment.finished.get(key).copied().or_else(|| body.length(key))
}

/// The length as a text that reads back as itself: sixty-fourths of an inch where
/// it is that, else millimetres.
pub(super) fn exactly(length: Length) -> String {
    let sixteenths = Showing::SIXTEENTHS;
    if sixteenths.is_exact(length) { sixteenths.with_unit(length) } else { format!("{} mm", length.mm()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Unit, read_length};
    use proptest::prelude::*;

    #[test]
    fn a_length_is_handed_on_exactly() {
        assert_eq!(exactly(Length::inches(26, 4)), "26 1/2 in");
        assert_eq!(exactly(Length::tenths_of_mm(7943)), "794.3 mm");
    }

    proptest! {
        #[test]
        fn what_is_handed_on_reads_back(nm in 1_000_000_i64..3_000_000_000) {
            let length = Length::from_nm(nm - nm % 1000);
            prop_assert_eq!(read_length(&exactly(length), Unit::Inch), Ok(length));
        }
    }
}
