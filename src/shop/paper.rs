//! Papers that were handed out: numbered without gaps, kept as printed.

use chrono::NaiveDate;

use super::{Money, OrderId, PaperId, PersonId};

keyed! {
    /// What was handed out; each kind has its own numbers.
    PaperKind {
        /// For money received.
        Receipt = "receipt", "receipt";
        /// For a price told.
        Quote = "quote", "quote sheet";
    }
}

/// A paper as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IssuedPaper {
    /// Which paper.
    pub id: PaperId,
    /// Its number among papers of its kind, from 1, without gaps.
    pub number: u32,
    /// Who issued it.
    pub who: PersonId,
    /// When (UTC milliseconds).
    pub at_ms: i64,
    /// What it says.
    pub facts: PaperFacts,
}

/// What a paper says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperFacts {
    /// What kind.
    pub kind: PaperKind,
    /// The order it is about.
    pub order: OrderId,
    /// The day printed on it.
    pub day: NaiveDate,
    /// The amount printed on it.
    pub money: Money,
    /// The text as printed.
    pub text: String,
}
