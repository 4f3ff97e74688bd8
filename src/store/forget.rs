//! Forgetting a client: all that is personal is emptied in one transaction, the
//! numbers that the shop must account for stay.
//!
//! Personal data lives in: client, readings and figure notes, words of sets, orders,
//! garments and their linings, cloth cut for them, moves, payments, fittings and papers, finished lengths and choices, cut
//! records, standing corrections and their ends, fitting drafts, and the change rows of all these. Emptied cells are
//! overwritten with noughts (`secure_delete`) and the log beside the book is cut to
//! nothing. Copies in `backups/` are not touched: the page that forgets says so.

use rusqlite::params;

use crate::shop::{ClientId, PersonId};

use super::{Store, StoreError, Writer};

/// The words that stand where the name stood.
const FORGOTTEN: &str = "Forgotten";

/// ?1 is the client. `mine` are orders that the client paid, `worn` garments that the client wore.
const EMPTYING: [&str; 25] = [
    // While it is still known which corrections are the client's.
    "UPDATE change SET before_value = NULL, after_value = NULL
      WHERE (noun = 'correction' AND row IN (SELECT id FROM correction WHERE wearer_id = ?1))
         OR (noun = 'correction_end' AND row IN (SELECT e.id FROM correction_end e
              JOIN correction c ON c.id = e.correction_id WHERE c.wearer_id = ?1))",
    "DELETE FROM garment_correction WHERE key IN (SELECT id FROM correction WHERE wearer_id = ?1)",
    "DELETE FROM correction_end WHERE correction_id IN (SELECT id FROM correction WHERE wearer_id = ?1)",
    "DELETE FROM correction WHERE wearer_id = ?1",
    "DELETE FROM cut_note WHERE cut_id IN (SELECT c.id FROM cut_record c JOIN garment g ON g.id = c.garment_id
      WHERE g.wearer_id = ?1)",
    "DELETE FROM cut_correction WHERE cut_id IN (SELECT c.id FROM cut_record c JOIN garment g ON g.id = c.garment_id
      WHERE g.wearer_id = ?1)",
    "DELETE FROM fitting_draft WHERE wearer_id = ?1",
    "DELETE FROM reading WHERE set_id IN (SELECT id FROM measure_set WHERE wearer_id = ?1)",
    "DELETE FROM figure_note WHERE set_id IN (SELECT id FROM measure_set WHERE wearer_id = ?1)",
    "UPDATE measure_set SET over_what = '', note = '' WHERE wearer_id = ?1",
    "UPDATE shop_order SET event = '', note = '', standing_reason = '', find = printf('%d-%04d', year, count)
      WHERE client_id = ?1",
    "DELETE FROM garment_finished WHERE owner IN (SELECT id FROM garment WHERE wearer_id = ?1)",
    "DELETE FROM garment_choice WHERE owner IN (SELECT id FROM garment WHERE wearer_id = ?1)",
    "DELETE FROM cut_figure WHERE cut_id IN (SELECT c.id FROM cut_record c JOIN garment g ON g.id = c.garment_id
      WHERE g.wearer_id = ?1)",
    "UPDATE cut_record SET outlines = '' WHERE garment_id IN (SELECT id FROM garment WHERE wearer_id = ?1)",
    "UPDATE garment_lining SET words = '' WHERE owner IN (SELECT id FROM garment
      WHERE wearer_id = ?1 OR order_id IN (SELECT id FROM shop_order WHERE client_id = ?1))",
    "UPDATE cloth_move SET words = '' WHERE garment_id IN (SELECT id FROM garment
      WHERE wearer_id = ?1 OR order_id IN (SELECT id FROM shop_order WHERE client_id = ?1))",
    "UPDATE garment SET cloth_words = '', cloth_flaws = '', place = '', agreed_neck = '', agreed_sleeve = '', agreed_opening = '', agreed_other = ''
      WHERE wearer_id = ?1 OR order_id IN (SELECT id FROM shop_order WHERE client_id = ?1)",
    "UPDATE quote SET words = '' WHERE garment_id IN (SELECT id FROM garment
      WHERE wearer_id = ?1 OR order_id IN (SELECT id FROM shop_order WHERE client_id = ?1))",
    "UPDATE stage_move SET reason = '' WHERE garment_id IN (SELECT id FROM garment
      WHERE wearer_id = ?1 OR order_id IN (SELECT id FROM shop_order WHERE client_id = ?1))",
    "UPDATE payment SET note = '' WHERE order_id IN (SELECT id FROM shop_order WHERE client_id = ?1)",
    "UPDATE charge SET words = '' WHERE order_id IN (SELECT id FROM shop_order WHERE client_id = ?1)",
    "UPDATE fitting SET note = '' WHERE order_id IN (SELECT id FROM shop_order WHERE client_id = ?1
      UNION SELECT order_id FROM garment WHERE wearer_id = ?1)",
    "UPDATE paper SET text = '' WHERE order_id IN (SELECT id FROM shop_order WHERE client_id = ?1)",
    "UPDATE change SET before_value = NULL, after_value = NULL
      WHERE (noun = 'client' AND row = ?1)
         OR (noun = 'measures' AND row IN (SELECT id FROM measure_set WHERE wearer_id = ?1))
         OR order_id IN (SELECT id FROM shop_order WHERE client_id = ?1 UNION SELECT order_id FROM garment WHERE wearer_id = ?1)",
];

impl Store {
    /// Forgets a client for good; numbers, days and amounts of orders stay. The client is then
    /// found by no search and can be given no order.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] while an order of the client is open or not settled.
    pub fn forget(&self, who: PersonId, now_ms: i64, client: ClientId) -> Result<(), StoreError> {
        self.write(who, now_ms, "forgot a client", |book| book.forget_client(client))?;
        let writer = self.writer.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        // What was emptied still stands in the log until it is cut; a page that reads just now only delays it.
        writer.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        Ok(())
    }
}

impl Writer<'_> {
    fn forget_client(&self, client: ClientId) -> Result<(), StoreError> {
        let known = self.client(client)?;
        if known.forgotten_ms.is_some() {
            return Ok(());
        }
        let open: Option<String> = self.connection.query_row(
            "SELECT min(printf('%d-%04d', o.year, o.count)) FROM shop_order o JOIN account a ON a.order_id = o.id
              WHERE (o.is_open = 1 OR a.due <> a.paid)
                AND (o.client_id = ?1 OR EXISTS (SELECT 1 FROM garment g WHERE g.order_id = o.id AND g.wearer_id = ?1))",
            [client.get()],
            |row| row.get(0),
        )?;
        if let Some(number) = open {
            return Err(StoreError::refused(format!(
                "Order {number} of {} is open or not settled. Hand it over and settle it, or cancel it, before forgetting.",
                known.called()
            )));
        }
        self.connection.execute("UPDATE permit SET forgetting = 1", [])?;
        for sql in EMPTYING {
            self.connection.execute(sql, [client.get()])?;
        }
        self.connection.execute(
            "UPDATE client SET version = version + 1, name = ?2, known_as = '', phone = '', phone_shared = 0, email = '',
                    note = '', fit_notes = '', find = '', forgotten_ms = ?3 WHERE id = ?1",
            params![client.get(), FORGOTTEN, self.at_ms()],
        )?;
        self.connection
            .execute("INSERT INTO forgotten (client_id, at_ms) VALUES (?1, ?2)", params![client.get(), self.at_ms()])?;
        self.connection.execute("UPDATE permit SET forgetting = 0", [])?;
        self.changed("client", client.get(), None, Some("forgotten"), None, Some(FORGOTTEN))
    }
}
