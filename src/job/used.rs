//! The measures that a draft stands on, in tape order, and how far to trust each.

use std::fmt;

use chrono::NaiveDate;

use crate::draft::{Draft, Style};
use crate::measure::{Length, tape_place, term};
use crate::shop::{Body, BodyValue, Source, Wearer};

/// One measure that a style needs or assumes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UsedMeasure {
    /// The key: `waist_girth`.
    pub key: String,
    /// The words for it.
    pub term: String,
    /// How long; `None` when it is still to be taken.
    pub length: Option<Length>,
    /// The day on which it was taken; `None` when it was not.
    pub day: Option<NaiveDate>,
    /// What is to be known before it is cut from.
    pub mark: Option<Mark>,
}

/// Why a measure is worth less than one from our own tape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// The style needs it and nobody took it.
    Missing,
    /// Nobody took it; the style assumed it.
    Assumed {
        /// Whether the garment hangs on it.
        before_cutting: bool,
    },
    /// Somebody guessed it.
    Estimated,
    /// It was taken by another hand, from a garment, or read from a file.
    NotOurTape(Source),
    /// It is older than a body stays the same.
    Old,
}

impl Mark {
    /// Whether the tape must go round again before the cloth is cut.
    #[must_use]
    pub const fn before_cutting(self) -> bool {
        matches!(self, Mark::Missing | Mark::Assumed { before_cutting: true } | Mark::Estimated)
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Mark::Missing => "still to be taken",
            Mark::Assumed { before_cutting: true } => "assumed: take before cutting",
            Mark::Assumed { before_cutting: false } => "assumed",
            Mark::Estimated => "estimated: take before cutting",
            Mark::NotOurTape(Source::Garment) => "from a garment, not our tape",
            Mark::NotOurTape(_) => "not our tape",
            Mark::Old => "old: has she changed?",
        })
    }
}

/// Days for which a measure stands: a year, three months for a child who grows
/// (trade.md, "Reminders": judgement).
const GROWN_DAYS: i64 = 365;
const CHILD_DAYS: i64 = 91;

/// The measures that `style` needs or assumes, as this body has them. `draft` is
/// asked for what was assumed; without a draft those stand without a length.
#[must_use]
pub fn used(style: &Style, draft: Option<&Draft>, body: &Body, wearer: Wearer, today: NaiveDate) -> Vec<UsedMeasure> {
    let keys = style.needs().iter().map(String::as_str).chain(style.assumes());
    let mut rows: Vec<UsedMeasure> = keys
        .map(|key| match body.values.get(key) {
            Some(value) => taken(key, value, wearer, today),
            None => untaken(key, style.needs().iter().any(|needed| needed == key), draft),
        })
        .collect();
    rows.sort_by_key(|row| tape_place(&row.key));
    rows.dedup_by(|one, other| one.key == other.key);
    rows
}

fn taken(key: &str, value: &BodyValue, wearer: Wearer, today: NaiveDate) -> UsedMeasure {
    let stands = if wearer == Wearer::Child { CHILD_DAYS } else { GROWN_DAYS };
    let mark = match value.source {
        Source::Estimate => Some(Mark::Estimated),
        Source::Paper | Source::Garment | Source::Import => Some(Mark::NotOurTape(value.source)),
        Source::Tape if (today - value.day).num_days() > stands => Some(Mark::Old),
        Source::Tape => None,
    };
    UsedMeasure { key: key.into(), term: term(key), length: Some(value.length), day: Some(value.day), mark }
}

fn untaken(key: &str, needed: bool, draft: Option<&Draft>) -> UsedMeasure {
    let assumed = draft.and_then(|draft| draft.assumed.iter().find(|assumed| assumed.key == key));
    let before_cutting = assumed.is_some_and(|assumed| assumed.before_cutting);
    let mark = if needed { Mark::Missing } else { Mark::Assumed { before_cutting } };
    let length = assumed.and_then(|assumed| Length::from_mm(assumed.mm));
    UsedMeasure { key: key.into(), term: term(key), length, day: None, mark: Some(mark) }
}
