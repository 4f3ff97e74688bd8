//! What was told to a client before the order was agreed.

use crate::measure::Length;

use super::{GarmentId, Money, PersonId, QuoteId, WorkMinutes};

/// A quote as kept; a new one never changes an old one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quote {
    /// Which quote.
    pub id: QuoteId,
    /// Who told it.
    pub who: PersonId,
    /// When (UTC milliseconds).
    pub at_ms: i64,
    /// What was told.
    pub facts: QuoteFacts,
}

/// What was told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuoteFacts {
    /// For which garment.
    pub garment: GarmentId,
    /// The price.
    pub price: Money,
    /// The cloth to buy or bring.
    pub cloth: Option<Length>,
    /// At this width.
    pub width: Option<Length>,
    /// The minutes reckoned with.
    pub minutes: WorkMinutes,
    /// How the price came about, line by line as shown.
    pub words: String,
}
