//! The choices of a style on a form: lengths, numbers and words, each with the
//! style's own default.

use std::collections::BTreeMap;

use crate::draft;
use crate::measure::{Length, Showing, read_length};

use super::fields::{Fields, Notes};

/// One choice of a style, as the form offers it.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The key in the style: `finished_length`.
    pub key: String,
    /// The words for it: `Finished length`.
    pub label: String,
    /// Whether it is seldom changed, so that it stands aside.
    pub aside: bool,
    /// What may be chosen.
    pub kind: ChoiceKind,
}

/// What may be chosen.
#[derive(Clone, Debug, PartialEq)]
pub enum ChoiceKind {
    /// A length between two others.
    Length {
        /// The style's own value.
        default: Length,
        /// At least this.
        least: Option<Length>,
        /// At most this.
        most: Option<Length>,
    },
    /// A plain number between two others.
    Number {
        /// The style's own value.
        default: f64,
        /// At least this.
        least: Option<f64>,
        /// At most this.
        most: Option<f64>,
        /// Whether only whole ones are drawn.
        whole: bool,
    },
    /// One of several words: key and words.
    Word {
        /// The style's own value.
        default: String,
        /// What may be chosen.
        words: Vec<(String, String)>,
    },
}

/// A choice ready to show.
pub struct ChoiceField {
    /// The name of the field: `c.finished_length`.
    pub name: String,
    /// The words above it.
    pub label: String,
    /// What may be written there.
    pub hint: String,
    /// The text in it.
    pub value: String,
    /// Whether it stands aside.
    pub aside: bool,
    /// Whether it is another than the style's or the shop's own.
    pub changed: bool,
    /// The words to choose from; empty for a length or a number.
    pub words: Vec<(String, String)>,
    /// What is wrong.
    pub note: Option<String>,
}

/// The fields of these choices, as sent or, where nothing was sent, with the style's own values.
#[must_use]
pub fn rows(choices: &[Choice], fields: &Fields, notes: &Notes, showing: Showing) -> Vec<ChoiceField> {
    choices
        .iter()
        .map(|choice| {
            let name = name(&choice.key);
            let own = shown(&choice.kind, showing);
            let (hint, words) = match &choice.kind {
                ChoiceKind::Length { least, most, .. } => {
                    let text = |length: Length| super::writing::length(showing, length);
                    (between(least.map(text), most.map(text), showing.unit_word()), Vec::new())
                }
                ChoiceKind::Number { least, most, .. } => (between(least.map(plain), most.map(plain), ""), Vec::new()),
                ChoiceKind::Word { words, .. } => (String::new(), words.clone()),
            };
            let value = if fields.has(&name) { fields.raw(&name).to_string() } else { own };
            ChoiceField {
                note: notes.at(&name).map(Into::into),
                changed: !is_default(&choice.kind, value.trim(), showing),
                name,
                label: choice.label.clone(),
                aside: choice.aside,
                hint,
                value,
                words,
            }
        })
        .collect()
}

/// Whether one of those that stand aside must be seen: it has a note, or was chosen.
#[must_use]
pub fn any_to_show(rows: &[ChoiceField]) -> bool {
    rows.iter().any(|row| row.aside && (row.note.is_some() || row.changed))
}

/// Reads the choices that differ from what stands when nothing is chosen; each is kept as text with its unit, so that it means the
/// same whatever the shop measures in later.
pub fn read(choices: &[Choice], fields: &Fields, notes: &mut Notes, showing: Showing) -> BTreeMap<String, String> {
    let mut read = BTreeMap::new();
    for choice in choices {
        let name = name(&choice.key);
        let Some(text) = fields.filled(&name) else { continue };
        // What nobody changed is not chosen: it goes on following the measures and the shop.
        if is_default(&choice.kind, text, showing) {
            continue;
        }
        match kept(&choice.kind, text, showing) {
            Ok(text) => {
                read.insert(choice.key.clone(), text);
            }
            Err(why) => notes.add(&name, why),
        }
    }
    read
}

/// The fields of choices as they were kept.
#[must_use]
pub fn typed(kept: &BTreeMap<String, String>) -> Vec<(String, String)> {
    kept.iter().map(|(key, text)| (name(key), text.clone())).collect()
}

fn name(key: &str) -> String {
    format!("c.{key}")
}

/// The style's own value as the form shows it.
fn shown(kind: &ChoiceKind, showing: Showing) -> String {
    match kind {
        ChoiceKind::Length { default, .. } => showing.number(*default),
        ChoiceKind::Number { default, .. } => plain(*default),
        ChoiceKind::Word { default, .. } => default.clone(),
    }
}

