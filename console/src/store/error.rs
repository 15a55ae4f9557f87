//! What can go wrong with a book: every message names the file and says what to try.

use bevelbook_core::record::{JournalId, RecordId};
use rusqlite::ErrorCode;
use std::path::{Path, PathBuf};

/// Why the book could not do what was asked. Nothing is half done: a write that fails leaves the book as it was.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// No file there.
    #[error("there is no book at {path}; begin one there, or give the path of the book you mean")]
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// Some other file. It has not been touched.
    #[error("{path} is not a bevelbook book ({found}); it was left as it is, choose another path")]
    NotABook {
        /// The file.
        path: PathBuf,
        /// What it seems to be.
        found: String,
    },
    /// The book was written by newer software.
    #[error(
        "{path} has schema {found}, this program knows schemas up to {known}; use the newer bevelbook that wrote it"
    )]
    NewerSchema {
        /// The book.
        path: PathBuf,
        /// The schema version it has.
        found: i64,
        /// The newest schema version this program knows.
        known: i64,
    },
    /// The platform names no folder for data.
    #[error("no data folder for a default book: {why}; set HOME, or give the path of the book")]
    NoDataFolder {
        /// What the platform said.
        why: String,
    },
    /// The operating system refused something with a file or folder.
    #[error("{doing} {path}: {source}; check that its folder exists, is yours and has room")]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What was being done, a verb for the start of the message.
        doing: &'static str,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// Another program held the book for longer than the waiting time.
    #[error("{path} is held by another program for over {waited_s} s; close what writes to it and try again")]
    Busy {
        /// The book.
        path: PathBuf,
        /// How long it was waited for, in seconds.
        waited_s: u64,
    },
    /// The file system cannot share a book between programs.
    #[error("{path} cannot use a write-ahead log (it stays in {mode} mode); keep the book on a local disk")]
    NoWriteAheadLog {
        /// The book.
        path: PathBuf,
        /// The journal mode SQLite stays in.
        mode: String,
    },
    /// The disk is full.
    #[error("no room left on the disk that holds {path}; make room and try again, the write was not done")]
    DiskFull {
        /// The book.
        path: PathBuf,
    },
    /// The file or its folder may not be written.
    #[error("{path} may only be read; make the file and its folder writable for you")]
    ReadOnly {
        /// The book.
        path: PathBuf,
    },
    /// The database's pages do not hang together.
    #[error("{path} is damaged ({what}); keep this file, check the disk, and go on from the latest backup")]
    Damaged {
        /// The book or backup.
        path: PathBuf,
        /// What was found.
        what: String,
    },
    /// The console's journal has used its last number.
    #[error("journal {journal} in {path} has no numbers left; begin a new journal")]
    JournalFull {
        /// The book.
        path: PathBuf,
        /// The journal.
        journal: JournalId,
    },
    /// New records arrived under the journal this book itself is writing: somebody else writes under its id.
    #[error(
        "record {id} came from outside, but {path} writes that journal itself; begin a new journal here, then import again"
    )]
    OwnJournal {
        /// The book.
        path: PathBuf,
        /// The first such record.
        id: RecordId,
    },
    /// A backup would take the place of the book it is made from.
    #[error("the backup of {path} may not have the book's own path; give another path")]
    BackupOntoItself {
        /// The book.
        path: PathBuf,
    },
    /// The name is out of the book, but another program's open view still keeps the old pages in the log.
    #[error(
        "the name is gone from {path}, but its log still holds old pages; close other programs on it and forget again"
    )]
    LogHeld {
        /// The book.
        path: PathBuf,
    },
    /// The operating system gave no entropy for a new journal's id.
    #[error("no entropy for a new journal in {path}: {source}; try again later")]
    Entropy {
        /// The book.
        path: PathBuf,
        /// What the operating system said.
        source: getrandom::Error,
    },
    /// Anything else the database refused.
    #[error("{doing} in {path}: {source}; run the book's check")]
    Database {
        /// The book.
        path: PathBuf,
        /// What was being done, a verb for the start of the message.
        doing: &'static str,
        /// What the database said.
        source: rusqlite::Error,
    },
}

/// How long a connection waits for another writer before it gives up, in seconds. Own choice: far longer than
/// any write takes, short enough that a person still waits.
pub(super) const BUSY_S: u64 = 10;

impl Error {
    /// The error for what the database said while `doing` something in the book at `path`.
    pub(super) fn database(path: &Path, doing: &'static str, source: rusqlite::Error) -> Self {
        let path = path.to_path_buf();
        match source.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                Self::Busy { path, waited_s: BUSY_S }
            }
            Some(ErrorCode::DiskFull) => Self::DiskFull { path },
            Some(ErrorCode::ReadOnly) => Self::ReadOnly { path },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { path, what: source.to_string() },
            Some(ErrorCode::NotADatabase) => {
                Self::NotABook { path, found: "not a SQLite database".to_owned() }
            }
            Some(ErrorCode::CannotOpen) => Self::file(&path, "cannot open", std::io::Error::other(source)),
            _ => Self::Database { path, doing, source },
        }
    }

    /// The error for what the operating system said while `doing` something with `path`.
    pub(super) fn file(path: &Path, doing: &'static str, source: std::io::Error) -> Self {
        Self::File { path: path.to_path_buf(), doing, source }
    }
}
