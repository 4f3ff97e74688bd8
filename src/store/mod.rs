//! The book on disk: one SQLite file, written by one connection, read by four.
//!
//! ```text
//! let store = Store::open(&DataFolder::at(folder))?;
//! let page = store.read(|book| book.order_page(number))?;
//! let id = store.write(who, now_ms, "wrote a client", |book| book.add_client(&facts))?;
//! ```
//!
//! A read is one transaction, so that a page never shows half a change. A write is
//! one transaction too, with one `action` row and a `change` row for each field it
//! changed; when it fails nothing of it is kept. Everything blocks: callers wait in
//! threads of their own. Time comes in as an argument.
//!
//! `connect` opens, `edit` writes rows and what they changed, one file a noun reads
//! and writes that noun; `check`, `backup` and `forget` are about the book as a whole.

mod audit;
mod backup;
mod bodies;
mod cells;
mod charge;
mod check;
mod client;
mod connect;
mod correction;
mod cut;
mod dimension;
mod edit;
mod error;
mod fitting;
mod folder;
mod forget;
mod garment;
mod garment_cloth;
mod held;
mod lay;
mod lists;
mod measures;
mod order;
mod paper;
mod payment;
mod person;
#[cfg(test)]
mod plans;
mod quote;
mod seed;
mod settings;
mod shopping;
mod stage;
mod stock;
mod style;

use std::ops::Deref;
use std::path::Path;
use std::sync::{Condvar, Mutex, PoisonError};

use rusqlite::{CachedStatement, Connection, TransactionBehavior};

use crate::shop::{Action, PersonId};

use edit::Ledger;

pub use bodies::BodyRow;
pub use check::{Checked, Finding, check_folder};
pub use client::{ClientRow, ClientSearch};
pub use error::StoreError;
pub use folder::DataFolder;
pub use lists::{FittingRow, WorkRow};
pub use order::{GarmentPage, GarmentRow, OrderFilter, OrderPage, OrderRow};
pub use seed::OWNER;
pub use shopping::{AcceptedNeed, ToCut};
pub use stock::ClothRow;

/// Some rows of a longer list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed<T> {
    /// The rows asked for.
    pub rows: Vec<T>,
    /// Whether more follow.
    pub more: bool,
}

impl<T> Listed<T> {
    /// Rows of a query that asked for one more than `limit`.
    fn from_one_more(mut rows: Vec<T>, limit: u32) -> Listed<T> {
        let limit = usize::try_from(limit).unwrap_or(usize::MAX);
        let more = rows.len() > limit;
        rows.truncate(limit);
        Listed { rows, more }
    }
}

/// What became of a form that has a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sent<T> {
    /// It was done now.
    Done(T),
    /// It had been sent before; this was done then.
    Before(Action),
}

/// How many pages may read at once. Reading is short and bound by the processor; four keep a small machine busy.
const READERS: usize = 4;

/// The open book of one shop.
#[derive(Debug)]
pub struct Store {
    folder: DataFolder,
    writer: Mutex<Connection>,
    readers: Mutex<Vec<Connection>>,
    reader_is_back: Condvar,
}

impl Store {
    /// Opens the book in this folder; makes it when there is none, and brings an
    /// older one to this version after copying it into `backups/`.
    ///
    /// # Errors
    /// [`StoreError`] in words when the folder or file is not fit; the file is then as it was.
    pub fn open(folder: &DataFolder) -> Result<Store, StoreError> {
        let book = folder.book();
        let writer = connect::open_writer(folder, connect::migrations()).map_err(|why| why.on_opening(&book))?;
        let readers = (0..READERS)
            .map(|_| connect::open_reader(&book).map_err(|why| why.on_opening(&book)))
            .collect::<Result<_, _>>()?;
        Ok(Store {
            folder: folder.clone(),
            writer: Mutex::new(writer),
            readers: Mutex::new(readers),
            reader_is_back: Condvar::new(),
        })
    }

    /// The folder of this book.
    #[must_use]
    pub const fn folder(&self) -> &DataFolder {
        &self.folder
    }

