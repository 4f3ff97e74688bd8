//! Why the book could not be opened, read or written, in words for the person at the counter.

use std::path::{Path, PathBuf};

/// What went wrong, with the remedy.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The data folder does not exist.
    #[error("There is no folder {}. Make it, or name another one with --data.", folder.display())]
    FolderMissing {
        /// The folder asked for.
        folder: PathBuf,
    },
    /// The data folder is a file.
    #[error("{} is not a folder. Name a folder with --data.", folder.display())]
    NotAFolder {
        /// The path asked for.
        folder: PathBuf,
    },
    /// Nothing can be written into the data folder.
    #[error("The folder {} cannot be written to ({reason}). Allow writing there, or name another folder with --data.", folder.display())]
    FolderReadOnly {
        /// The folder asked for.
        folder: PathBuf,
        /// What the system says.
        reason: String,
    },
    /// The file is no database at all.
    #[error("{} is not a database. Move it away, or put a copy from the folder “backups” in its place.", file.display())]
    NotADatabase {
        /// The file.
        file: PathBuf,
    },
    /// There is no book in the folder, or nothing was written into it yet.
    #[error("There is no book at {}. Name the shop's folder with --data FOLDER.", file.display())]
    NoBook {
        /// Where it was looked for.
        file: PathBuf,
    },
    /// The file is a database of some other program.
    #[error("{} is a database, but not a book of bodkin. Name another folder with --data.", file.display())]
    AnotherProgram {
        /// The file.
        file: PathBuf,
    },
    /// The file is damaged.
    #[error(
        "{} is damaged ({reason}). Keep it as it is, and go back to a copy from the folder “backups”.", file.display()
    )]
    Damaged {
        /// The file.
        file: PathBuf,
        /// What the database says.
        reason: String,
    },
    /// The file was written by a newer bodkin.
    #[error(
        "{} was written by a newer bodkin (book version {found}; this one knows up to {known}). Use the newer bodkin; nothing was changed.",
        file.display()
    )]
    Newer {
        /// The file.
        file: PathBuf,
        /// The version found.
        found: i64,
        /// The newest version known here.
        known: i64,
    },
    /// A file stands where a copy was to be written.
    #[error("{} exists already. Name a file that does not exist; nothing was overwritten.", file.display())]
    FileExists {
        /// The file.
        file: PathBuf,
    },
    /// A file could not be read or written.
    #[error("{}: {reason}. Check the path and the room on the disk.", file.display())]
    File {
        /// The file.
        file: PathBuf,
        /// What the system says.
        reason: String,
    },
    /// Somebody changed the row in the meantime.
    #[error("{by} changed this {what} in the meantime. Look at the new values and make your change again.")]
    Stale {
        /// What was to be changed: `client`, `garment`.
        what: &'static str,
        /// Who changed it.
        by: String,
        /// When (UTC milliseconds).
        at_ms: i64,
    },
    /// There is no such row.
    #[error("There is no {what} {which} in the book. Go back to the list and choose again.")]
    Missing {
        /// What was asked for: `order`, `client`.
        what: &'static str,
        /// Its number or key.
        which: String,
    },
    /// A rule of the book forbids it; the words name the value and the remedy.
    #[error("{words}")]
    Refused {
        /// The whole sentence.
        words: String,
    },
    /// The disk is full.
    #[error("The disk is full. Make room; what was being written is not kept, all before it is.")]
    DiskFull,
    /// Another program holds the book.
    #[error("The book is held by another program. Close it and try again.")]
    Busy,
    /// A row that this program cannot read.
    #[error(
        "A row of the book cannot be read ({what}). Run “bodkin check”; a good copy may lie in the folder “backups”."
    )]
    Broken {
        /// What is wrong with it.
        what: String,
    },
    /// The database says no.
    #[error("The book could not be read or written: {0}. Run “bodkin check”.")]
    Sql(rusqlite::Error),
}

impl StoreError {
    /// A refusal in these words.
    pub(super) fn refused(words: impl Into<String>) -> StoreError {
        StoreError::Refused { words: words.into() }
    }

    /// There is no such row.
    pub(super) fn missing(what: &'static str, which: impl ToString) -> StoreError {
        StoreError::Missing { what, which: which.to_string() }
    }

    /// What stops a book from being opened is about its file.
    pub(super) fn on_opening(self, file: &Path) -> StoreError {
        match self {
            StoreError::Broken { what } => StoreError::Damaged { file: file.into(), reason: what },
            StoreError::Sql(error) => StoreError::Damaged { file: file.into(), reason: error.to_string() },
            other => other,
        }
    }

    /// A file that could not be read or written.
    pub(super) fn file(file: &Path, reason: &impl ToString) -> StoreError {
        StoreError::File { file: file.into(), reason: reason.to_string() }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> StoreError {
        use rusqlite::ErrorCode;
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => StoreError::DiskFull,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Busy,
            Some(ErrorCode::DatabaseCorrupt) => StoreError::Broken { what: error.to_string() },
            _ => match error {
                rusqlite::Error::FromSqlConversionFailure(_, _, reason) => {
                    StoreError::Broken { what: reason.to_string() }
                }
                other => StoreError::Sql(other),
            },
        }
    }
}
