//! Fittings that were arranged, and fittings that are being written down.

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row, params};

use crate::shop::{
    ClientId, Fitting, FittingDraft, FittingFacts, FittingId, FittingState, GarmentId, OrderId, PersonId, SetFacts,
    SetId,
};

use super::cells::{Cells, day_cell, maybe_time_cell};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("fitting");

/// The longest key of a fitting draft; a random one of 128 bits takes 36 with its dashes.
const LONGEST_KEY: usize = 64;

pub(super) fn fitting(row: &Row) -> rusqlite::Result<Fitting> {
    Ok(Fitting {
        id: FittingId::new(row.get("id")?),
        version: row.get("version")?,
        facts: FittingFacts {
            order: OrderId::new(row.get("order_id")?),
            garment: row.get::<_, Option<i64>>("garment_id")?.map(GarmentId::new),
            day: row.day("day")?,
            time: row.maybe_time("time")?,
            minutes: row.get("minutes")?,
            state: row.keyed("state", FittingState::from_key)?,
            note: row.get("note")?,
        },
    })
}

fn draft(row: &Row) -> rusqlite::Result<(i64, FittingDraft)> {
    let draft = FittingDraft {
        key: row.get("key")?,
        wearer: ClientId::new(row.get("wearer_id")?),
        garment: row.get::<_, Option<i64>>("garment_id")?.map(GarmentId::new),
        who: PersonId::new(row.get("who")?),
        fields: std::collections::BTreeMap::new(),
        at_ms: row.get("at_ms")?,
    };
    Ok((row.get("id")?, draft))
}

impl Reader<'_> {
    /// The fittings of an order by day and time.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn fittings_of(&self, order: OrderId) -> Result<Vec<Fitting>, StoreError> {
        Ok(self
            .prepared("SELECT * FROM fitting WHERE order_id = ?1 ORDER BY day, time IS NULL, time, id")?
            .query_map([order.get()], fitting)?
            .collect::<Result<_, _>>()?)
    }

    /// A fitting as it is being written down.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn fitting_draft(&self, key: &str) -> Result<Option<FittingDraft>, StoreError> {
        let found = self.prepared("SELECT * FROM fitting_draft WHERE key = ?1")?.query_row([key], draft).optional()?;
        found.map(|found| self.with_fields(found)).transpose()
    }

    /// The open fittings of a wearer, newest first.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn fitting_drafts_of(&self, wearer: ClientId) -> Result<Vec<FittingDraft>, StoreError> {
        let found: Vec<(i64, FittingDraft)> = self
            .prepared("SELECT * FROM fitting_draft WHERE wearer_id = ?1 ORDER BY at_ms DESC, id DESC")?
            .query_map([wearer.get()], draft)?
            .collect::<Result<_, _>>()?;
        found.into_iter().map(|found| self.with_fields(found)).collect()
    }

    fn with_fields(&self, (id, mut draft): (i64, FittingDraft)) -> Result<FittingDraft, StoreError> {
        draft.fields = self
            .prepared("SELECT key, value FROM fitting_draft_field WHERE owner = ?1")?
            .query_map([id], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        Ok(draft)
    }
}

