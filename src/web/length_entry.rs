//! Entering a length: a box for whole numbers with one row of eighths, or the
//! whole length typed into the box (`31 1/4`, `79.4 cm`). Works as a plain form.

use crate::measure::{Length, LengthError, Showing, Unit, read_length};

use super::fields::{Fields, Notes};
use super::writing;

/// Why what stands in the box and in the row of eighths makes no length.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EntryError {
    /// The box holds no length.
    #[error(transparent)]
    Length(#[from] LengthError),
    /// Both the box and the row give a fraction.
    #[error(
        "“{text}” has its own fraction, and {fraction} is marked in the row as well. Keep one of them: mark 0 in the row, or write \
         the whole number alone."
    )]
    TwoFractions {
        /// The text in the box.
        text: String,
        /// The fraction marked.
        fraction: String,
    },
}

/// A length entry on the page, ready to show.
#[derive(Clone, Debug, Default)]
pub struct LengthEntry {
    /// The field: `waist_girth`. The box is `m.waist_girth`, the row `e.waist_girth`.
    pub key: String,
    /// The words above it.
    pub label: String,
    /// Where the tape goes.
    pub how: String,
    /// The text in the box.
    pub value: String,
    /// The unit behind the box.
    pub unit: &'static str,
    /// The row of eighths: value, sign, said in words, marked. Empty for centimetres.
    pub row: Vec<(String, String, String, bool)>,
    /// What was measured before, in words.
    pub before: String,
    /// What is wrong.
    pub note: Option<String>,
    /// "Check the tape": doubtful, but kept.
    pub check: Vec<String>,
}

const EIGHTHS: [(&str, &str); 8] = [
    ("0", "no eighths"),
    ("1/8", "one eighth"),
    ("1/4", "one quarter"),
    ("3/8", "three eighths"),
    ("1/2", "one half"),
    ("5/8", "five eighths"),
    ("3/4", "three quarters"),
    ("7/8", "seven eighths"),
];

impl LengthEntry {
    /// An entry with nothing in it.
    #[must_use]
    pub fn new(key: &str, label: &str, how: &str, showing: Showing) -> LengthEntry {
        let entry = LengthEntry {
            key: key.into(),
            label: label.into(),
            how: how.into(),
            unit: showing.unit_word(),
            ..LengthEntry::default()
        };
        entry.marked(0, showing)
    }

    /// The entry as it was sent, with its note.
    #[must_use]
    pub fn sent(mut self, fields: &Fields, notes: &Notes, showing: Showing) -> LengthEntry {
        self.value = fields.raw(&format!("m.{}", self.key)).into();
        self.note = notes.at(&self.key).map(Into::into);
        let marked = marked(fields, &self.key);
        self.marked(marked, showing)
    }

    fn marked(mut self, at: usize, showing: Showing) -> LengthEntry {
        if showing.unit() == Unit::Inch {
            self.row = EIGHTHS
                .iter()
                .enumerate()
                .map(|(place, (sign, said))| {
                    (place.to_string(), writing::true_fractions(sign), (*said).to_string(), place == at)
                })
                .collect();
        }
        self
    }
}

/// Reads the entry of this key: `None` when nothing was typed.
///
/// # Errors
/// [`EntryError`] with the text at fault and the remedy.
pub fn read(fields: &Fields, key: &str, showing: Showing) -> Result<Option<Length>, EntryError> {
    let text = fields.text(&format!("m.{key}")).to_string();
    let eighths = marked(fields, key);
    match (text.is_empty(), eighths) {
        (true, 0) => Ok(None),
        (true, _) => Ok(Some(Length::inches(0, i64::try_from(eighths).unwrap_or(0)))),
        (false, 0) => Ok(Some(read_length(&text, showing.unit())?)),
        (false, _) => {
            let length = read_length(&text, showing.unit())?;
            let part = Length::inches(0, i64::try_from(eighths).unwrap_or(0));
            if text.bytes().all(|byte| byte.is_ascii_digit()) {
                return Ok(Some(length + part));
            }
            // Written out and marked alike is no contradiction.
            if length.nm() % Length::INCH.nm() == part.nm() {
                return Ok(Some(length));
            }
            let sign = EIGHTHS.get(eighths).map_or("", |(sign, _)| sign);
            Err(EntryError::TwoFractions { text, fraction: writing::true_fractions(sign) })
        }
    }
}

/// What was typed, in one text: `31 1/4`.
#[must_use]
pub fn typed(fields: &Fields, key: &str) -> String {
    let text = fields.text(&format!("m.{key}"));
    match EIGHTHS.get(marked(fields, key)) {
        Some((sign, _)) if *sign != "0" && text.bytes().all(|byte| byte.is_ascii_digit()) => {
            format!("{text} {sign}").trim().to_string()
        }
        _ => text.into(),
    }
}

fn marked(fields: &Fields, key: &str) -> usize {
    fields.text(&format!("e.{key}")).parse().ok().filter(|place| *place < EIGHTHS.len()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sent(text: &str, eighths: &str) -> Fields {
        Fields::of(vec![("m.waist_girth".into(), text.into()), ("e.waist_girth".into(), eighths.into())])
    }

    fn reading(text: &str, eighths: &str) -> Result<Option<Length>, EntryError> {
        read(&sent(text, eighths), "waist_girth", Showing::EIGHTHS)
    }

    #[test]
    fn box_and_row_make_one_length() {
        assert_eq!(reading("31", "2"), Ok(Some(Length::inches(31, 2))));
        assert_eq!(reading("31 1/4", "0"), Ok(Some(Length::inches(31, 2))));
        assert_eq!(reading("31 1/4", "2"), Ok(Some(Length::inches(31, 2))));
        assert_eq!(reading("", "3"), Ok(Some(Length::inches(0, 3))));
        assert_eq!(reading(" ", "0"), Ok(None));
        assert_eq!(reading("79.4 cm", ""), Ok(Some(Length::tenths_of_mm(7940))));
        assert_eq!(typed(&sent("31", "2"), "waist_girth"), "31 1/4");
        assert_eq!(typed(&sent("79.4 cm", "0"), "waist_girth"), "79.4 cm");
    }

    #[test]
    fn what_contradicts_is_said_and_not_guessed() {
        let said = reading("31 1/4", "3").unwrap_err().to_string();
        assert!(said.contains("31 1/4") && said.contains('⅜'), "{said}");
        assert!(matches!(reading("thirty", "0"), Err(EntryError::Length(LengthError::Word { .. }))));
        assert!(matches!(reading("31 1/0", "0"), Err(EntryError::Length(LengthError::OverNought { .. }))));
        assert!(matches!(reading("-3", "1"), Err(EntryError::Length(LengthError::Negative { .. }))));
        // A mark that is none of the row counts as none.
        assert_eq!(reading("31", "9"), Ok(Some(Length::inches(31, 0))));
    }

    proptest! {
        #[test]
        fn whole_numbers_and_eighths_are_exact(whole in 0_i64..400, over in 0_i64..8) {
            prop_assert_eq!(reading(&whole.to_string(), &over.to_string()), Ok(Some(Length::inches(whole, over))));
        }

        #[test]
        fn any_text_is_read_without_harm(text in "\\PC{0,12}", over in "[0-9]{0,2}") {
            let _ = reading(&text, &over);
        }
    }
}
