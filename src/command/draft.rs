//! `bodkin draft STYLE name=value … [--json]`: one draft from the command line.

use std::fmt::Write as _;
use std::io::Write as _;

use super::CommandError;
use crate::config::Draft as Flags;
use crate::draft::{BOOK, Draft, DraftError, Input, Piece, Strip, Style};
use crate::job::{WidthNeed, enough_by_width};
use crate::measure::{self, Length, Showing, Unit, read_length};
use crate::shop::{ClothFacts, Currency, SellingStep, Settings};

/// Prints the draft.
///
/// # Errors
/// A style, name or value that is not known or not possible, in words.
pub fn draft(flags: &Flags) -> Result<(), CommandError> {
    let showing = if flags.cm { Showing::MILLIMETRES } else { Showing::EIGHTHS };
    let style = find(&flags.style)?;
    let input = input(&style, &flags.values, showing)?;
    let draft = crate::draft::draft(&style, &input).map_err(|e| CommandError(refusal(&style, &e)))?;
    let needs = enough_by_width(&draft, &ClothFacts::UNKNOWN, &settings(showing)?);
    let text = if flags.json {
        let value = super::draft_json::as_json(&flags.style, &draft, &needs, showing);
        serde_json::to_string_pretty(&value).map_err(|e| CommandError(e.to_string()))?
    } else {
        as_text(&draft, &input, &needs, showing)
    };
    // A closed pipe (`| head`) is no failure of ours.
    let _ = writeln!(std::io::stdout(), "{}", text.trim_end());
    Ok(())
}

/// The habits of a shop that has not said its own, in this unit. No price is asked,
/// so any currency serves.
fn settings(showing: Showing) -> Result<Settings, CommandError> {
    let currency = Currency::new("EUR").map_err(|e| CommandError(e.to_string()))?;
    let selling_step = match showing.unit() {
        Unit::Inch => SellingStep::QuarterYard,
        Unit::Centimetre => SellingStep::TenCentimetres,
    };
    Ok(Settings { showing, selling_step, ..Settings::before_first_run(currency) })
}

/// The style of the book, or the one in a file.
pub(super) fn find(name: &str) -> Result<Style, CommandError> {
    let read = |text: &str| Style::read(text).map_err(|e| CommandError(format!("{name}: {e}")));
    if name.ends_with(".style.toml") {
        let text = std::fs::read_to_string(name).map_err(|e| CommandError(format!("Cannot read {name}: {e}.")))?;
        return read(&text);
    }
    match BOOK.iter().find(|book| book.key == name) {
        Some(book) => read(book.text),
        None => {
            let hint = measure::nearest(name, BOOK.iter().map(|b| b.key))
                .map_or_else(|| "See `bodkin styles`.".to_string(), |key| format!("Did you mean “{key}”?"));
            Err(CommandError(format!("There is no style “{name}” in the book. {hint}")))
        }
    }
}

/// Measures and choices from `name=value`.
pub(super) fn input(style: &Style, values: &[String], showing: Showing) -> Result<Input, CommandError> {
    let mut input = Input::new(showing);
    for pair in values {
        let Some((name, value)) = pair.split_once('=') else {
            return Err(CommandError(format!("“{pair}” is no name=value. Write waist_girth=29in.")));
        };
        let (name, value) = (name.trim(), value.trim());
        let is_choice = style.choices().iter().any(|choice| choice.key == name);
        // A style may have a choice of that name, too: notes are known by their words.
        if name == "figure" && (!is_choice || is_figure_note(value)) {
            input.figure = figure(value)?;
        } else if is_choice {
            input.choices.insert(name.into(), value.into());
        } else if measure::dimension(name).is_some() {
            let length = read_length(value, showing.unit()).map_err(|e| CommandError(format!("{name}: {e}")))?;
            measure::within_possible(name, length).map_err(|e| CommandError(format!("{name}: {e}")))?;
            input.body.insert(name.into(), length);
        } else {
            let known = style.needs().iter().map(String::as_str).chain(style.assumes());
            let known = known.chain(style.choices().iter().map(|c| c.key.as_str()));
            let hint = measure::nearest(name, known.chain(measure::dimensions().iter().map(|d| d.key)))
                .map_or_else(String::new, |key| format!(" Did you mean “{key}”?"));
            return Err(CommandError(format!("“{name}” is neither a measure nor a choice of this style.{hint}")));
        }
    }
    Ok(input)
}

/// Whether a value of `figure` is figure notes, not a style's own choice of that name.
pub(super) fn is_figure_note(value: &str) -> bool {
    figure(value).is_ok()
}

