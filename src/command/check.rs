//! `bodkin check`: is the book whole, and do its facts agree?

use std::io::Write as _;

use super::{CommandError, serve};
use crate::config::Kept;
use crate::store::{DataFolder, Store};

/// Checks the book; what is found is printed, one line each.
///
/// # Errors
/// When the book cannot be opened, or when something was found (exit 1).
pub fn check(flags: &Kept) -> Result<(), CommandError> {
    let folder = DataFolder::at(&serve::data_folder(flags.data.as_deref())?);
    let store = open(&folder)?;
    let findings = store.read(|book| book.check()).map_err(|why| CommandError(why.to_string()))?;
    let mut out = std::io::stdout();
    for finding in &findings {
        let _ = writeln!(out, "{finding}");
    }
    match findings.len() {
        0 => {
            let _ = writeln!(out, "{}: whole, and its facts agree.", folder.book().display());
            Ok(())
        }
        1 => Err(CommandError("One thing was found. Keep this file as it is, and go back to a backup.".into())),
        n => Err(CommandError(format!("{n} things were found. Keep this file as it is, and go back to a backup."))),
    }
}

/// The book of a folder that has one; a check or a copy never makes a new book.
pub(super) fn open(folder: &DataFolder) -> Result<Store, CommandError> {
    folder.is_fit().map_err(|why| CommandError(why.to_string()))?;
    if !folder.book().exists() {
        return Err(CommandError(format!(
            "There is no book at {}. Name the shop's folder with --data FOLDER.",
            folder.book().display()
        )));
    }
    Store::open(folder).map_err(|why| CommandError(why.to_string()))
}
