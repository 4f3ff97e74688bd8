//! Dimensions that the shop added.

use rusqlite::OptionalExtension;

use crate::shop::{OwnDimension, OwnDimensionKind};

use super::cells::Cells;
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table { noun: "dimension", name: "own_dimension" };

impl Reader<'_> {
    /// The shop's own dimensions in the order they were added, retired ones too.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn own_dimensions(&self) -> Result<Vec<OwnDimension>, StoreError> {
        let mut all = self.prepared("SELECT * FROM own_dimension ORDER BY id")?;
        let rows = all.query_map([], |row| {
            Ok(OwnDimension {
                key: row.get("key")?,
                version: row.get("version")?,
                term: row.get("term")?,
                how: row.get("how")?,
                kind: row.keyed("kind", OwnDimensionKind::from_key)?,
                retired: row.get("retired")?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

impl Writer<'_> {
    /// Adds a dimension, or writes what changed about one with this key and version
    /// (the version of a new one is not looked at). The caller sees to it that the key is none of the book's.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when the key is not snake_case or the term is empty; [`StoreError::Stale`].
    pub fn set_own_dimension(&self, dimension: &OwnDimension) -> Result<(), StoreError> {
        let key = &dimension.key;
        let is_word = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_';
        if !key.starts_with(|first: char| first.is_ascii_lowercase()) || !key.bytes().all(is_word) || key.len() > 40 {
            return Err(StoreError::refused(format!(
                "“{key}” cannot be the key of a dimension. Write small letters, digits and _, at most 40, such as yoke_depth."
            )));
        }
        if dimension.term.trim().is_empty() {
            return Err(StoreError::refused("A dimension needs a name. Write what the shop calls it."));
        }
        let cells = [
            ("key", key.clone().into()),
            ("term", dimension.term.trim().to_string().into()),
            ("how", dimension.how.clone().into()),
            ("kind", dimension.kind.key().to_string().into()),
            ("retired", dimension.retired.into()),
        ];
        let known: Option<i64> = self
            .prepared("SELECT id FROM own_dimension WHERE key = ?1")?
            .query_row([key], |row| row.get(0))
            .optional()?;
        match known {
            None => self.insert(TABLE, None, &cells).map(|_| ()),
            Some(id) => {
                let edit = self.edit(TABLE, id, dimension.version, None)?;
                edit.cells(&cells)?;
                edit.done()
            }
        }
    }
}
