//! Extras, discounts and taxes of an order.

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row, params};

use crate::shop::{Charge, ChargeFacts, ChargeId, ChargeKind, GarmentId, OrderId};

use super::cells::Cells;
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("charge");

fn charge(row: &Row) -> rusqlite::Result<Charge> {
    Ok(Charge {
        id: ChargeId::new(row.get("id")?),
        version: row.get("version")?,
        order: OrderId::new(row.get("order_id")?),
        facts: ChargeFacts {
            kind: row.keyed("kind", ChargeKind::from_key)?,
            garment: row.get::<_, Option<i64>>("garment_id")?.map(GarmentId::new),
            words: row.get("words")?,
            money: row.money("minor", "currency")?,
        },
    })
}

impl Reader<'_> {
    /// The lines of an order as they were added.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn charges_of(&self, order: OrderId) -> Result<Vec<Charge>, StoreError> {
        Ok(self
            .prepared("SELECT * FROM charge WHERE order_id = ?1 ORDER BY id")?
            .query_map([order.get()], charge)?
            .collect::<Result<_, _>>()?)
    }

    fn charge(&self, id: ChargeId) -> Result<Charge, StoreError> {
        self.prepared("SELECT * FROM charge WHERE id = ?1")?
            .query_row([id.get()], charge)
            .optional()?
            .ok_or_else(|| StoreError::missing("charge", id))
    }
}

impl Writer<'_> {
    /// Adds a line to an order.
    ///
    /// # Errors
    /// [`StoreError::Missing`] order; [`StoreError::Refused`] for nought, another currency or no words.
    pub fn add_charge(&self, order: OrderId, facts: &ChargeFacts) -> Result<ChargeId, StoreError> {
        self.order(order)?;
        let mut cells = self.charge_cells(facts)?;
        cells.push(("order_id", order.get().into()));
        self.insert(TABLE, Some(order), &cells).map(ChargeId::new)
    }

    /// Writes what changed about a line.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`]; [`StoreError::Refused`] as when adding it.
    pub fn change_charge(&self, id: ChargeId, version: i64, facts: &ChargeFacts) -> Result<(), StoreError> {
        let before = self.charge(id)?;
        let edit = self.edit(TABLE, id.get(), version, Some(before.order))?;
        edit.cells(&self.charge_cells(facts)?)?;
        edit.done()
    }

    /// Takes a line away; the history keeps what it said.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`].
    pub fn remove_charge(&self, id: ChargeId, version: i64) -> Result<(), StoreError> {
        let gone = self.charge(id)?;
        self.edit(TABLE, id.get(), version, Some(gone.order))?.done()?;
        let told = format!("{}: {} ({})", gone.facts.kind.words(), gone.facts.words, gone.facts.money);
        self.prepared("DELETE FROM charge WHERE id = ?1")?.execute(params![id.get()])?;
        self.changed(TABLE.noun, id.get(), Some(gone.order), None, Some(&told), None)
    }

    fn charge_cells(&self, facts: &ChargeFacts) -> Result<Vec<(&'static str, Value)>, StoreError> {
        self.is_in(facts.money, self.settings()?.currency)?;
        if facts.money.minor() == 0 {
            return Err(StoreError::refused("A line of nought charges nothing. Write an amount or leave it out."));
        }
        if facts.words.trim().is_empty() {
            return Err(StoreError::refused("What is it for? Write a word or two beside the amount."));
        }
        Ok(vec![
            ("garment_id", facts.garment.map(GarmentId::get).into()),
            ("kind", facts.kind.key().to_string().into()),
            ("words", facts.words.trim().to_string().into()),
            ("minor", facts.money.minor().into()),
            ("currency", facts.money.currency().code().to_string().into()),
        ])
    }
}
