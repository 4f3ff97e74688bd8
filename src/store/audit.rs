//! What was done to the book.

use rusqlite::{Row, params};

use crate::shop::{Action, ActionId, Change, OrderId, PersonId};

use super::{Reader, StoreError};

/// An action and one of its changes.
fn told(row: &Row) -> rusqlite::Result<(Action, Change)> {
    let action = Action {
        id: ActionId::new(row.get("action_id")?),
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        words: row.get("words")?,
        changes: Vec::new(),
    };
    let change = Change {
        noun: row.get("noun")?,
        row: row.get("row")?,
        field: row.get("field")?,
        before: row.get("before_value")?,
        after: row.get("after_value")?,
    };
    Ok((action, change))
}

/// Changes, newest action first, within an action as they were made.
const TOLD: &str = "SELECT a.who, a.at_ms, a.words, c.* FROM change c JOIN action a ON a.id = c.action_id";

impl Reader<'_> {
    /// What was done to one row (`client` 12), newest first; at most this many changes.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn history(&self, noun: &str, row: i64, most: u32) -> Result<Vec<Action>, StoreError> {
        self.told(
            &format!("{TOLD} WHERE c.noun = ?1 AND c.row = ?2 ORDER BY c.id DESC LIMIT ?3"),
            params![noun, row, most],
        )
    }

    /// What was done to an order and to all that belongs to it, newest first; at most this many changes.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn order_history(&self, order: OrderId, most: u32) -> Result<Vec<Action>, StoreError> {
        self.told(&format!("{TOLD} WHERE c.order_id = ?1 ORDER BY c.id DESC LIMIT ?2"), params![order.get(), most])
    }

    /// What was done last in the whole book; at most this many changes.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn recent(&self, most: u32) -> Result<Vec<Action>, StoreError> {
        self.told(&format!("{TOLD} ORDER BY c.id DESC LIMIT ?1"), params![most])
    }

    /// What was done by the form of this key, if it was sent.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn done_by_form(&self, form: &str) -> Result<Option<Action>, StoreError> {
        Ok(self.told(&format!("{TOLD} WHERE a.form = ?1 ORDER BY c.id DESC"), params![form])?.pop())
    }

    fn told(&self, sql: &str, params: &[&dyn rusqlite::ToSql]) -> Result<Vec<Action>, StoreError> {
        let mut actions: Vec<Action> = Vec::new();
        let mut query = self.prepared(sql)?;
        for row in query.query_map(params, told)? {
            let (action, change) = row?;
            match actions.last_mut().filter(|last| last.id == action.id) {
                Some(last) => last.changes.insert(0, change),
                None => actions.push(Action { changes: vec![change], ..action }),
            }
        }
        Ok(actions)
    }
}
