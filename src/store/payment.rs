//! Payments and what an order comes to.

use rusqlite::{OptionalExtension, Row};

use crate::shop::{Account, Currency, Money, OrderId, Payment, PaymentFacts, PaymentId, PaymentKind, PersonId};

use super::cells::{Cells, day_cell};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("payment");

fn payment(row: &Row) -> rusqlite::Result<Payment> {
    Ok(Payment {
        id: PaymentId::new(row.get("id")?),
        order: OrderId::new(row.get("order_id")?),
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        voids: row.get::<_, Option<i64>>("voids")?.map(PaymentId::new),
        voided_by: row.get::<_, Option<i64>>("voided_by")?.map(PaymentId::new),
        facts: PaymentFacts {
            kind: row.keyed("kind", PaymentKind::from_key)?,
            money: row.money("minor", "currency")?,
            day: row.day("day")?,
            method: row.get("method")?,
            note: row.get("note")?,
        },
    })
}

impl Reader<'_> {
    /// The payments of an order, oldest first, voided ones too.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn payments_of(&self, order: OrderId) -> Result<Vec<Payment>, StoreError> {
        Ok(self
            .prepared(
                "SELECT p.*, (SELECT v.id FROM payment v WHERE v.voids = p.id) AS voided_by
                   FROM payment p WHERE p.order_id = ?1 ORDER BY p.id",
            )?
            .query_map([order.get()], payment)?
            .collect::<Result<_, _>>()?)
    }

    /// What an order comes to, what was paid and what was deposited.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn account(&self, order: OrderId) -> Result<Account, StoreError> {
        let currency = self.settings()?.currency;
        self.prepared("SELECT due, paid, deposit FROM account WHERE order_id = ?1")?
            .query_row([order.get()], |row| {
                Ok(Account {
                    due: Money::new(row.get(0)?, currency),
                    paid: Money::new(row.get(1)?, currency),
                    deposit: Money::new(row.get(2)?, currency),
                })
            })
            .optional()?
            .ok_or_else(|| StoreError::missing("order", order))
    }
}

impl Writer<'_> {
    /// Writes a payment or a refund.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for nought or less, another currency, a refund of more than was
    /// paid, or a void (see [`Writer::void_payment`]).
    pub fn take_payment(&self, order: OrderId, facts: &PaymentFacts) -> Result<PaymentId, StoreError> {
        let account = self.account(order)?;
        self.is_in(facts.money, account.due.currency())?;
        if facts.money.minor() <= 0 {
            return Err(StoreError::refused(format!("{} is no payment. Write what was paid.", facts.money)));
        }
        match facts.kind {
            PaymentKind::Void => {
                return Err(StoreError::refused("A void names the payment it is about. Choose that payment."));
            }
            PaymentKind::Refund if facts.money.minor() > account.paid.minor() => {
                return Err(StoreError::refused(format!(
                    "{} cannot be given back: {} was paid. Write that much or less.",
                    facts.money, account.paid
                )));
            }
            _ => {}
        }
        self.note_payment(order, facts, None)
    }

    /// Declares a payment void: it was written by mistake. Both rows stay.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] for a void, a payment voided already, or without a reason.
    pub fn void_payment(&self, id: PaymentId, day: chrono::NaiveDate, reason: &str) -> Result<PaymentId, StoreError> {
        let found: Option<Payment> = self.prepared(
                "SELECT p.*, (SELECT v.id FROM payment v WHERE v.voids = p.id) AS voided_by FROM payment p WHERE p.id = ?1",
            )?
            .query_row([id.get()], payment)
            .optional()?;
        let old = found.ok_or_else(|| StoreError::missing("payment", id))?;
        if old.voids.is_some() || old.voided_by.is_some() {
            return Err(StoreError::refused("This payment is void already. Write a new payment if money was taken."));
        }
        if reason.trim().is_empty() {
            return Err(StoreError::refused("Why is the payment void? Write a word or two for the history."));
        }
        let paid = self.account(old.order)?.paid;
        if old.counts() > paid.minor() {
            return Err(StoreError::refused(format!(
                "{} cannot be void: {paid} is what was paid less what was given back. Void the refund first.",
                old.facts.money
            )));
        }
        let facts = PaymentFacts { kind: PaymentKind::Void, day, note: reason.trim().into(), ..old.facts };
        self.note_payment(old.order, &facts, Some(id))
    }

    fn note_payment(
        &self,
        order: OrderId,
        facts: &PaymentFacts,
        voids: Option<PaymentId>,
    ) -> Result<PaymentId, StoreError> {
        self.insert(
            TABLE,
            Some(order),
            &[
                ("order_id", order.get().into()),
                ("kind", facts.kind.key().to_string().into()),
                ("minor", facts.money.minor().into()),
                ("currency", facts.money.currency().code().to_string().into()),
                ("day", day_cell(facts.day)),
                ("method", facts.method.clone().into()),
                ("note", facts.note.clone().into()),
                ("voids", voids.map(PaymentId::get).into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
        )
        .map(PaymentId::new)
    }

    /// Refuses money of another currency or out of range.
    pub(super) fn is_in(&self, money: Money, currency: Currency) -> Result<(), StoreError> {
        if money.currency() != currency {
            return Err(StoreError::refused(format!(
                "{money} is not in {currency}, the currency of this shop. Write the amount in {currency}."
            )));
        }
        if !(0..=Money::MOST_MINOR).contains(&money.minor()) {
            let most = Money::new(Money::MOST_MINOR, currency);
            return Err(StoreError::refused(format!("{money} is not between nought and {most}. Check the amount.")));
        }
        Ok(())
    }
}