impl Writer<'_> {
    /// Arranges a fitting.
    ///
    /// # Errors
    /// [`StoreError::Missing`] order; [`StoreError::Refused`] when the garment is of another order.
    pub fn add_fitting(&self, facts: &FittingFacts) -> Result<FittingId, StoreError> {
        let mut cells = self.fitting_cells(facts)?;
        cells.push(("order_id", facts.order.get().into()));
        self.insert(TABLE, Some(facts.order), &cells).map(FittingId::new)
    }

    /// Moves a fitting to another day, or says what became of it. The order stays.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`].
    pub fn change_fitting(&self, id: FittingId, version: i64, facts: &FittingFacts) -> Result<(), StoreError> {
        let order: Option<i64> = self
            .prepared("SELECT order_id FROM fitting WHERE id = ?1")?
            .query_row([id.get()], |row| row.get(0))
            .optional()?;
        match order {
            None => return Err(StoreError::missing("fitting", id)),
            Some(order) if order != facts.order.get() => {
                return Err(StoreError::refused(
                    "A fitting stays with its order. Arrange a new one for the other order.",
                ));
            }
            Some(_) => {}
        }
        let edit = self.edit(TABLE, id.get(), version, Some(facts.order))?;
        edit.cells(&self.fitting_cells(facts)?)?;
        edit.done()
    }

    /// Keeps a fitting as typed so far; sent again it replaces what it said before. Typing is no
    /// change of the book: the history begins when it is done. Once done, it is not kept again.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for a key that no page makes, or one of another wearer's draft.
    pub fn save_fitting_draft(&self, draft: &FittingDraft) -> Result<(), StoreError> {
        is_key(&draft.key)?;
        if self.set_of_draft(&draft.key)?.is_some() {
            return Ok(());
        }
        if self.client(draft.wearer)?.forgotten_ms.is_some() {
            return Err(StoreError::refused("This client was forgotten. Write a new client and measure again."));
        }
        let kept = self.fitting_draft(&draft.key)?;
        if kept.is_some_and(|kept| kept.wearer != draft.wearer) {
            return Err(StoreError::refused("This fitting belongs to another client. Open the fitting anew."));
        }
        self.prepared(
                "INSERT INTO fitting_draft (key, wearer_id, garment_id, who, at_ms) VALUES (?1, ?2, ?3, ?4, ?5)
                 ON CONFLICT (key) DO UPDATE SET garment_id = excluded.garment_id, who = excluded.who, at_ms = excluded.at_ms",
            )?
            .execute(params![
                draft.key,
                draft.wearer.get(),
                draft.garment.map(GarmentId::get),
                self.who().get(),
                self.at_ms()
            ])?;
        let id: i64 =
            self.prepared("SELECT id FROM fitting_draft WHERE key = ?1")?.query_row([&draft.key], |row| row.get(0))?;
        self.prepared("DELETE FROM fitting_draft_field WHERE owner = ?1")?.execute([id])?;
        for (key, typed) in &draft.fields {
            self.insert_part("fitting_draft_field", "owner, key, value", params![id, key, typed])?;
        }
        Ok(())
    }

    /// Turns a fitting into a set of measures and lets the draft go. Sent twice, it is kept
    /// once: the second time gives the set of the first.
    ///
    /// # Errors
    /// As [`Writer::add_set`]; [`StoreError::Refused`] for a key that no page makes.
    pub fn finish_fitting(&self, key: &str, facts: &SetFacts) -> Result<SetId, StoreError> {
        is_key(key)?;
        if let Some(set) = self.set_of_draft(key)? {
            return Ok(set);
        }
        let set = self.add_set_of(facts, Some(key))?;
        self.drop_fitting_draft(key)?;
        Ok(set)
    }

    /// Lets a fitting go without keeping anything of it.
    ///
    /// # Errors
    /// [`StoreError`] of the writing.
    pub fn drop_fitting_draft(&self, key: &str) -> Result<(), StoreError> {
        self.prepared("DELETE FROM fitting_draft WHERE key = ?1")?.execute([key])?;
        Ok(())
    }

    fn fitting_cells(&self, facts: &FittingFacts) -> Result<Vec<(&'static str, Value)>, StoreError> {
        self.order(facts.order)?;
        if let Some(garment) = facts.garment
            && self.garment(garment)?.order != facts.order
        {
            return Err(StoreError::refused("The garment is of another order. Choose one of this order."));
        }
        if facts.minutes > 24 * 60 {
            return Err(StoreError::refused("A fitting takes at most a day. Write its minutes."));
        }
        Ok(vec![
            ("garment_id", facts.garment.map(GarmentId::get).into()),
            ("day", day_cell(facts.day)),
            ("time", maybe_time_cell(facts.time)),
            ("minutes", facts.minutes.into()),
            ("state", facts.state.key().to_string().into()),
            ("note", facts.note.clone().into()),
        ])
    }
}

fn is_key(key: &str) -> Result<(), StoreError> {
    let is_fit = !key.is_empty()
        && key.len() <= LONGEST_KEY
        && key.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
    if is_fit { Ok(()) } else { Err(StoreError::refused("This fitting has no key. Open the fitting anew.")) }
}
