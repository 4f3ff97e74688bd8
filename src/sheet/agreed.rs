//! "As agreed": what was said of its look, and what was chosen of the style.

use crate::draft::{Choice, ChoiceKind, Draft, Input, Style};
use crate::measure::{read_length, term};

use super::job_sheet::{Facts, figure};

/// Words and value of everything that was agreed. Of the style's choices those
/// stand here that somebody chose, that are words or numbers, or that are measured
/// back: allowances stand in the cut list.
pub(super) fn agreed(facts: &Facts<'_>, asked: Option<&Input>, draft: Option<&Draft>) -> Vec<(String, String)> {
    let look = &facts.garment.facts.agreed;
    let spoken = [("Neck", &look.neck), ("Sleeve", &look.sleeve), ("Opening", &look.opening), ("Also", &look.other)];
    let said = |(label, words): (&str, &String)| Some((label.to_string(), words.trim().to_string()));
    let mut rows: Vec<(String, String)> =
        spoken.into_iter().filter(|(_, words)| !words.trim().is_empty()).filter_map(said).collect();
    if let (Some(style), Some(asked)) = (facts.style, asked) {
        let shown = |choice: &&Choice| shows(choice, facts, draft);
        rows.extend(style.choices().iter().filter(shown).filter_map(|choice| chosen(style, choice, asked)));
    }
    rows
}

/// The finished lengths asked for, in tape order: written for the garment, else taken at a fitting.
pub(super) fn finished(facts: &Facts<'_>) -> Vec<(String, String)> {
    use crate::measure::{DimensionClass, dimensions};
    let showing = facts.settings.showing;
    let asked = |key: &str| facts.garment.facts.finished.get(key).copied().or_else(|| facts.body.length(key));
    dimensions()
        .iter()
        .filter(|row| row.class == DimensionClass::Finished)
        .filter_map(|row| Some((term(row.key), showing.number(asked(row.key)?))))
        .collect()
}

fn shows(choice: &Choice, facts: &Facts<'_>, draft: Option<&Draft>) -> bool {
    let picked = facts.garment.facts.choices.get(&choice.key).is_some_and(|text| !text.trim().is_empty());
    let measured_back = || draft.is_some_and(|draft| draft.measured.iter().any(|row| row.key == choice.key));
    choice.shop.is_none()
        && (picked || matches!(choice.kind, ChoiceKind::Word { .. } | ChoiceKind::Number { .. }) || measured_back())
}

/// The choice as it was used; nothing when what was typed cannot be read (the draft says so).
fn chosen(style: &Style, choice: &Choice, asked: &Input) -> Option<(String, String)> {
    let typed = asked.choices.get(&choice.key).map(|text| text.trim()).filter(|text| !text.is_empty());
    let words = match (&choice.kind, typed) {
        (ChoiceKind::Length { default, .. }, None) => figure(*default, asked.showing),
        (ChoiceKind::Length { .. }, Some(text)) => asked.showing.number(read_length(text, asked.showing.unit()).ok()?),
        (ChoiceKind::Number { default, .. }, None) => default.to_string(),
        (ChoiceKind::Number { .. }, Some(text)) => text.to_string(),
        (ChoiceKind::Word { default, options }, typed) => {
            let wanted = typed.map_or_else(|| default.clone(), |text| text.to_lowercase().replace([' ', '-'], "_"));
            let known = options.iter().find(|(word, _)| *word == wanted);
            known.map_or_else(|| style.label_of(&wanted), |(_, label)| label.clone())
        }
    };
    Some((choice.label.clone(), words))
}
