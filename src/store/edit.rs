//! Writing rows together with what they changed.
//!
//! Every write goes through here, so that none is without its change rows: a new
//! row is one change (its cells as lines), an edit one change for each field that
//! differs. A field that does not differ is not written. The action row is written
//! with the first change.

use std::cell::Cell;
use std::collections::BTreeMap;

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, ToSql, params, params_from_iter};

use crate::shop::{ActionId, OrderId, PersonId};

use super::{StoreError, Writer};

/// Who does what when, and the action row once there is one.
#[derive(Debug)]
pub(super) struct Ledger {
    who: PersonId,
    at_ms: i64,
    words: String,
    form: Option<String>,
    action: Cell<Option<ActionId>>,
}

impl Ledger {
    pub(super) fn new(who: PersonId, at_ms: i64, words: &str, form: Option<&str>) -> Ledger {
        Ledger { who, at_ms, words: words.into(), form: form.map(str::to_string), action: Cell::new(None) }
    }
}

/// A table that people's writes go to, by the noun that change rows use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Table {
    /// `order`
    pub noun: &'static str,
    /// `shop_order`
    pub name: &'static str,
}

impl Table {
    /// A table that is called as its noun.
    pub(super) const fn of(noun: &'static str) -> Table {
        Table { noun, name: noun }
    }
}

/// Columns that a change row of a new row does not repeat: the action tells who and when.
const UNTOLD: [&str; 4] = ["who", "taken_by", "at_ms", "find"];

