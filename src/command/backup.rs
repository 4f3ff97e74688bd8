//! `bodkin backup FILE`: a copy of the book, taken while it may be open.

use std::io::Write as _;

use super::{CommandError, check, serve};
use crate::config::Backup;
use crate::store::DataFolder;

/// Writes the copy; never over a file that exists.
///
/// # Errors
/// When the book cannot be read or the file cannot be written.
pub fn backup(flags: &Backup) -> Result<(), CommandError> {
    let folder = DataFolder::at(&serve::data_folder(flags.kept.data.as_deref())?);
    let store = check::open(&folder)?;
    store.backup(&flags.file).map_err(|why| CommandError(why.to_string()))?;
    let _ = writeln!(std::io::stdout(), "Copied {} to {}.", folder.book().display(), flags.file.display());
    Ok(())
}
