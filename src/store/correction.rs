//! Standing corrections of a wearer: noted, and ended by a row of their own.

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, Row, params};

use crate::measure::BodySide;
use crate::shop::{
    ClientId, Correction, CorrectionEnd, CorrectionFacts, CorrectionId, FittingId, GarmentId, OrderNumber, PersonId,
    SeenOn,
};

use super::cells::{Cells, day_cell, unreadable};
use super::edit::Table;
use super::garment::letter;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("correction");
const ENDS: Table = Table::of("correction_end");

/// The cell of a side that may be both.
pub(super) fn side_key(side: Option<BodySide>) -> &'static str {
    side.map_or("both", BodySide::key)
}

/// The side of a row.
pub(super) fn side(row: &Row) -> rusqlite::Result<Option<BodySide>> {
    let key: String = row.get("side")?;
    match key.as_str() {
        "both" => Ok(None),
        key => BodySide::from_key(key).map(Some).ok_or_else(|| unreadable("side", key)),
    }
}

/// What is read of a correction; the garment's letter is NULL when it was seen on none.
const READ: &str = "
    SELECT c.*, o.year, o.count, g.letter, g.what, e.day AS end_day, e.reason
      FROM correction c
      LEFT JOIN correction_end e ON e.correction_id = c.id
      LEFT JOIN garment g ON g.id = c.garment_id
      LEFT JOIN shop_order o ON o.id = g.order_id";

fn correction(row: &Row) -> rusqlite::Result<Correction> {
    let garment = row.get::<_, Option<i64>>("garment_id")?.map(GarmentId::new);
    let seen_on = match garment {
        None => None,
        Some(_) => Some(SeenOn {
            number: OrderNumber { year: row.get("year")?, count: row.get("count")? },
            letter: letter(row)?,
            what: row.get("what")?,
        }),
    };
    let ended = match row.maybe_day("end_day")? {
        None => None,
        Some(day) => Some(CorrectionEnd { day, reason: row.get("reason")? }),
    };
    Ok(Correction {
        id: CorrectionId::new(row.get("id")?),
        noted_by: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        facts: CorrectionFacts {
            wearer: ClientId::new(row.get("wearer_id")?),
            garment,
            fitting: row.get::<_, Option<i64>>("fitting_id")?.map(FittingId::new),
            day: row.day("day")?,
            dimension: row.get("dimension")?,
            side: side(row)?,
            amount: row.length("nm")?,
            words: row.get("words")?,
        },
        seen_on,
        ended,
    })
}

impl Reader<'_> {
    /// Every standing correction of a wearer, oldest first, those too that ended.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn corrections_of(&self, wearer: ClientId) -> Result<Vec<Correction>, StoreError> {
        Ok(self
            .prepared(&format!("{READ} WHERE c.wearer_id = ?1 ORDER BY c.day, c.id"))?
            .query_map([wearer.get()], correction)?
            .collect::<Result<_, _>>()?)
    }

    /// One correction.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn correction(&self, id: CorrectionId) -> Result<Correction, StoreError> {
        self.prepared(&format!("{READ} WHERE c.id = ?1"))?
            .query_row([id.get()], correction)
            .optional()?
            .ok_or_else(|| StoreError::missing("standing correction", id))
    }
}

impl Writer<'_> {
    /// Notes a correction. It is never changed: one that was wrong is ended and noted anew.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when it corrects nothing or too much, or garment or fitting are another's.
    pub fn add_correction(&self, facts: &CorrectionFacts) -> Result<CorrectionId, StoreError> {
        facts.is_fit(self.settings()?.showing).map_err(StoreError::refused)?;
        if self.client(facts.wearer)?.forgotten_ms.is_some() {
            return Err(StoreError::refused("This client was forgotten. Write a new client and measure again."));
        }
        let garment = facts.garment.map(|id| self.garment(id)).transpose()?;
        if garment.as_ref().is_some_and(|garment| garment.facts.wearer != facts.wearer) {
            return Err(StoreError::refused("Somebody else wears this garment. Note it for the one who does."));
        }
        let order = garment.map(|garment| garment.order);
        if let Some(fitting) = facts.fitting {
            let of: i64 = self
                .prepared("SELECT order_id FROM fitting WHERE id = ?1")?
                .query_row([fitting.get()], |row| row.get(0))
                .optional()?
                .ok_or_else(|| StoreError::missing("fitting", fitting))?;
            if order.is_none_or(|order| order.get() != of) {
                return Err(StoreError::refused(
                    "The fitting is of another order. Choose one of this garment's order.",
                ));
            }
        }
        let cells = [
            ("wearer_id", facts.wearer.get().into()),
            ("garment_id", facts.garment.map(GarmentId::get).into()),
            ("fitting_id", facts.fitting.map(FittingId::get).into()),
            ("day", day_cell(facts.day)),
            ("dimension", facts.dimension.clone().into()),
            ("side", side_key(facts.side).to_string().into()),
            ("nm", facts.amount.nm().into()),
            ("words", facts.words.clone().into()),
            ("who", self.who().get().into()),
            ("at_ms", self.at_ms().into()),
        ];
        self.insert(TABLE, order, &cells).map(CorrectionId::new)
    }

    /// Ends a correction: it counts for no new garment from now on. Those that are drafted with
    /// it stay so until somebody leaves it out.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] when it ended before.
    pub fn end_correction(&self, id: CorrectionId, day: NaiveDate, reason: &str) -> Result<(), StoreError> {
        let known = self.correction(id)?;
        if let Some(end) = known.ended {
            let words = format!("This correction ended on {} already. Note a new one if it is seen again.", end.day);
            return Err(StoreError::refused(words));
        }
        if day < known.facts.day {
            let words = format!("It was seen on {}, after {day}. End it on a later day.", known.facts.day);
            return Err(StoreError::refused(words));
        }
        let order = known.facts.garment.map(|garment| self.garment(garment)).transpose()?.map(|garment| garment.order);
        let cells = [
            ("correction_id", id.get().into()),
            ("day", day_cell(day)),
            ("reason", reason.trim().to_string().into()),
            ("who", self.who().get().into()),
            ("at_ms", self.at_ms().into()),
        ];
        self.insert(ENDS, order, &cells).map(drop)
    }

    /// Refuses corrections of somebody else.
    pub(super) fn are_of_wearer(
        &self,
        wearer: ClientId,
        corrections: impl Iterator<Item = CorrectionId>,
    ) -> Result<(), StoreError> {
        for id in corrections {
            let of: Option<i64> = self
                .prepared("SELECT wearer_id FROM correction WHERE id = ?1")?
                .query_row(params![id.get()], |row| row.get(0))
                .optional()?;
            if of != Some(wearer.get()) {
                return Err(StoreError::refused(
                    "This standing correction is of somebody else. Choose one of the wearer.",
                ));
            }
        }
        Ok(())
    }
}
