//! Moves of a garment from stage to stage.

use rusqlite::{Row, params};

use crate::shop::{GarmentId, MoveId, OrderId, PersonId, Stage, StageMove, Standing};

use super::cells::Cells;
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table { noun: "move", name: "stage_move" };

fn stage_move(row: &Row) -> rusqlite::Result<StageMove> {
    let from: Option<String> = row.get("from_stage")?;
    Ok(StageMove {
        id: MoveId::new(row.get("id")?),
        garment: GarmentId::new(row.get("garment_id")?),
        from: from.as_deref().and_then(Stage::from_key),
        to: row.keyed("to_stage", Stage::from_key)?,
        reason: row.get("reason")?,
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
    })
}

impl Reader<'_> {
    /// Every move of a garment, oldest first; the first one booked it.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn moves_of(&self, garment: GarmentId) -> Result<Vec<StageMove>, StoreError> {
        Ok(self
            .prepared("SELECT * FROM stage_move WHERE garment_id = ?1 ORDER BY id")?
            .query_map([garment.get()], stage_move)?
            .collect::<Result<_, _>>()?)
    }
}

impl Writer<'_> {
    /// Moves a garment that its mover saw at `from`. Forward as far as need be; back only with a reason.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when it is no longer at `from` (a second tap); [`StoreError::Refused`]
    /// when it would not move, goes back without a reason, or is on hold or cancelled.
    pub fn move_garment(&self, id: GarmentId, from: Stage, to: Stage, reason: &str) -> Result<(), StoreError> {
        let garment = self.garment(id)?;
        let what = &garment.facts.what;
        if garment.stage != from {
            return Err(self.stale("garment", id.get())?);
        }
        let order = self.order(garment.order)?;
        if garment.cancelled || order.standing == Standing::Cancelled {
            return Err(StoreError::refused(format!("{what} is cancelled. Take it up again before moving it.")));
        }
        if order.standing == Standing::OnHold && to > from {
            return Err(StoreError::refused(format!(
                "Order {} is on hold ({}). Take it up again before moving {what} on.",
                order.number, order.standing_reason
            )));
        }
        if to == from {
            return Err(StoreError::refused(format!("{what} is {} already. Choose another stage.", to.words())));
        }
        if to < from && reason.trim().is_empty() {
            return Err(StoreError::refused(format!(
                "Why does {what} go back from {} to {}? Write a word or two for the history.",
                from.words(),
                to.words()
            )));
        }
        self.prepared("UPDATE garment SET stage = ?1 WHERE id = ?2")?.execute(params![to.key(), id.get()])?;
        self.changed("garment", id.get(), Some(order.id), Some("stage"), Some(from.key()), Some(to.key()))?;
        self.note_move(order.id, id, Some(from), to, reason.trim())?;
        self.settle_open(order.id)
    }

    /// Writes the row of a move.
    pub(super) fn note_move(
        &self,
        order: OrderId,
        garment: GarmentId,
        from: Option<Stage>,
        to: Stage,
        reason: &str,
    ) -> Result<(), StoreError> {
        self.insert(
            TABLE,
            Some(order),
            &[
                ("garment_id", garment.get().into()),
                ("from_stage", from.map(|stage| stage.key().to_string()).into()),
                ("to_stage", to.key().to_string().into()),
                ("reason", reason.to_string().into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
        )?;
        Ok(())
    }
}
