//! Lines of an order's account beside the prices of its garments.

use super::{ChargeId, GarmentId, Money, OrderId};

keyed! {
    /// What a line does to the total.
    ChargeKind {
        /// Adds: a lining, rush work, delivery.
        Extra = "extra", "extra";
        /// Takes off.
        Discount = "discount", "discount";
        /// Adds, and is owed to the state.
        Tax = "tax", "tax";
    }
}

/// A line as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Charge {
    /// Which line.
    pub id: ChargeId,
    /// Counts the edits of this row.
    pub version: i64,
    /// The order it belongs to.
    pub order: OrderId,
    /// What is charged.
    pub facts: ChargeFacts,
}

impl Charge {
    /// What this line adds to the total, in minor units.
    #[must_use]
    pub const fn counts(&self) -> i64 {
        match self.facts.kind {
            ChargeKind::Extra | ChargeKind::Tax => self.facts.money.minor(),
            ChargeKind::Discount => self.facts.money.minor().saturating_neg(),
        }
    }
}

/// What a person writes about a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChargeFacts {
    /// What the line does.
    pub kind: ChargeKind,
    /// The garment it is for, if for one.
    pub garment: Option<GarmentId>,
    /// What for.
    pub words: String,
    /// How much, above nought.
    pub money: Money,
}
