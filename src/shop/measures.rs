//! Measures taken of one person on one day, and the body they add up to.
//!
//! A set may be partial and is never changed: a correction is a newer set. A body
//! is the newest value of each dimension up to a set, each with its day.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::measure::{Length, LengthError, Showing, read_length};

use super::{ClientId, Correction, CorrectionId, GarmentId, PersonId, SetId};

keyed! {
    /// Where a reading comes from; anything but the tape is worth less.
    Source {
        /// Our own tape.
        Tape = "tape", "our tape";
        /// Written down by somebody else: the client, another tailor.
        Paper = "paper", "from paper";
        /// Taken from a garment that fits.
        Garment = "garment", "from a garment";
        /// Read from a file.
        Import = "import", "imported";
        /// Guessed; never cut from.
        Estimate = "estimate", "estimated";
    }
}

/// A set of measures as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeasureSet {
    /// Which set.
    pub id: SetId,
    /// Who wrote it.
    pub taken_by: PersonId,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
    /// What was written.
    pub facts: SetFacts,
}

/// What is written at a fitting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetFacts {
    /// Who was measured.
    pub wearer: ClientId,
    /// The day of the tape.
    pub day: NaiveDate,
    /// Over what it was taken: foundation, a thin dress, shoes.
    pub over: String,
    /// Where the set as a whole comes from; each reading says it too.
    pub source: Source,
    /// Anything else.
    pub note: String,
    /// Figure notes in words: `low shoulder left`, `stooped`. They replace those of older sets.
    pub figure: Vec<String>,
    /// The readings, in the order taken.
    pub readings: Vec<Reading>,
    /// The set that this one corrects, if it does.
    pub corrects: Option<SetId>,
    /// The garment for which it was taken, if for one.
    pub garment: Option<GarmentId>,
}

/// One reading of the tape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The dimension's key: `waist_girth`, or a key of the shop's own.
    pub dimension: String,
    /// How long.
    pub length: Length,
    /// What was typed, as typed.
    pub typed: String,
    /// The first, second, … reading of this dimension in this set; the last one counts.
    pub number: u32,
    /// Where it comes from.
    pub source: Source,
}

/// The newest value of each dimension up to a set, and the figure notes in force.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Body {
    /// By dimension key.
    pub values: BTreeMap<String, BodyValue>,
    /// Figure notes of the newest set that is counted.
    pub figure: Vec<String>,
    /// The day of the newest set that is counted.
    pub day: Option<NaiveDate>,
    /// Every standing correction of the wearer, oldest first, those too that ended: which of
    /// them count is said by the garment.
    pub corrections: Vec<Correction>,
}

/// One value of a body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BodyValue {
    /// How long.
    pub length: Length,
    /// What was typed, as typed.
    pub typed: String,
    /// The day on which it was taken.
    pub day: NaiveDate,
    /// Where it comes from.
    pub source: Source,
    /// The set that it stands in.
    pub set: SetId,
}

/// Reads a length that was edited: a field that still says what was shown keeps the
/// stored value, so that 79.4 cm shown as 31 1/4 is not saved as 31 1/4 again. `None`
/// when the field is empty.
///
/// # Errors
/// [`LengthError`] of the typed text.
pub fn kept_or_read(stored: Option<Length>, typed: &str, showing: Showing) -> Result<Option<Length>, LengthError> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    let read = read_length(typed, showing.unit())?;
    // However it was typed: what reads as the shown value was not changed.
    Ok(Some(stored.filter(|stored| stored.rounded_to(showing.step_length()) == read).unwrap_or(read)))
}

impl Body {
    /// The length of this dimension, if it was ever taken.
    #[must_use]
    pub fn length(&self, dimension: &str) -> Option<Length> {
        self.values.get(dimension).map(|value| value.length)
    }

    /// The corrections in force, each to be applied: what a new garment takes.
    #[must_use]
    pub fn in_force(&self) -> BTreeMap<CorrectionId, bool> {
        self.corrections.iter().filter(|one| one.is_in_force()).map(|one| (one.id, true)).collect()
    }

    /// Whether the dimension of a correction was measured after it was seen: then it may hold no more.
    #[must_use]
    pub fn measured_since(&self, correction: &Correction) -> Option<NaiveDate> {
        let value = self.values.get(&correction.facts.dimension)?;
        (value.day > correction.facts.day).then_some(value.day)
    }

    /// The lengths alone, by dimension key: what a draft takes.
    #[must_use]
    pub fn lengths(&self) -> BTreeMap<String, Length> {
        self.values.iter().map(|(key, value)| (key.clone(), value.length)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_field_that_was_not_changed_keeps_the_stored_value() {
        let stored = Length::tenths_of_mm(7940);
        assert_eq!(kept_or_read(Some(stored), "31 1/4", Showing::EIGHTHS), Ok(Some(stored)));
        assert_eq!(kept_or_read(Some(stored), "31.25 in", Showing::EIGHTHS), Ok(Some(stored)));
        assert_eq!(kept_or_read(Some(stored), "31 3/8", Showing::EIGHTHS), Ok(Some(Length::inches(31, 3))));
        assert_eq!(kept_or_read(Some(stored), " ", Showing::EIGHTHS), Ok(None));
        assert_eq!(kept_or_read(None, "31", Showing::EIGHTHS), Ok(Some(Length::inches(31, 0))));
        assert!(kept_or_read(Some(stored), "31 1/0", Showing::EIGHTHS).is_err());
    }

    proptest! {
        #[test]
        fn showing_and_saving_again_never_moves_a_length(nm in 0..3_000_000_000_i64, kind in 0..3_usize) {
            let showing = [Showing::EIGHTHS, Showing::SIXTEENTHS, Showing::MILLIMETRES][kind];
            let stored = Length::from_nm(nm);
            prop_assert_eq!(kept_or_read(Some(stored), &showing.number(stored), showing), Ok(Some(stored)));
        }
    }
}