fn kept(kind: &ChoiceKind, text: &str, showing: Showing) -> Result<String, String> {
    match kind {
        ChoiceKind::Length { least, most, .. } => {
            let length = read_length(text, showing.unit()).map_err(|why| why.to_string())?;
            let write = |length: &Length| super::writing::length(showing, *length);
            // A limit is as it is shown: 1/4 in is told as 0.6 cm, so 0.6 cm is within it.
            let told = |length: Length| length.rounded_to(showing.step_length());
            if least.is_some_and(|least| length < least.min(told(least)))
                || most.is_some_and(|most| length > most.max(told(most)))
            {
                let limits = between(least.as_ref().map(write), most.as_ref().map(write), "");
                return Err(format!("{} is outside what this style is drawn for: {limits}.", write(&length)));
            }
            let bare = text.chars().all(|sign| !sign.is_alphabetic() && !matches!(sign, '"' | '\'' | '″' | '′' | '”'));
            Ok(if bare { format!("{text} {}", showing.unit_word()) } else { text.into() })
        }
        ChoiceKind::Number { least, most, whole, .. } => {
            let number = draft::read_number(text)
                .ok_or_else(|| format!("“{text}” is not a number. Write one such as 2, 2.5 or 2 1/2."))?;
            if least.is_some_and(|least| number < least) || most.is_some_and(|most| number > most) {
                let limits = between(least.map(plain), most.map(plain), "");
                return Err(format!("{} is outside what this style is drawn for: {limits}.", plain(number)));
            }
            if *whole && number.fract().abs() > 0.0 {
                return Err(format!("{} is not a whole number. Choose a whole one.", plain(number)));
            }
            // A third has no end in figures: it is kept as it was written.
            let written = plain(number);
            let same = written.parse().is_ok_and(|again: f64| (again - number).abs() < 1e-9);
            Ok(if same { written } else { text.into() })
        }
        ChoiceKind::Word { words, .. } => match words.iter().find(|(key, _)| key == text) {
            Some((key, _)) => Ok(key.clone()),
            None => Err(format!("“{text}” is none of the choices. Choose one of the list.")),
        },
    }
}

/// Whether this text, as it was typed, says no more than the form showed by itself.
fn is_default(kind: &ChoiceKind, text: &str, showing: Showing) -> bool {
    if text.is_empty() || text == shown(kind, showing) {
        return true;
    }
    match kind {
        // As it was shown: a default that is no eighth was rounded on the form.
        ChoiceKind::Length { default, .. } => read_length(text, showing.unit())
            .is_ok_and(|length| length == *default || length == default.rounded_to(showing.step_length())),
        ChoiceKind::Number { default, .. } => {
            draft::read_number(text).is_some_and(|number| (number - default).abs() < 1e-9)
        }
        ChoiceKind::Word { default, .. } => text == default,
    }
}

fn between(least: Option<String>, most: Option<String>, unit: &str) -> String {
    match (least, most) {
        (Some(least), Some(most)) => format!("{least} to {most}"),
        (Some(least), None) => format!("{least} or more"),
        (None, Some(most)) => format!("at most {most}"),
        (None, None) => unit.into(),
    }
}

