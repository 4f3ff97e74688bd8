//! The bodies of many clients at once, for drafting a style for all of them.

use rusqlite::params;

use crate::shop::{Body, ClientId, Wearer};

use super::cells::Cells;
use super::{Listed, Reader, StoreError};

/// A client's body with the little that a list of drafts says of a client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BodyRow {
    /// Who.
    pub client: ClientId,
    /// What the workroom calls the client.
    pub called: String,
    /// For whom clothes are cut.
    pub wearer: Wearer,
    /// The newest value of each dimension.
    pub body: Body,
}

/// Clients by name, forgotten ones never.
pub(super) const CLIENTS: &str = "
    SELECT id, wearer, CASE known_as WHEN '' THEN name ELSE known_as END AS called
      FROM client WHERE forgotten_ms IS NULL ORDER BY name COLLATE NOCASE, id LIMIT ?1 OFFSET ?2";

impl Reader<'_> {
    /// The bodies of some clients, by name: so many, after so many.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn bodies(&self, limit: u32, offset: u32) -> Result<Listed<BodyRow>, StoreError> {
        let clients: Vec<(ClientId, Wearer, String)> = self
            .prepared(CLIENTS)?
            .query_map(params![i64::from(limit) + 1, offset], |row| {
                Ok((ClientId::new(row.get("id")?), row.keyed("wearer", Wearer::from_key)?, row.get("called")?))
            })?
            .collect::<Result<_, _>>()?;
        let rows = clients
            .into_iter()
            .map(|(client, wearer, called)| Ok(BodyRow { client, called, wearer, body: self.body(client, None)? }))
            .collect::<Result<_, StoreError>>()?;
        Ok(Listed::from_one_more(rows, limit))
    }

    /// How many clients are in the book; forgotten ones are not.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn count_clients(&self) -> Result<u32, StoreError> {
        Ok(self.prepared("SELECT count(*) FROM client WHERE forgotten_ms IS NULL")?.query_row([], |row| row.get(0))?)
    }
}
