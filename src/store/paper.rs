//! Papers that were handed out.

use rusqlite::{OptionalExtension, Row};

use crate::shop::{IssuedPaper, OrderId, PaperFacts, PaperId, PaperKind, PersonId};

use super::cells::{Cells, day_cell};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("paper");

fn paper(row: &Row) -> rusqlite::Result<IssuedPaper> {
    Ok(IssuedPaper {
        id: PaperId::new(row.get("id")?),
        number: row.get("number")?,
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        facts: PaperFacts {
            kind: row.keyed("kind", PaperKind::from_key)?,
            order: OrderId::new(row.get("order_id")?),
            day: row.day("day")?,
            money: row.money("minor", "currency")?,
            text: row.get("text")?,
        },
    })
}

impl Reader<'_> {
    /// One paper.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn paper(&self, id: PaperId) -> Result<IssuedPaper, StoreError> {
        self.prepared("SELECT * FROM paper WHERE id = ?1")?
            .query_row([id.get()], paper)
            .optional()?
            .ok_or_else(|| StoreError::missing("paper", id))
    }

    /// The papers of an order, oldest first.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn papers_of(&self, order: OrderId) -> Result<Vec<IssuedPaper>, StoreError> {
        Ok(self
            .prepared("SELECT * FROM paper WHERE order_id = ?1 ORDER BY id")?
            .query_map([order.get()], paper)?
            .collect::<Result<_, _>>()?)
    }
}

impl Writer<'_> {
    /// Keeps a paper as printed, under the next number of its kind.
    ///
    /// # Errors
    /// [`StoreError::Missing`] order.
    pub fn issue_paper(&self, facts: &PaperFacts) -> Result<(PaperId, u32), StoreError> {
        self.order(facts.order)?;
        let number: u32 = self
            .prepared("SELECT COALESCE(max(number), 0) + 1 FROM paper WHERE kind = ?1")?
            .query_row([facts.kind.key()], |row| row.get(0))?;
        let id = self.insert_quietly(
            TABLE,
            Some(facts.order),
            &[
                ("kind", facts.kind.key().to_string().into()),
                ("number", number.into()),
                ("order_id", facts.order.get().into()),
                ("day", day_cell(facts.day)),
                ("minor", facts.money.minor().into()),
                ("currency", facts.money.currency().code().to_string().into()),
                ("text", facts.text.clone().into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
            &["kind", "number", "minor", "currency"],
        )?;
        Ok((PaperId::new(id), number))
    }
}
