//! Copies of the whole book.

use std::path::Path;

use rusqlite::Connection;

use super::error::StoreError;

/// Writes a whole, consistent copy to a file that does not exist yet, while others read and write.
///
/// # Errors
/// [`StoreError::FileExists`] when something stands there; [`StoreError::File`] when it cannot be written.
pub(super) fn copy_to(connection: &Connection, file: &Path) -> Result<(), StoreError> {
    if file.symlink_metadata().is_ok() {
        return Err(StoreError::FileExists { file: file.into() });
    }
    if let Some(folder) = file.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.is_dir()) {
        return Err(StoreError::FolderMissing { folder: folder.into() });
    }
    let name = file.to_str().ok_or_else(|| StoreError::file(file, &"the name is not plain text"))?;
    // Under another name first: a copy that was cut short is never taken for a whole one.
    let part = format!("{name}.part");
    let _ = std::fs::remove_file(&part);
    connection
        .execute("VACUUM INTO ?1", [&part])
        .map_err(|error| StoreError::file(file, &error))
        .and_then(|_| synced(Path::new(&part), file))
        .inspect_err(|_| {
            let _ = std::fs::remove_file(&part);
        })
}

/// Brings the copy to the disk and gives it its name.
fn synced(part: &Path, file: &Path) -> Result<(), StoreError> {
    let failed = |error: std::io::Error| StoreError::file(file, &error);
    std::fs::OpenOptions::new().write(true).open(part).map_err(failed)?.sync_all().map_err(failed)?;
    std::fs::rename(part, file).map_err(failed)
}
