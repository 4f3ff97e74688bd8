//! Opening the book: what may stand in the folder, what each connection is told,
//! and the way from an older book to this one.

use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};
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
    vec![
        M::up_with_hook(include_str!("../../migrations/0001_shop.sql"), |tx: &rusqlite::Transaction| {
            seed(tx).map_err(HookError::RusqliteError)
        }),
        M::up(include_str!("../../migrations/0002_corrections.sql")),
        M::up(include_str!("../../migrations/0003_cloth.sql")),
        M::up(include_str!("../../migrations/0004_lays.sql")),
        M::up(include_str!("../../migrations/0005_taken.sql")),
    ]
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
    let found = version(&connection, &file, known)?;
    if !is_new && found > 0 && found < known {
        copy_before(folder, &connection, found, known)?;
    }
    // A book is marked as ours before it has tables: a crash in between leaves an empty one.
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    tell(&connection)?;
    Migrations::new(steps).to_latest(&mut connection).map_err(|error| migration_failed(error, &file))?;
    Ok(connection)
}

/// Opens the book of this folder to look at it and at nothing else: none is made, none is
/// brought to a newer version, no byte of the file changes. Gives the version of the book, too.
///
/// # Errors
/// [`StoreError`] in words when there is no book, or the file is none that is known here.
pub(super) fn open_to_look(folder: &DataFolder, known: i64) -> Result<(Connection, i64), StoreError> {
    let file = folder.book();
    if is_new(&file)? {
        return Err(StoreError::NoBook { file });
    }
    // Not made when missing. Opened as for writing, or a server that crashed would leave a log
    // beside the book that cannot be read; what is asked over this connection writes nothing.
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(&file, flags).map_err(|error| not_a_database(error, &file))?;
    connection.busy_timeout(BUSY)?;
    connection.pragma_update(None, "query_only", true)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    let found = version(&connection, &file, known)?;
    Ok((connection, found))
}

