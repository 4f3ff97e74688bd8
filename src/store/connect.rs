//! Opening the book: what may stand in the folder, what each connection is told,
//! and the way from an older book to this one.

use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::time::Duration;

use rusqlite::Connection;
use rusqlite_migration::{HookError, M, Migrations};

use super::error::StoreError;
use super::folder::DataFolder;
use super::seed::seed;

/// `bodk`, so that a book is known from any other database.
const APPLICATION_ID: i64 = 0x626f_646b;

/// How long a connection waits for another one that writes. A write lasts
/// milliseconds; five seconds outlast a copy being taken on a slow disk.
const BUSY: Duration = Duration::from_secs(5);

/// The migrations in order. One that was ever released is never changed.
pub(super) fn migrations() -> Vec<M<'static>> {
    vec![M::up_with_hook(include_str!("../../migrations/0001_shop.sql"), |tx: &rusqlite::Transaction| {
        seed(tx).map_err(HookError::RusqliteError)
    })]
}

/// Opens or makes the book of this folder, brings it to the newest version and
/// returns the connection that writes.
///
/// # Errors
/// [`StoreError`] in words when the folder or the file is not fit; nothing was changed then.
pub(super) fn open_writer(folder: &DataFolder, steps: Vec<M<'static>>) -> Result<Connection, StoreError> {
    folder.is_fit()?;
    let file = folder.book();
    let is_new = is_new(&file)?;
    let known = i64::try_from(steps.len()).unwrap_or(i64::MAX);
    let mut connection = Connection::open(&file).map_err(|error| not_a_database(error, &file))?;
    let found: i64 = connection
        .query_row("PRAGMA user_version", [], |row| row.get(0))
        .map_err(|error| not_a_database(error, &file))?;
    let application: i64 = connection.query_row("PRAGMA application_id", [], |row| row.get(0))?;
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_master", [], |row| row.get(0))?;
    if application != APPLICATION_ID && (application != 0 || found != 0 || tables != 0) {
        return Err(StoreError::AnotherProgram { file });
    }
    if found > known {
        return Err(StoreError::Newer { file, found, known });
    }
    if !is_new && found > 0 && found < known {
        copy_before(folder, &connection, found, known)?;
    }
    // A book is marked as ours before it has tables: a crash in between leaves an empty one.
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    tell(&connection)?;
    Migrations::new(steps).to_latest(&mut connection).map_err(|error| migration_failed(error, &file))?;
    Ok(connection)
}

/// Opens one more connection to the book, for reading alone.
pub(super) fn open_reader(file: &Path) -> Result<Connection, StoreError> {
    let connection = Connection::open(file)?;
    tell(&connection)?;
    connection.pragma_update(None, "query_only", true)?;
    Ok(connection)
}

/// What every connection is told.
fn tell(connection: &Connection) -> Result<(), StoreError> {
    connection.busy_timeout(BUSY)?;
    // Readers do not wait for the writer, and the writer not for them.
    connection.query_row("PRAGMA journal_mode = WAL", [], |_| Ok(()))?;
    // A commit is on the disk before anybody is told so: a power cut loses nothing that was acknowledged.
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // What is forgotten is overwritten with noughts.
    connection.pragma_update(None, "secure_delete", true)?;
    // The book trusts no function or view that a foreign file might bring along.
    connection.pragma_update(None, "trusted_schema", false)?;
    // 8 MB for each connection: the indices of 20,000 orders, and 5 of them stay below 60 MB.
    connection.pragma_update(None, "cache_size", -8000)?;
    connection.set_prepared_statement_cache_capacity(160);
    Ok(())
}

/// Whether the file is to be made; an error when it is plainly no database.
fn is_new(file: &Path) -> Result<bool, StoreError> {
    let mut opened = match File::open(file) {
        Ok(opened) => opened,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(true),
        Err(error) => return Err(StoreError::file(file, &error)),
    };
    let mut head = Vec::new();
    opened.by_ref().take(16).read_to_end(&mut head).map_err(|error| StoreError::file(file, &error))?;
    match head.as_slice() {
        [] => Ok(true),
        head if head == b"SQLite format 3\0" => Ok(false),
        _ => Err(StoreError::NotADatabase { file: file.into() }),
    }
}

fn not_a_database(error: rusqlite::Error, file: &Path) -> StoreError {
    match error.sqlite_error_code() {
        Some(rusqlite::ErrorCode::NotADatabase) => StoreError::NotADatabase { file: file.into() },
        Some(rusqlite::ErrorCode::CannotOpen | rusqlite::ErrorCode::ReadOnly) => StoreError::file(file, &error),
        _ => error.into(),
    }
}

fn migration_failed(error: rusqlite_migration::Error, file: &Path) -> StoreError {
    match error {
        rusqlite_migration::Error::RusqliteError { err, .. } => match err.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DiskFull | rusqlite::ErrorCode::DatabaseBusy) => err.into(),
            _ => StoreError::file(file, &err),
        },
        other => StoreError::file(file, &other),
    }
}

/// A whole copy of the book as it was, before it is brought to a newer version.
fn copy_before(folder: &DataFolder, connection: &Connection, found: i64, known: i64) -> Result<(), StoreError> {
    let backups = folder.backups();
    fs::create_dir_all(&backups).map_err(|error| StoreError::file(&backups, &error))?;
    let copy = (1..=1000)
        .map(|count| match count {
            1 => backups.join(format!("before-version-{known}-from-{found}.db")),
            _ => backups.join(format!("before-version-{known}-from-{found}-{count}.db")),
        })
        .find(|file| !file.exists())
        .ok_or_else(|| StoreError::FileExists { file: backups.clone() })?;
    super::backup::copy_to(connection, &copy)
}

/// Whether a file can be made here; leaves nothing behind.
pub(super) fn probe(folder: &Path) -> Result<(), std::io::Error> {
    let probe = folder.join(format!(".bodkin-{}.probe", std::process::id()));
    OpenOptions::new().write(true).create(true).truncate(true).open(&probe)?;
    fs::remove_file(&probe)
}
