//! Payments, and what is still to pay.

use chrono::NaiveDate;

use super::{Money, OrderId, PaymentId, PersonId};

keyed! {
    /// What a payment was for.
    PaymentKind {
        /// Before the work.
        Deposit = "deposit", "deposit";
        /// In between.
        Part = "part", "part payment";
        /// The rest.
        Balance = "balance", "balance";
        /// Money given back.
        Refund = "refund", "refund";
        /// Declares an earlier payment void: it was written by mistake.
        Void = "void", "void";
    }
}

/// A payment as kept; never changed, only voided by a later one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payment {
    /// Which payment.
    pub id: PaymentId,
    /// The order it is for.
    pub order: OrderId,
    /// Who took it.
    pub who: PersonId,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
    /// The payment that this one declares void.
    pub voids: Option<PaymentId>,
    /// The payment that declares this one void.
    pub voided_by: Option<PaymentId>,
    /// What was paid.
    pub facts: PaymentFacts,
}

impl Payment {
    /// What this payment adds to what the client has paid, in minor units.
    #[must_use]
    pub const fn counts(&self) -> i64 {
        if self.voided_by.is_some() {
            return 0;
        }
        match self.facts.kind {
            PaymentKind::Deposit | PaymentKind::Part | PaymentKind::Balance => self.facts.money.minor(),
            PaymentKind::Refund => self.facts.money.minor().saturating_neg(),
            PaymentKind::Void => 0,
        }
    }
}

/// What a person writes about a payment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaymentFacts {
    /// What it was for.
    pub kind: PaymentKind,
    /// How much; always above nought, a refund too.
    pub money: Money,
    /// The day.
    pub day: NaiveDate,
    /// How: cash, bank, mobile money.
    pub method: String,
    /// Anything else; why, when it is voided or given back.
    pub note: String,
}

/// What an order comes to, what was paid and what is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Account {
    /// Prices, extras, discounts and tax together.
    pub due: Money,
    /// Payments less refunds, without voided ones.
    pub paid: Money,
    /// What was deposited, without voided payments.
    pub deposit: Money,
}

impl Account {
    /// What is still to pay; below nought when too much was paid.
    #[must_use]
    pub const fn balance(self) -> Money {
        Money::new(self.due.minor().saturating_sub(self.paid.minor()), self.due.currency())
    }
}