/// Figure notes, as `stooped,low_shoulder_left`.
fn figure(value: &str) -> Result<Vec<String>, CommandError> {
    let one = |word: &str| match measure::figure_note(word) {
        Some(note) => Ok(note.key.to_string()),
        None => {
            let hint = measure::nearest(word, measure::figure_notes().iter().map(|note| note.key))
                .map_or_else(String::new, |key| format!(" Did you mean “{key}”?"));
            Err(CommandError(format!("“{word}” is no figure note.{hint}")))
        }
    };
    value.split(',').map(|word| one(word.trim())).collect()
}

/// Why there is no draft, with the names to type.
pub(super) fn refusal(style: &Style, error: &DraftError) -> String {
    match error {
        DraftError::Missing { keys, .. } => {
            format!("{} needs {}. Give them as name=value.", style.label(), keys.join(", "))
        }
        DraftError::Choices(wrong) => {
            wrong.iter().map(|(key, message)| format!("{key}: {message}")).collect::<Vec<_>>().join("\n")
        }
        other => other.to_string(),
    }
}

pub(super) fn told(mm: f64, showing: Showing) -> String {
    Length::from_mm(mm).map_or_else(|| format!("{mm} mm"), |length| showing.with_unit(length))
}

/// A list under a heading, as a person would write it on paper.
fn as_text(draft: &Draft, input: &Input, needs: &[WidthNeed], showing: Showing) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{}", draft.label);
    section(
        &mut text,
        "Measures",
        input.body.iter().map(|(key, length)| {
            (measure::dimension(key).map_or(key.as_str(), |d| d.term).to_string(), showing.with_unit(*length))
        }),
    );
    section(
        &mut text,
        "Assumed, not taken",
        draft.assumed.iter().map(|a| {
            let term = measure::dimension(&a.key).map_or(a.key.as_str(), |d| d.term).to_string();
            (term, told(a.mm, showing) + if a.before_cutting { "  take before cutting" } else { "" })
        }),
    );
    let chalked = draft.dimensions.iter().filter(|d| d.chalked);
    section(&mut text, "Draft", chalked.map(|d| (d.label.clone(), d.working.text(showing))));
    section(&mut text, "Measured back", draft.measured.iter().map(|m| (m.label.clone(), told(m.mm, showing))));
    section(
        &mut text,
        "Checked",
        draft.truths.iter().map(|t| (t.what.clone(), format!("{}{}", if t.held { "" } else { "FAILED: " }, t.found))),
    );
    section(
        &mut text,
        "Pieces",
        draft.pieces.iter().map(|p| (format!("{}  {}", p.letter, p.label), piece_text(p, showing))),
    );
    section(
        &mut text,
        "Strips",
        draft.strips.iter().map(|s| (format!("{}  {}", s.letter, s.label), strip_text(s, showing))),
    );
    section(
        &mut text,
        "Cloth to buy",
        needs.iter().map(|n| {
            let need = n.need.as_ref().map_or_else(ToString::to_string, |need| need.text());
            (format!("{} wide", showing.with_unit(n.width)), need)
        }),
    );
    for (heading, warning) in [("Before cutting", true), ("Notes", false)] {
        let notes: Vec<String> =
            draft.notes.iter().filter(|n| n.warning == warning).map(|n| n.text.text(showing)).collect();
        if !notes.is_empty() {
            let _ = writeln!(text, "\n{heading}");
            for note in notes {
                let _ = writeln!(text, "  {note}");
            }
        }
    }
    text
}

fn section(text: &mut String, heading: &str, rows: impl Iterator<Item = (String, String)>) {
    let rows: Vec<(String, String)> = rows.collect();
    let Some(wide) = rows.iter().map(|(label, _)| label.chars().count()).max() else { return };
    let _ = writeln!(text, "\n{heading}");
    for (label, value) in rows {
        let _ = writeln!(text, "  {label:wide$}  {value}");
    }
}

/// `cut 2 on the fold, 10 3/4 × 22 1/2 in`.
fn piece_text(piece: &Piece, showing: Showing) -> String {
    let size = crate::geom::bounds(&piece.cutting).map_or_else(String::new, |(low, high)| {
        let side =
            |axis: usize| Length::from_mm(high[axis] - low[axis]).map_or_else(String::new, |l| showing.number(l));
        format!(", {} × {} {}", side(0), side(1), showing.unit_word())
    });
    format!("{}{size}", piece.cut_words())
}

fn strip_text(strip: &Strip, showing: Showing) -> String {
    let cut = if strip.count == 1 { String::new() } else { format!("cut {}, ", strip.count) };
    format!("{cut}length {}; cut width {}", strip.length_working.text(showing), strip.width_working.text(showing))
}