/// The version of a book, known to be one of ours and not newer than this program.
fn version(connection: &Connection, file: &Path, known: i64) -> Result<i64, StoreError> {
    let found: i64 = connection
        .query_row("PRAGMA user_version", [], |row| row.get(0))
        .map_err(|error| not_a_database(error, file))?;
    let application: i64 = connection.query_row("PRAGMA application_id", [], |row| row.get(0))?;
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_master", [], |row| row.get(0))?;
    if application != APPLICATION_ID && (application != 0 || found != 0 || tables != 0) {
        return Err(StoreError::AnotherProgram { file: file.into() });
    }
    if found > known {
        return Err(StoreError::Newer { file: file.into(), found, known });
    }
    Ok(found)
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
    // 4 MB for each of five connections: the pages that are asked for again and again. The system
    // keeps the rest of the file at hand, and the whole program stays below 60 MB.
    connection.pragma_update(None, "cache_size", -4000)?;
    // After a burst of writing the log beside the book goes back to 16 MB.
    connection.query_row("PRAGMA journal_size_limit = 16777216", [], |_| Ok(()))?;
    connection.set_prepared_statement_cache_capacity(160);
    // A plan holds for whatever is asked. Else SQLite (with STAT4, as rusqlite builds it) makes a kept
    // statement anew each time that a day or a name is put into it.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;
    use crate::shop::{ClothFacts, ClothOf, Currency, GarmentId, Money, Nap};

    fn book() -> (tempfile::TempDir, DataFolder, Connection) {
        let place = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(place.path());
        let writer = open_writer(&folder, migrations()).unwrap();
        (place, folder, writer)
    }

    fn number(connection: &Connection, sql: &str) -> i64 {
        connection.query_row(sql, [], |row| row.get(0)).unwrap()
    }

    #[test]
    fn every_connection_is_told_the_same() {
        let (_place, folder, writer) = book();
        let reader = open_reader(&folder.book()).unwrap();
        for connection in [&writer, &reader] {
            let mode: String = connection.query_row("PRAGMA journal_mode", [], |row| row.get(0)).unwrap();
            assert_eq!(mode, "wal");
            // 2 is FULL: a commit waits for the disk.
            assert_eq!(number(connection, "PRAGMA synchronous"), 2);
            assert_eq!(number(connection, "PRAGMA foreign_keys"), 1);
            assert_eq!(number(connection, "PRAGMA secure_delete"), 1);
            assert_eq!(number(connection, "PRAGMA busy_timeout"), 5000);
            assert_eq!(number(connection, "PRAGMA trusted_schema"), 0);
            assert!(connection.db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG).unwrap());
        }
        assert_eq!(number(&writer, "PRAGMA query_only"), 0);
        assert_eq!(number(&reader, "PRAGMA query_only"), 1);
        assert!(reader.execute("UPDATE person SET name = 'x'", []).is_err());
    }

    #[test]
    fn all_tables_are_strict() {
        let (_place, _folder, writer) = book();
        let loose = "SELECT count(*) FROM pragma_table_list WHERE type = 'table' AND schema = 'main'
                        AND strict = 0 AND name NOT LIKE 'sqlite_%'";
        assert_eq!(number(&writer, loose), 0);
    }

    /// The writer of a new book of this version.
    fn old_book(folder: &DataFolder, version: usize) -> Connection {
        open_writer(folder, migrations().into_iter().take(version).collect()).unwrap()
    }

    /// Rows in every table of migration 1 that is only added to, as a book of version 1 has them.
    const ROWS: &str = "BEGIN;
                 INSERT INTO client VALUES (1, 1, 'n', '', '', 0, '', '', '', 'unsaid', 'n', NULL);
                 INSERT INTO shop_order (id, year, count, client_id, taken, event, note, taken_by, at_ms, find)
                      VALUES (1, 2026, 1, 1, '2026-11-02', '', '', 1, 0, '');
                 INSERT INTO garment (id, order_id, letter, stage, wearer_id, what, cloth_words, cloth_brought, cloth_one_way,
                        cloth_priced_by, currency, fittings, bag, place, agreed_neck, agreed_sleeve, agreed_opening, agreed_other)
                      VALUES (1, 1, 0, 'booked', 1, 'skirt', '', 0, 0, 'yard', 'EUR', 0, '', '', '', '', '', '');
                 INSERT INTO measure_set (id, wearer_id, day, over_what, source, note, who, at_ms)
                      VALUES (1, 1, '2026-11-01', '', 'tape', '', 1, 0);
                 INSERT INTO reading VALUES (1, 0, 'waist_girth', 1, 1, '', 'tape');
                 INSERT INTO figure_note VALUES (1, 0, 'stooped');
                 INSERT INTO stage_move VALUES (1, 1, NULL, 'booked', '', 1, 0);
                 INSERT INTO payment VALUES (1, 1, 'deposit', 1, 'EUR', '2026-11-02', '', '', NULL, 1, 0);
                 INSERT INTO style VALUES (1, 1, 'apron', 1, 0);
                 INSERT INTO style_version VALUES (1, 1, 1, 'Apron', '', 'book', '', 1, 0);
                 INSERT INTO quote VALUES (1, 1, 1, 'EUR', NULL, NULL, 0, 0, 0, 0, '', 1, 0);
                 INSERT INTO cut_record VALUES (1, 1, '', 'eighth', '', '', 1, 0);
                 INSERT INTO cut_figure VALUES (1, 'body', 0, 'waist_girth', 1, '', '');
                 INSERT INTO lay VALUES (1, 1, 1, 1, 'open', 0, 0, '1', 1, 1, 0);
                 INSERT INTO lay_placement VALUES (1, 0, 'back', 0, NULL, NULL, 0, 0, 0, 1, 0, 0);
                 INSERT INTO paper VALUES (1, 'receipt', 1, 1, '2026-11-02', 1, 'EUR', '', 1, 0);
                 INSERT INTO action VALUES (1, 1, 0, '', NULL);
                 INSERT INTO change VALUES (1, 1, 'client', 1, NULL, NULL, NULL, '');
                 COMMIT;";

    #[test]
    fn what_is_only_added_to_is_neither_changed_nor_removed() {
        let place = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(place.path());
        old_book(&folder, 1).execute_batch(ROWS).unwrap();
        let writer = open_writer(&folder, migrations()).unwrap();
        writer
            .execute_batch(
                "INSERT INTO cloth (id, name, words, nap, turns_over, currency, priced_by, from_whom)
                      VALUES (1, 'linen', '', 'free', 0, 'EUR', 'yard', '');
                 INSERT INTO cloth_length VALUES (1, 1, 1, '2026-11-01', NULL, '', '');
                 INSERT INTO cloth_move VALUES (1, 1, 'bought', 1, '2026-11-01', NULL, '', 1, 0, NULL);
                 INSERT INTO correction VALUES (1, 1, 1, NULL, '2026-11-05', 'waist_girth', 'both', 1, '', 1, 0);
                 INSERT INTO correction_end VALUES (1, 1, '2026-11-20', '', 1, 0);
                 INSERT INTO cut_correction VALUES (1, 0, 'waist_girth', 'both', 1, '');
                 INSERT INTO cut_note VALUES (1, 0, 'stooped');",
            )
            .unwrap();
        let kept = [
            ("cloth_move", "words"),
            ("correction", "words"),
            ("correction_end", "reason"),
            ("cut_correction", "words"),
            ("cut_note", "note"),
            ("measure_set", "note"),
            ("reading", "typed"),
            ("figure_note", "words"),
            ("stage_move", "reason"),
            ("payment", "note"),
            ("style_version", "text"),
            ("quote", "words"),
            ("cut_record", "outlines"),
            ("cut_figure", "words"),
            ("lay", "layout"),
            ("lay_placement", "part"),
            ("laid_garment", "place"),
            ("paper", "text"),
            ("action", "words"),
            ("change", "after_value"),
        ];
        for (table, column) in kept {
            let changed = writer.execute(&format!("UPDATE {table} SET {column} = {column}"), []).unwrap_err();
            assert!(changed.to_string().contains("append-only"), "{table}: {changed}");
            let removed = writer.execute(&format!("DELETE FROM {table}"), []).unwrap_err();
            assert!(removed.to_string().contains("append-only"), "{table}: {removed}");
        }
        let removed = writer.execute("DELETE FROM shop_order", []).unwrap_err();
        assert!(removed.to_string().contains("cancelled, not removed"), "{removed}");
    }

    /// Every row of these columns of these tables as one text, in order.
    fn rows(connection: &Connection, columns: &[(String, Vec<String>)]) -> Vec<String> {
        let of = |(table, columns): &(String, Vec<String>)| {
            let sql = format!("SELECT {} FROM {table}", columns.join(", "));
            let mut rows = connection.prepare(&sql).unwrap();
            let told = rows.query_map([], |row| {
                let cells = (0..columns.len()).map(|at| row.get::<_, rusqlite::types::Value>(at));
                Ok(format!("{table}: {:?}", cells.collect::<Result<Vec<_>, _>>()?))
            });
            told.unwrap().map(Result::unwrap).collect::<Vec<_>>()
        };
        columns.iter().flat_map(of).collect()
    }

    /// The tables of a book with their columns, but for the one that became another.
    fn columns(connection: &Connection) -> Vec<(String, Vec<String>)> {
        let texts = |sql: &str| -> Vec<String> {
            let mut query = connection.prepare(sql).unwrap();
            let texts = query.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap);
            texts.collect()
        };
        let tables = "SELECT name FROM pragma_table_list WHERE type = 'table' AND schema = 'main'
                         AND name NOT LIKE 'sqlite_%' ORDER BY name";
        let of = |table: &String| {
            format!("SELECT name FROM pragma_table_info('{table}') WHERE name <> 'cloth_one_way' ORDER BY cid")
        };
        texts(tables).into_iter().map(|table| (table.clone(), texts(&of(&table)))).collect()
    }

    #[test]
    fn a_book_of_the_first_version_is_copied_and_keeps_everything() {
        let place = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(place.path());
        let old = old_book(&folder, 1);
        old.execute_batch(ROWS).unwrap();
        let columns = columns(&old);
        let before = rows(&old, &columns);
        assert!(before.len() > 20, "{before:?}");
        drop(old);
        let known = migrations().len();
        let now = open_writer(&folder, migrations()).unwrap();
        // The new tables are there and empty; what was there is as it was.
        assert_eq!(rows(&now, &columns), before);
        assert_eq!(number(&now, "SELECT count(*) FROM correction"), 0);
        let copy = Connection::open(folder.backups().join(format!("before-version-{known}-from-1.db"))).unwrap();
        assert_eq!((number(&copy, "PRAGMA user_version"), rows(&copy, &columns)), (1, before));
    }

    #[test]
    fn a_book_of_the_second_version_keeps_everything_and_carries_its_one_way_cloths_over() {
        let place = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(place.path());
        let old = old_book(&folder, 2);
        old.execute_batch(ROWS).unwrap();
        old.execute_batch(
            "INSERT INTO garment (id, order_id, letter, stage, wearer_id, what, cloth_words, cloth_width_nm, cloth_length_nm,
                    cloth_brought, cloth_washed, cloth_one_way, cloth_minor, cloth_priced_by, currency, fittings, bag, place,
                    agreed_neck, agreed_sleeve, agreed_opening, agreed_other)
                  VALUES (2, 1, 1, 'booked', 1, 'dress', 'velvet', 1143000000, 2743200000, 1, 0, 1, 4200, 'yard', 'EUR', 1, '', '', '', '', '', '');
             INSERT INTO stage_move VALUES (2, 2, NULL, 'booked', '', 1, 0);
             INSERT INTO correction VALUES (1, 1, 1, NULL, '2026-11-05', 'waist_girth', 'both', 1, '', 1, 0);
             INSERT INTO correction_end VALUES (1, 1, '2026-11-20', '', 1, 0);
             INSERT INTO garment_correction VALUES (2, 1, 1);
             INSERT INTO cut_correction VALUES (1, 0, 'waist_girth', 'both', 1, '');
             INSERT INTO cut_note VALUES (1, 0, 'stooped');",
        )
        .unwrap();
        let columns = columns(&old);
        let before = rows(&old, &columns);
        drop(old);
        let store = crate::store::Store::open(&folder).unwrap();
        let now = Connection::open(folder.book()).unwrap();
        assert_eq!(rows(&now, &columns), before);
        assert!(folder.backups().join(format!("before-version-{}-from-2.db", migrations().len())).exists());
        // What is read from it is what was written, with nothing made up for what is new.
        let garment = |id| store.read(|book| book.garment(GarmentId::new(id))).unwrap().facts;
        assert_eq!(garment(1).cloth, ClothFacts::UNKNOWN);
        let velvet = ClothFacts {
            words: "velvet".into(),
            width: Some(Length::inches(45, 0)),
            length: Some(Length::inches(108, 0)),
            brought: true,
            washed: Some(false),
            nap: Nap::One,
            price: Some(Money::new(4200, Currency::new("EUR").unwrap())),
            ..ClothFacts::UNKNOWN
        };
        assert_eq!(garment(2).cloth, velvet);
        assert!(garment(2).linings.is_empty());
        let lay = store.read(|book| book.newest_lay(GarmentId::new(1), ClothOf::Main)).unwrap().unwrap();
        assert_eq!(lay.need, None);
        assert_eq!(number(&now, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    }

    #[test]
    fn a_book_of_the_third_version_keeps_its_lays_and_what_they_hold() {
        let place = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(place.path());
        let old = old_book(&folder, 1);
        old.execute_batch(ROWS).unwrap();
        drop(old);
        let old = old_book(&folder, 3);
        old.execute_batch(
            "INSERT INTO cloth (id, name, words, nap, turns_over, currency, priced_by, from_whom)
                  VALUES (1, 'linen', '', 'free', 0, 'EUR', 'yard', '');
             INSERT INTO cloth_length VALUES (1, 1, 1, '2026-11-01', NULL, '', '');
             UPDATE garment SET cloth_stock_id = 1;
             INSERT INTO cloth_held VALUES (7, 1, 1, 1, 914400000, 1, 0);",
        )
        .unwrap();
        drop(old);
        let store = crate::store::Store::open(&folder).unwrap();
        let garment = GarmentId::new(1);
        let (lay, held) = store
            .read(|book| Ok((book.newest_lay(garment, ClothOf::Main)?, book.held_for(garment, ClothOf::Main)?)))
            .unwrap();
        assert_eq!(lay.unwrap().garments, [garment]);
        assert_eq!(held.unwrap().length, Length::inches(36, 0));
        let now = Connection::open(folder.book()).unwrap();
        assert_eq!(number(&now, "SELECT id FROM cloth_held"), 7);
        assert_eq!(number(&now, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    }

    #[test]
    fn the_way_to_a_newer_version_begins_with_a_copy() {
        let (_place, folder, writer) = book();
        writer.execute("UPDATE person SET name = 'Ama'", []).unwrap();
        drop(writer);
        let mut steps = migrations();
        let known = i64::try_from(steps.len()).unwrap();
        steps.push(M::up("ALTER TABLE person ADD COLUMN phone TEXT NOT NULL DEFAULT ''"));
        let writer = open_writer(&folder, steps.clone()).unwrap();
        assert_eq!(number(&writer, "PRAGMA user_version"), known + 1);
        let name = format!("before-version-{}-from-{known}.db", known + 1);
        let copy = Connection::open(folder.backups().join(name)).unwrap();
        assert_eq!(number(&copy, "PRAGMA user_version"), known);
        assert_eq!(number(&copy, "PRAGMA application_id"), APPLICATION_ID);
        let name: String = copy.query_row("SELECT name FROM person", [], |row| row.get(0)).unwrap();
        assert_eq!(name, "Ama");
        drop(writer);
        // Opening again takes no further copy; the older program refuses in words.
        drop(open_writer(&folder, steps).unwrap());
        assert_eq!(fs::read_dir(folder.backups()).unwrap().count(), 1);
        let refused = open_writer(&folder, migrations()).unwrap_err();
        assert!(
            matches!(refused, StoreError::Newer { found, known: knows, .. } if (found, knows) == (known + 1, known))
        );
        assert!(refused.to_string().contains("newer bodkin"), "{refused}");
    }

    #[test]
    fn a_migration_that_fails_leaves_the_book_as_it_was() {
        let (_place, folder, writer) = book();
        drop(writer);
        let mut steps = migrations();
        steps.push(M::up("CREATE TABLE half (id INTEGER) STRICT; SELECT * FROM nowhere;"));
        assert!(open_writer(&folder, steps).is_err());
        let writer = open_writer(&folder, migrations()).unwrap();
        assert_eq!(number(&writer, "PRAGMA user_version"), i64::try_from(migrations().len()).unwrap());
        assert_eq!(number(&writer, "SELECT count(*) FROM sqlite_master WHERE name = 'half'"), 0);
    }

    #[test]
    fn a_database_of_another_program_is_left_alone() {
        let place = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(place.path());
        Connection::open(folder.book()).unwrap().execute_batch("CREATE TABLE other (id INTEGER)").unwrap();
        let before = fs::read(folder.book()).unwrap();
        let refused = open_writer(&folder, migrations()).unwrap_err();
        assert!(matches!(refused, StoreError::AnotherProgram { .. }), "{refused}");
        assert_eq!(fs::read(folder.book()).unwrap(), before);
    }
}
