//! Measures taken of one person on one day, and the body they add up to.
//!
//! A set may be partial and is never changed: a correction is a newer set. A body
//! is the newest value of each dimension up to a set, each with its day.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::measure::Length;

use super::{ClientId, GarmentId, PersonId, SetId};

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

impl Body {
    /// The length of this dimension, if it was ever taken.
    #[must_use]
    pub fn length(&self, dimension: &str) -> Option<Length> {
        self.values.get(dimension).map(|value| value.length)
    }

    /// The lengths alone, by dimension key: what a draft takes.
    #[must_use]
    pub fn lengths(&self) -> BTreeMap<String, Length> {
        self.values.iter().map(|(key, value)| (key.clone(), value.length)).collect()
    }
}