    /// Reads within one transaction: everything seen belongs together. Waits while four others
    /// read; so do not read within a reading.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn read<T>(&self, reading: impl FnOnce(&Reader) -> Result<T, StoreError>) -> Result<T, StoreError> {
        let mut lent = self.lend();
        let connection = lent.connection.as_mut().ok_or(StoreError::Busy)?;
        let transaction = connection.transaction()?;
        reading(&Reader { connection: &transaction })
    }

    /// Does one thing: one transaction, one action row in these words (which name nobody), with
    /// what it changed. When it fails, or panics, nothing of it is kept. When it returns, it is on the disk.
    ///
    /// # Errors
    /// [`StoreError`] of the writing.
    pub fn write<T>(
        &self,
        who: PersonId,
        now_ms: i64,
        words: &str,
        writing: impl FnOnce(&Writer) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        self.writing(Ledger::new(who, now_ms, words, None), writing)
    }

    /// As [`Store::write`], for a form with a key of its own: a form that is sent twice (a slow
    /// line, a second tap) is done once. The second time nothing is written, and what was done
    /// the first time comes back.
    ///
    /// # Errors
    /// [`StoreError`] of the writing.
    pub fn write_once<T>(
        &self,
        who: PersonId,
        now_ms: i64,
        words: &str,
        form: &str,
        writing: impl FnOnce(&Writer) -> Result<T, StoreError>,
    ) -> Result<Sent<T>, StoreError> {
        self.writing(Ledger::new(who, now_ms, words, Some(form)), |book| match book.done_by_form(form)? {
            Some(action) => Ok(Sent::Before(action)),
            None => writing(book).map(Sent::Done),
        })
    }

    fn writing<T>(
        &self,
        ledger: Ledger,
        writing: impl FnOnce(&Writer) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut connection = self.writer.lock().unwrap_or_else(PoisonError::into_inner);
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = writing(&Writer { reader: Reader { connection: &transaction }, ledger })?;
        transaction.commit()?;
        Ok(done)
    }

    /// Does many things one after another in one transaction, each an action of its own: for a
    /// book that is filled from elsewhere. When one of them fails nothing of any is kept.
    ///
    /// # Errors
    /// [`StoreError`] of the writing.
    pub fn write_all<T>(&self, writing: impl FnOnce(&Actions) -> Result<T, StoreError>) -> Result<T, StoreError> {
        let mut connection = self.writer.lock().unwrap_or_else(PoisonError::into_inner);
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = writing(&Actions { connection: &transaction })?;
        transaction.commit()?;
        Ok(done)
    }

    /// Writes a whole copy of the book to a file that does not exist yet.
    ///
    /// # Errors
    /// [`StoreError::FileExists`], or [`StoreError::File`] with what the system says.
    pub fn backup(&self, file: &Path) -> Result<(), StoreError> {
        // A connection of its own: taking a copy takes no reader away from the pages.
        let connection = Connection::open(self.folder.book())?;
        connection.busy_timeout(std::time::Duration::from_secs(5))?;
        backup::copy_to(&connection, file)
    }

    fn lend(&self) -> Lent<'_> {
        let mut readers = self.readers.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            if let Some(connection) = readers.pop() {
                return Lent { store: self, connection: Some(connection) };
            }
            readers = self.reader_is_back.wait(readers).unwrap_or_else(PoisonError::into_inner);
        }
    }
}

/// A reading connection on loan; it goes back whatever happens.
struct Lent<'s> {
    store: &'s Store,
    connection: Option<Connection>,
}

impl Drop for Lent<'_> {
    fn drop(&mut self) {
        if let Some(connection) = self.connection.take() {
            self.store.readers.lock().unwrap_or_else(PoisonError::into_inner).push(connection);
            self.store.reader_is_back.notify_one();
        }
    }
}

/// The book within one transaction, to read from. Its methods stand in the files of the nouns.
#[derive(Debug)]
pub struct Reader<'t> {
    connection: &'t Connection,
}

impl Reader<'_> {
    /// A statement of the book, made once for each connection. In unit tests it is noted, so that
    /// one of them can ask how each is carried out.
    fn prepared(&self, sql: &str) -> rusqlite::Result<CachedStatement<'_>> {
        #[cfg(test)]
        plans::note(sql);
        self.connection.prepare_cached(sql)
    }
}

/// Many actions in one transaction (see [`Store::write_all`]).
#[derive(Debug)]
pub struct Actions<'t> {
    connection: &'t Connection,
}

impl Actions<'_> {
    /// Does one thing, as [`Store::write`] does; it is on the disk when all of them are.
    ///
    /// # Errors
    /// [`StoreError`] of the writing.
    pub fn write<T>(
        &self,
        who: PersonId,
        now_ms: i64,
        words: &str,
        writing: impl FnOnce(&Writer) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let ledger = Ledger::new(who, now_ms, words, None);
        writing(&Writer { reader: Reader { connection: self.connection }, ledger })
    }
}

/// The book within one transaction, to read from and write to.
#[derive(Debug)]
pub struct Writer<'t> {
    reader: Reader<'t>,
    ledger: Ledger,
}

impl<'t> Deref for Writer<'t> {
    type Target = Reader<'t>;

    fn deref(&self) -> &Reader<'t> {
        &self.reader
    }
}
