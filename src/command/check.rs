//! `bodkin check`: is the book whole, and do its facts agree?

use std::io::Write as _;

use super::{CommandError, serve};
use crate::config::Kept;
use crate::store::{Checked, DataFolder, Store, StoreError, check_folder};

/// Checks the book; what is found is printed, one line each. Nothing is changed: a book of
/// an older bodkin is looked at as it is, and not brought to this version.
///
/// # Errors
/// When the book cannot be opened, or when something was found (exit 1).
pub fn check(flags: &Kept) -> Result<(), CommandError> {
    let folder = DataFolder::at(&serve::data_folder(flags.data.as_deref())?);
    let Checked { findings, older } = check_folder(&folder).map_err(|why| CommandError(why.to_string()))?;
    let mut out = std::io::stdout();
    for finding in &findings {
        let _ = writeln!(out, "{finding}");
    }
    let book = folder.book();
    match (findings.len(), older) {
        (0, None) => {
            let _ = writeln!(out, "{}: whole, and its facts agree.", book.display());
            Ok(())
        }
        (0, Some(version)) => {
            let _ = writeln!(
                out,
                "{}: whole. It was written by an older bodkin (book version {version}) and was left as it is; whether its \
                 facts agree is checked once “bodkin serve” has brought it up to date, which keeps a copy of it first.",
                book.display()
            );
            Ok(())
        }
        (1, _) => Err(CommandError("One thing was found. Keep this file as it is, and go back to a backup.".into())),
        (n, _) => {
            Err(CommandError(format!("{n} things were found. Keep this file as it is, and go back to a backup.")))
        }
    }
}

/// The book of a folder that has one; a copy never makes a new book.
pub(super) fn open(folder: &DataFolder) -> Result<Store, CommandError> {
    let refused = |why: StoreError| CommandError(why.to_string());
    folder.is_fit().map_err(refused)?;
    if !folder.book().exists() {
        return Err(refused(StoreError::NoBook { file: folder.book() }));
    }
    Store::open(folder).map_err(refused)
}
