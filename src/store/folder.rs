//! The data folder: one place for everything that a shop owns.

use std::path::{Path, PathBuf};

use super::connect::probe;
use super::error::StoreError;

/// A folder with `shop.db`, `photos.db`, `backups/` and the lock of the one server.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DataFolder {
    folder: PathBuf,
}

impl DataFolder {
    /// The data folder at this path; it is looked at when it is opened.
    #[must_use]
    pub fn at(folder: &Path) -> DataFolder {
        DataFolder { folder: folder.into() }
    }

    /// The folder itself.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.folder
    }

    /// The book.
    #[must_use]
    pub fn book(&self) -> PathBuf {
        self.folder.join("shop.db")
    }

    /// Where copies lie.
    #[must_use]
    pub fn backups(&self) -> PathBuf {
        self.folder.join("backups")
    }

    /// The file by which a running server holds the folder.
    #[must_use]
    pub fn lock(&self) -> PathBuf {
        self.folder.join("lock")
    }

    /// Whether the folder is there and can be written to.
    ///
    /// # Errors
    /// [`StoreError::FolderMissing`], [`StoreError::NotAFolder`] or [`StoreError::FolderReadOnly`].
    pub fn is_fit(&self) -> Result<(), StoreError> {
        self.is_there()?;
        let folder = self.folder.clone();
        probe(&folder).map_err(|error| StoreError::FolderReadOnly { folder, reason: error.to_string() })
    }

    /// Whether the folder is there.
    ///
    /// # Errors
    /// [`StoreError::FolderMissing`] or [`StoreError::NotAFolder`].
    pub fn is_there(&self) -> Result<(), StoreError> {
        let folder = self.folder.clone();
        if !folder.exists() {
            return Err(StoreError::FolderMissing { folder });
        }
        if !folder.is_dir() {
            return Err(StoreError::NotAFolder { folder });
        }
        Ok(())
    }
}
