//! What stands in the data folder: what is refused in words, and copies.

use std::fs;
use std::path::Path;

use bodkin::store::{DataFolder, Store, StoreError};

use crate::store::{empty, write};

fn refusal(folder: &Path) -> (StoreError, String) {
    let refused = Store::open(&DataFolder::at(folder)).unwrap_err();
    let words = refused.to_string();
    (refused, words)
}

#[test]
fn a_folder_that_is_missing_or_a_file_is_refused() {
    let place = tempfile::tempdir().unwrap();
    let missing = place.path().join("nowhere");
    let (refused, words) = refusal(&missing);
    assert!(matches!(refused, StoreError::FolderMissing { .. }));
    assert!(words.contains("nowhere") && words.contains("--data"), "{words}");
    assert!(!missing.exists());
    let file = place.path().join("file");
    fs::write(&file, "words").unwrap();
    let (refused, words) = refusal(&file);
    assert!(matches!(refused, StoreError::NotAFolder { .. }), "{words}");
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_cannot_be_written_to_is_refused() {
    // No user, not even root, makes files in /proc.
    let (refused, words) = refusal(Path::new("/proc"));
    assert!(matches!(refused, StoreError::FolderReadOnly { .. }), "{words}");
    assert!(words.contains("cannot be written to"), "{words}");
}

#[test]
fn a_file_that_is_no_database_is_refused_and_left_alone() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("shop.db");
    for bytes in [b"short".to_vec(), b"a letter to the dressmaker, longer than any head".repeat(200)] {
        fs::write(&file, &bytes).unwrap();
        let (refused, words) = refusal(place.path());
        assert!(matches!(refused, StoreError::NotADatabase { .. }), "{words}");
        assert!(words.contains("is not a database") && words.contains("backups"), "{words}");
        assert_eq!(fs::read(&file).unwrap(), bytes);
    }
    // The head of a database and rubbish after it.
    let mut bytes = b"SQLite format 3\0".to_vec();
    bytes.extend(b"rubbish ".repeat(1000));
    fs::write(&file, &bytes).unwrap();
    let (_, words) = refusal(place.path());
    assert!(words.contains("shop.db") && words.contains("backups"), "{words}");
    assert_eq!(fs::read(&file).unwrap(), bytes);
}

#[test]
fn an_empty_file_becomes_a_book() {
    // As a crash leaves it between making the file and the first migration.
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("shop.db"), []).unwrap();
    let store = Store::open(&DataFolder::at(place.path())).unwrap();
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_closed_book_is_one_file() {
    // Whoever copies the folder by hand after closing has all of it.
    let (folder, store) = empty();
    write(&store, "wrote", |book| book.add_client(&bodkin::shop::ClientFacts::named("Maren Solberg")));
    drop(store);
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["shop.db"]);
}

#[test]
fn a_copy_is_a_whole_book_and_overwrites_nothing() {
    let (folder, store) = empty();
    write(&store, "wrote", |book| book.add_client(&bodkin::shop::ClientFacts::named("Maren Solberg")));
    let place = tempfile::tempdir().unwrap();
    let copy = place.path().join("shop.db");
    store.backup(&copy).unwrap();
    assert!(matches!(store.backup(&copy), Err(StoreError::FileExists { .. })));
    assert!(matches!(store.backup(&folder.path().join("no/where.db")), Err(StoreError::FolderMissing { .. })));
    let copied = Store::open(&DataFolder::at(place.path())).unwrap();
    let id = bodkin::shop::ClientId::new(1);
    assert_eq!(copied.read(|book| book.client(id)).unwrap(), store.read(|book| book.client(id)).unwrap());
    assert_eq!(copied.read(|book| book.check()).unwrap(), []);
    assert_eq!(
        fs::read_dir(place.path())
            .unwrap()
            .filter(|entry| entry.as_ref().unwrap().path().ends_with("shop.db.part"))
            .count(),
        0
    );
}

#[test]
fn a_page_that_was_damaged_is_found_by_the_check() {
    let (folder, store) = empty();
    for _ in 0..40 {
        write(&store, "wrote", |book| book.add_client(&bodkin::shop::ClientFacts::named("Maren Solberg")));
    }
    drop(store);
    let file = folder.path().join("shop.db");
    let mut bytes = fs::read(&file).unwrap();
    // Somewhere in a row; the head and the schema stay whole.
    let name = b"Maren Solberg";
    let at = bytes.windows(name.len()).rposition(|window| window == name).unwrap();
    let page = at / 4096 * 4096;
    bytes[page..page + 64].fill(0xff);
    fs::write(&file, &bytes).unwrap();
    let store = Store::open(&DataFolder::at(folder.path())).unwrap();
    match store.read(|book| book.check()) {
        Ok(findings) => assert!(!findings.is_empty()),
        Err(broken) => assert!(broken.to_string().contains("bodkin check"), "{broken}"),
    }
}
