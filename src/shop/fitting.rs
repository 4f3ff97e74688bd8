//! Fittings that were arranged, and fittings that are being written down.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveTime};

use super::{ClientId, FittingId, GarmentId, OrderId, PersonId};

keyed! {
    /// What became of a fitting.
    FittingState {
        /// It is to come.
        Arranged = "arranged", "arranged";
        /// The client came.
        Held = "held", "held";
        /// The client did not come.
        Missed = "missed", "missed";
        /// It was called off.
        CalledOff = "called_off", "called off";
    }
}

/// A fitting as kept; day and time are local to the shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fitting {
    /// Which fitting.
    pub id: FittingId,
    /// Counts the edits of this row.
    pub version: i64,
    /// What was arranged.
    pub facts: FittingFacts,
}

/// What was arranged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FittingFacts {
    /// For which order.
    pub order: OrderId,
    /// For which garment, if for one alone.
    pub garment: Option<GarmentId>,
    /// The day, as the shop's calendar has it.
    pub day: NaiveDate,
    /// The time, as the shop's clock has it; `None` for any time of the day.
    pub time: Option<NaiveTime>,
    /// How long it takes.
    pub minutes: u32,
    /// What became of it.
    pub state: FittingState,
    /// Anything else.
    pub note: String,
}

/// A fitting as it is being written down: typed text, not yet measures.
/// Its key is made by the page, so that sending it twice does no harm.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FittingDraft {
    /// Made by the page; at most 64 letters, digits and dashes.
    pub key: String,
    /// Who is being measured.
    pub wearer: ClientId,
    /// For which garment, if for one.
    pub garment: Option<GarmentId>,
    /// Who measures.
    pub who: PersonId,
    /// The fields as typed, by name.
    pub fields: BTreeMap<String, String>,
    /// When it was last sent (UTC milliseconds).
    pub at_ms: i64,
}