fn plain(number: f64) -> String {
    let text = format!("{number:.3}");
    text.trim_end_matches('0').trim_end_matches('.').into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn skirt() -> Vec<Choice> {
        let inches = |whole| Length::inches(whole, 0);
        vec![
            Choice {
                key: "finished_length".into(),
                label: "Finished length".into(),
                aside: false,
                kind: ChoiceKind::Length { default: inches(27), least: Some(inches(12)), most: Some(inches(45)) },
            },
            Choice {
                key: "fullness".into(),
                label: "Fullness".into(),
                aside: false,
                kind: ChoiceKind::Number { default: 2.0, least: Some(1.5), most: Some(4.0), whole: false },
            },
            Choice {
                key: "tie_side".into(),
                label: "Tie".into(),
                aside: false,
                kind: ChoiceKind::Word { default: "left".into(), words: vec![("left".into(), "on the left".into())] },
            },
        ]
    }

    fn sent(key: &str, text: &str) -> (BTreeMap<String, String>, Notes) {
        let mut notes = Notes::default();
        let fields = Fields::of(vec![(format!("c.{key}"), text.into())]);
        (read(&skirt(), &fields, &mut notes, Showing::EIGHTHS), notes)
    }

    #[test]
    fn a_choice_keeps_its_unit() {
        assert_eq!(sent("finished_length", "25 1/2").0["finished_length"], "25 1/2 in");
        assert_eq!(sent("finished_length", "65 cm").0["finished_length"], "65 cm");
        assert_eq!(sent("fullness", "2,5").0["fullness"], "2.5");
    }

    #[test]
    fn what_nobody_changed_is_not_chosen() {
        assert!(sent("finished_length", "27").0.is_empty());
        assert!(sent("finished_length", "27 in").0.is_empty());
        assert!(sent("fullness", "2.0").0.is_empty());
        assert!(sent("tie_side", "left").0.is_empty());
    }

    /// An allowance of a quarter inch and no less, a count of gores, and a name that another begins with.
    fn seam() -> Vec<Choice> {
        let allowance = |key: &str, default: i64, least: i64| Choice {
            key: key.into(),
            label: key.into(),
            aside: true,
            kind: ChoiceKind::Length {
                default: Length::sixty_fourths(default),
                least: Some(Length::sixty_fourths(least)),
                most: Some(Length::inches(2, 0)),
            },
        };
        let count = ChoiceKind::Number { default: 6.0, least: Some(4.0), most: Some(12.0), whole: true };
        let gores = Choice { key: "gores".into(), label: "Gores".into(), aside: false, kind: count };
        vec![allowance("seam", 16, 16), allowance("seam_end", 24, 8), gores]
    }

    fn in_centimetres(pairs: &[(&str, &str)]) -> (BTreeMap<String, String>, Notes) {
        let mut notes = Notes::default();
        let fields = Fields::of(pairs.iter().map(|(key, text)| (format!("c.{key}"), (*text).into())).collect());
        (read(&seam(), &fields, &mut notes, Showing::MILLIMETRES), notes)
    }

    #[test]
    fn a_form_left_as_it_was_shown_chooses_nothing() {
        let showing = Showing::MILLIMETRES;
        let shown = rows(&seam(), &Fields::default(), &Notes::default(), showing);
        assert_eq!(shown.iter().map(|row| row.value.as_str()).collect::<Vec<_>>(), ["0.6", "1", "6"]);
        assert!(shown.iter().all(|row| !row.changed));
        let fields = Fields::of(shown.into_iter().map(|row| (row.name, row.value)).collect());
        let mut notes = Notes::default();
        assert!(read(&seam(), &fields, &mut notes, showing).is_empty());
        assert!(notes.is_empty(), "{notes:?}");
    }

    #[test]
    fn a_limit_is_as_it_is_shown() {
        // 1/8 in is told as 0.3 cm; 0.2 is less.
        assert_eq!(in_centimetres(&[("seam_end", "0.3")]).0["seam_end"], "0.3 cm");
        assert!(in_centimetres(&[("seam_end", "0.2")]).1.at("c.seam_end").unwrap().contains("0.3 cm"));
        assert!(in_centimetres(&[("seam_end", "5.1")]).1.is_empty());
    }

    #[test]
    fn a_number_is_read_as_the_draft_reads_it() {
        assert_eq!(sent("fullness", "2 1/2").0["fullness"], "2.5");
        assert_eq!(sent("fullness", "2 1/3").0["fullness"], "2 1/3");
        assert!(in_centimetres(&[("gores", "6 1/2")]).1.at("c.gores").unwrap().contains("whole"));
        assert_eq!(in_centimetres(&[("gores", "8")]).0["gores"], "8");
    }

    #[test]
    fn a_choice_whose_name_begins_another_is_not_taken_for_it() {
        let fields = Fields::of(vec![("c.seam_end".into(), "2 cm".into())]);
        let rows = rows(&seam(), &fields, &Notes::default(), Showing::MILLIMETRES);
        assert_eq!((rows[0].value.as_str(), rows[0].changed), ("0.6", false));
        assert_eq!((rows[1].value.as_str(), rows[1].changed), ("2 cm", true));
    }

    #[test]
    fn what_the_style_is_not_drawn_for_is_noted_with_its_limits() {
        let noted = |key, text| sent(key, text).1.at(&format!("c.{key}")).unwrap().to_string();
        assert!(noted("finished_length", "60").contains("12 in to 45 in"));
        assert!(noted("finished_length", "long").contains("long"));
        assert!(noted("fullness", "NaN").contains("NaN"));
        assert!(noted("fullness", "9").contains("1.5 to 4"));
        assert!(noted("tie_side", "middle").contains("middle"));
    }

    #[test]
    fn the_styles_own_values_stand_in_an_empty_form() {
        let rows = rows(&skirt(), &Fields::default(), &Notes::default(), Showing::EIGHTHS);
        assert_eq!(rows.iter().map(|row| row.value.as_str()).collect::<Vec<_>>(), ["27", "2", "left"]);
    }
}
