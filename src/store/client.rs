//! Clients: who pays, who is measured.

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row, params_from_iter};

use crate::shop::{Client, ClientFacts, ClientId, Money, Wearer};

use super::cells::{Cells, Word, folded, phone_digits, search_words};
use super::edit::Table;
use super::{Listed, Reader, StoreError, Writer};

const TABLE: Table = Table::of("client");

/// Which clients to list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClientSearch {
    /// Parts of a name, phone or e-mail in any script; all of them must be found. Empty: everybody.
    pub words: String,
    /// How many rows.
    pub limit: u32,
    /// After how many.
    pub offset: u32,
}

/// A client as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClientRow {
    /// Who.
    pub client: Client,
    /// The day of the newest set of measures.
    pub last_measured: Option<NaiveDate>,
    /// Orders of which something is still to be handed over.
    pub open_orders: u32,
    /// What is still to pay, over all orders.
    pub balance: Money,
}

pub(super) fn client(row: &Row) -> rusqlite::Result<Client> {
    Ok(Client {
        id: ClientId::new(row.get("id")?),
        version: row.get("version")?,
        facts: ClientFacts {
            name: row.get("name")?,
            known_as: row.get("known_as")?,
            phone: row.get("phone")?,
            phone_shared: row.get("phone_shared")?,
            email: row.get("email")?,
            note: row.get("note")?,
            fit_notes: row.get("fit_notes")?,
            wearer: row.keyed("wearer", Wearer::from_key)?,
        },
        forgotten_ms: row.get("forgotten_ms")?,
    })
}

impl Reader<'_> {
    /// One client.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn client(&self, id: ClientId) -> Result<Client, StoreError> {
        self.prepared("SELECT * FROM client WHERE id = ?1")?
            .query_row([id.get()], client)
            .optional()?
            .ok_or_else(|| StoreError::missing("client", id))
    }

    /// Clients by name, those alone in which every word is found; forgotten ones never.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn clients(&self, search: &ClientSearch) -> Result<Listed<ClientRow>, StoreError> {
        let currency = self.settings()?.currency;
        let words = search_words(&search.words);
        let (sql, mut cells) = clients_query(&words);
        cells.push(i64::from(search.limit).saturating_add(1).into());
        cells.push(search.offset.into());
        let rows = self
            .prepared(&sql)?
            .query_map(params_from_iter(cells), |row| {
                Ok(ClientRow {
                    client: client(row)?,
                    last_measured: row.maybe_day("last_measured")?,
                    open_orders: row.get("open_orders")?,
                    balance: Money::new(row.get("balance")?, currency),
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(Listed::from_one_more(rows, search.limit))
    }
}

/// The list's query and the cells of its words; limit and offset follow. The ids
/// are found first, so that sums are made for the rows of one page alone.
pub(super) fn clients_query(words: &[Word]) -> (String, Vec<Value>) {
    let (limit, offset) = (words.len() + 1, words.len() + 2);
    let listed = if words.is_empty() {
        "c.forgotten_ms IS NULL".to_string()
    } else {
        // A search reads the short covering index alone, whichever index would sort.
        let found: Vec<String> = (1..=words.len()).map(|place| format!("instr(find, ?{place}) > 0")).collect();
        format!("c.id IN (SELECT id FROM client INDEXED BY client_find WHERE {})", found.join(" AND "))
    };
    let sql = format!(
        "WITH listed AS MATERIALIZED (
             SELECT c.id FROM client c WHERE {listed}
              ORDER BY c.name COLLATE NOCASE, c.id LIMIT ?{limit} OFFSET ?{offset})
         SELECT c.*,
                (SELECT max(day) FROM measure_set s WHERE s.wearer_id = c.id) AS last_measured,
                (SELECT count(*) FROM shop_order o WHERE o.client_id = c.id AND o.is_open = 1) AS open_orders,
                (SELECT COALESCE(SUM(a.due - a.paid), 0) FROM shop_order o JOIN account a ON a.order_id = o.id
                  WHERE o.client_id = c.id) AS balance
           FROM listed JOIN client c ON c.id = listed.id
          ORDER BY c.name COLLATE NOCASE, c.id"
    );
    (sql, words.iter().map(|word| Value::from(word.phone.clone())).collect())
}

impl Writer<'_> {
    /// Adds a client.
    ///
    /// # Errors
    /// [`StoreError::Refused`] without a name.
    pub fn add_client(&self, facts: &ClientFacts) -> Result<ClientId, StoreError> {
        self.insert(TABLE, None, &cells(facts)?).map(ClientId::new)
    }

    /// Writes what changed about a client; `version` is the one that was seen.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`]; [`StoreError::Refused`] without a name or
    /// when the client was forgotten.
    pub fn change_client(&self, id: ClientId, version: i64, facts: &ClientFacts) -> Result<(), StoreError> {
        if self.client(id)?.forgotten_ms.is_some() {
            return Err(StoreError::refused("This client was forgotten. Write a new client instead."));
        }
        let edit = self.edit(TABLE, id.get(), version, None)?;
        edit.cells(&cells(facts)?)?;
        edit.done()
    }
}

fn cells(facts: &ClientFacts) -> Result<Vec<(&'static str, Value)>, StoreError> {
    let name = facts.name.trim();
    if name.is_empty() {
        return Err(StoreError::refused("A client needs a name. Write it as the client does; one word is enough."));
    }
    let find = [folded(name), folded(&facts.known_as), phone_digits(&facts.phone), folded(&facts.email)].join("\n");
    Ok(vec![
        ("name", name.to_string().into()),
        ("known_as", facts.known_as.trim().to_string().into()),
        ("phone", facts.phone.trim().to_string().into()),
        ("phone_shared", facts.phone_shared.into()),
        ("email", facts.email.trim().to_string().into()),
        ("note", facts.note.clone().into()),
        ("fit_notes", facts.fit_notes.clone().into()),
        ("wearer", facts.wearer.key().to_string().into()),
        ("find", find.into()),
    ])
}