/// Column and cell.
pub(super) type Cells<'a> = &'a [(&'static str, Value)];

impl Writer<'_> {
    /// Who does this.
    pub(super) const fn who(&self) -> PersonId {
        self.ledger.who
    }

    /// When it is done (UTC milliseconds).
    pub(super) const fn at_ms(&self) -> i64 {
        self.ledger.at_ms
    }

    /// Writes a new row and a change row that tells all its cells; returns its id.
    pub(super) fn insert(&self, table: Table, order: Option<OrderId>, cells: Cells) -> Result<i64, StoreError> {
        let told: Vec<&str> =
            cells.iter().map(|(column, _)| *column).filter(|column| !UNTOLD.contains(column)).collect();
        self.insert_quietly(table, order, cells, &told)
    }

    /// Writes a new row and a change row that tells these columns alone: long texts stand in the
    /// row itself, which never changes.
    pub(super) fn insert_quietly(
        &self,
        table: Table,
        order: Option<OrderId>,
        cells: Cells,
        told: &[&str],
    ) -> Result<i64, StoreError> {
        are_short(cells)?;
        let columns: Vec<&str> = cells.iter().map(|(column, _)| *column).collect();
        let places: Vec<String> = (1..=cells.len()).map(|place| format!("?{place}")).collect();
        let sql = format!("INSERT INTO {} ({}) VALUES ({})", table.name, columns.join(", "), places.join(", "));
        self.prepared(&sql)?.execute(params_from_iter(cells.iter().map(|(_, cell)| cell)))?;
        let id = self.connection.last_insert_rowid();
        let lines: Vec<String> = cells
            .iter()
            .filter(|(column, _)| told.contains(column))
            .filter_map(|(column, cell)| {
                shown(cell).filter(|text| !text.is_empty()).map(|text| format!("{column}: {text}"))
            })
            .collect();
        let order = if table.noun == "order" { Some(OrderId::new(id)) } else { order };
        self.changed(table.noun, id, order, None, None, Some(&lines.join("\n")))?;
        Ok(id)
    }

    /// Writes rows that belong to a row just written (readings, placements) and are told with it.
    pub(super) fn insert_part(
        &self,
        name: &'static str,
        columns: &str,
        cells: &[&dyn ToSql],
    ) -> Result<(), StoreError> {
        let places: Vec<String> = (1..=cells.len()).map(|place| format!("?{place}")).collect();
        let sql = format!("INSERT INTO {name} ({columns}) VALUES ({})", places.join(", "));
        self.prepared(&sql)?.execute(cells)?;
        Ok(())
    }

    /// Begins an edit of a row that its editor saw in this version.
    ///
    /// # Errors
    /// [`StoreError::Missing`] or, when somebody edited it since, [`StoreError::Stale`].
    pub(super) fn edit(
        &self,
        table: Table,
        id: i64,
        version: i64,
        order: Option<OrderId>,
    ) -> Result<Edit<'_>, StoreError> {
        let now: Option<i64> = self
            .prepared(&format!("SELECT version FROM {} WHERE id = ?1", table.name))?
            .query_row([id], |row| row.get(0))
            .optional()?;
        match now {
            None => Err(StoreError::missing(table.noun, id)),
            Some(now) if now == version => Ok(Edit { writer: self, table, id, order, changes: Cell::new(0) }),
            Some(_) => Err(self.stale(table.noun, id)?),
        }
    }

    /// Who changed this row last.
    pub(super) fn stale(&self, noun: &'static str, id: i64) -> Result<StoreError, StoreError> {
        let last = self
            .prepared(
                "SELECT p.name, a.at_ms FROM change c JOIN action a ON a.id = c.action_id JOIN person p ON p.id = a.who
                  WHERE c.noun = ?1 AND c.row = ?2 ORDER BY c.id DESC LIMIT 1",
            )?
            .query_row(params![noun, id], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        let (by, at_ms) = last.unwrap_or_else(|| ("Somebody".into(), 0));
        Ok(StoreError::Stale { what: noun, by, at_ms })
    }

    /// Writes one change row, and the action row before the first one.
    pub(super) fn changed(
        &self,
        noun: &str,
        row: i64,
        order: Option<OrderId>,
        field: Option<&str>,
        before: Option<&str>,
        after: Option<&str>,
    ) -> Result<(), StoreError> {
        let action = self.action()?;
        self.prepared(
            "INSERT INTO change (action_id, noun, row, order_id, field, before_value, after_value)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )?
        .execute(params![action.get(), noun, row, order.map(OrderId::get), field, before, after])?;
        Ok(())
    }

    /// The row of this action; written now if this is its first change.
    fn action(&self) -> Result<ActionId, StoreError> {
        if let Some(action) = self.ledger.action.get() {
            return Ok(action);
        }
        self.prepared("INSERT INTO action (who, at_ms, words, form) VALUES (?1, ?2, ?3, ?4)")?.execute(params![
            self.ledger.who.get(),
            self.ledger.at_ms,
            self.ledger.words,
            self.ledger.form
        ])?;
        let action = ActionId::new(self.connection.last_insert_rowid());
        self.ledger.action.set(Some(action));
        Ok(action)
    }
}

/// An edit of one row in progress.
pub(super) struct Edit<'w> {
    writer: &'w Writer<'w>,
    table: Table,
    id: i64,
    order: Option<OrderId>,
    changes: Cell<u32>,
}

impl Edit<'_> {
    /// Writes the cells that differ from what stands in the row.
    pub(super) fn cells(&self, cells: Cells) -> Result<(), StoreError> {
        are_short(cells)?;
        let columns: Vec<&str> = cells.iter().map(|(column, _)| *column).collect();
        let sql = format!("SELECT {} FROM {} WHERE id = ?1", columns.join(", "), self.table.name);
        let before: Vec<Value> = self
            .writer
            .prepared(&sql)?
            .query_row([self.id], |row| (0..columns.len()).map(|place| row.get(place)).collect())?;
        for ((column, after), before) in cells.iter().zip(&before) {
            if after == before {
                continue;
            }
            let sql = format!("UPDATE {} SET {column} = ?1 WHERE id = ?2", self.table.name);
            self.writer.prepared(&sql)?.execute(params![after, self.id])?;
            // What is only kept for searching is no change that anybody made.
            if *column != "find" {
                self.note(column, shown(before).as_deref(), shown(after).as_deref())?;
            }
        }
        Ok(())
    }

    /// Makes the rows of a table of keys (words, or ids as words) and values, owned by this row, equal to these.
    pub(super) fn map(&self, name: &'static str, after: &BTreeMap<String, Value>) -> Result<(), StoreError> {
        let writer = self.writer;
        let before: BTreeMap<String, Value> = writer
            .prepared(&format!("SELECT CAST(key AS TEXT), value FROM {name} WHERE owner = ?1"))?
            .query_map([self.id], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        for (key, gone) in before.iter().filter(|(key, _)| !after.contains_key(*key)) {
            writer
                .prepared(&format!("DELETE FROM {name} WHERE owner = ?1 AND key = ?2"))?
                .execute(params![self.id, key])?;
            self.note(&format!("{name}.{key}"), shown(gone).as_deref(), None)?;
        }
        for (key, value) in after.iter().filter(|(key, value)| before.get(*key) != Some(value)) {
            writer
                .prepared(&format!(
                    "INSERT INTO {name} (owner, key, value) VALUES (?1, ?2, ?3)
                     ON CONFLICT (owner, key) DO UPDATE SET value = excluded.value"
                ))?
                .execute(params![self.id, key, value])?;
            self.note(&format!("{name}.{key}"), before.get(key).and_then(shown).as_deref(), shown(value).as_deref())?;
        }
        Ok(())
    }

    /// Makes the one row of a table that this row owns under a key equal to these cells; with
    /// none it is taken away.
    pub(super) fn part(&self, name: &'static str, key: &str, after: Option<Cells>) -> Result<(), StoreError> {
        let writer = self.writer;
        let Some(after) = after else {
            let gone = writer
                .prepared(&format!("DELETE FROM {name} WHERE owner = ?1 AND key = ?2"))?
                .execute(params![self.id, key])?;
            return if gone > 0 { self.note(&format!("{name}.{key}"), Some(key), None) } else { Ok(()) };
        };
        are_short(after)?;
        let columns: Vec<&str> = after.iter().map(|(column, _)| *column).collect();
        let sql = format!("SELECT {} FROM {name} WHERE owner = ?1 AND key = ?2", columns.join(", "));
        let before: Option<Vec<Value>> = writer
            .prepared(&sql)?
            .query_row(params![self.id, key], |row| (0..columns.len()).map(|place| row.get(place)).collect())
            .optional()?;
        let is_new = before.is_none();
        let before = before.unwrap_or_else(|| vec![Value::Null; after.len()]);
        let differ: Vec<_> = after.iter().zip(&before).filter(|((_, after), before)| after != *before).collect();
        if differ.is_empty() {
            return Ok(());
        }
        let places: Vec<String> = (3..after.len().saturating_add(3)).map(|place| format!("?{place}")).collect();
        let taken: Vec<String> = columns.iter().map(|column| format!("{column} = excluded.{column}")).collect();
        let sql = format!(
            "INSERT INTO {name} (owner, key, {}) VALUES (?1, ?2, {}) ON CONFLICT (owner, key) DO UPDATE SET {}",
            columns.join(", "),
            places.join(", "),
            taken.join(", ")
        );
        let head = [Value::Integer(self.id), Value::Text(key.into())];
        writer.prepared(&sql)?.execute(params_from_iter(head.iter().chain(after.iter().map(|(_, cell)| cell))))?;
        for ((column, after), before) in differ {
            let (before, after) = (shown(before), shown(after));
            // Of a new row only what says something is told.
            if !is_new || after.as_deref().is_some_and(|text| !text.is_empty() && text != "0") {
                self.note(&format!("{name}.{key}.{column}"), before.as_deref(), after.as_deref())?;
            }
        }
        Ok(())
    }

    /// Ends the edit: the row has a new version if anything was changed.
    pub(super) fn done(self) -> Result<(), StoreError> {
        if self.changes.get() > 0 {
            self.writer
                .prepared(&format!("UPDATE {} SET version = version + 1 WHERE id = ?1", self.table.name))?
                .execute([self.id])?;
        }
        Ok(())
    }

    fn note(&self, field: &str, before: Option<&str>, after: Option<&str>) -> Result<(), StoreError> {
        self.changes.set(self.changes.get().saturating_add(1));
        self.writer.changed(self.table.noun, self.id, self.order, Some(field), before, after)
    }
}

/// Refuses texts that are longer than anybody writes: a whole file dropped into a field would
/// stand in the book and in its history for good.
fn are_short(cells: Cells) -> Result<(), StoreError> {
    for (column, cell) in cells {
        let most = match *column {
            "name" | "known_as" | "phone" | "email" | "what" | "event" | "label" | "term" | "bag" | "place"
            | "method" | "zone" | "shop_name" | "base_url" => 200,
            // A style or the outlines of a garment: thousands of lines.
            "text" | "style_text" | "outlines" => 2_000_000,
            // About ten pages.
            _ => 20_000,
        };
        if let Value::Text(text) = cell {
            let length = text.chars().count();
            if length > most {
                let field = column.replace('_', " ");
                let words =
                    format!("The field “{field}” has {length} characters; at most {most} are kept. Shorten it.");
                return Err(StoreError::refused(words));
            }
        }
    }
    Ok(())
}

/// A cell as the change row tells it.
fn shown(cell: &Value) -> Option<String> {
    match cell {
        Value::Null => None,
        Value::Integer(number) => Some(number.to_string()),
        Value::Real(number) => Some(number.to_string()),
        Value::Text(text) => Some(text.clone()),
        Value::Blob(bytes) => Some(format!("{} bytes", bytes.len())),
    }
}
