//! What can go wrong with a book: every message names the file and says what to try.

use super::Place;
use super::server::Refusal;
use bevelbook_core::record::{JournalId, RecordId};
use std::fmt;
use std::path::PathBuf;

/// Why the book could not do what was asked. Nothing is half done: a write that fails leaves the book as it was.
#[derive(Debug)]
pub struct Error {
    /// The book, as it was asked for.
    pub place: Place,
    /// What went wrong with it.
    pub trouble: Trouble,
}

/// What went wrong. Which book it was joins at the public methods of [`super::Book`] and [`super::Reader`].
#[derive(Debug)]
pub enum Trouble {
    /// No file there.
    Missing,
    /// Some other file. It has not been touched.
    NotABook {
        /// What it seems to be.
        found: String,
    },
    /// The book was written by newer software.
    NewerSchema {
        /// The schema version it has.
        found: i64,
        /// The newest schema version this program knows.
        known: i64,
    },
    /// The operating system refused something with a file or folder.
    File {
        /// The file or folder: the book, or what stands beside it.
        file: PathBuf,
        /// What was being done, a verb for the start of the message.
        doing: &'static str,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// The database did not open its file.
    Unopened(String),
    /// Another program held the book for longer than is waited.
    Busy,
    /// The file system cannot share a book between programs.
    NoWriteAheadLog {
        /// The journal mode SQLite stays in.
        mode: String,
    },
    /// The disk is full.
    DiskFull,
    /// The file or its folder may not be written.
    ReadOnly,
    /// The file or its folder may not be written, and without that the log beside it cannot be read.
    LogUnread,
    /// The database's pages do not hang together.
    Damaged {
        /// What was found.
        what: String,
    },
    /// The console's journal has used its last number.
    JournalFull(JournalId),
    /// New records arrived under the journal this book itself is writing, the first of them this one: somebody else
    /// writes under its id.
    OwnJournal(RecordId),
    /// A file that is there is not written over.
    Taken(PathBuf),
    /// A backup would take the place of the book it is made from, or a book would be restored from itself or taken into itself.
    Itself,
    /// What is to be taken from a book is not what was put into it.
    Unsound {
        /// What is wrong, a sentence each.
        problems: Vec<String>,
    },
    /// A text has a letter that no server keeps.
    Nul {
        /// Which text.
        what: &'static str,
    },
    /// The book's file was moved or deleted while it was open.
    Moved,
    /// Another file was put in the place of the book while it was open.
    Replaced,
    /// The log beside the book belongs to another file.
    ForeignLog,
    /// The book is to be replaced, and another program has it open.
    InUse,
    /// The name is out of the book, but another program's open view still keeps the old pages in the log.
    LogHeld,
    /// The server that keeps the book does not answer, or went while it was asked. What was being written is not in the book.
    Away {
        /// What was met.
        why: String,
    },
    /// The server went while it was committing, or did not say for certain that it had, and could not be asked afterwards: what
    /// was being written may be in the book.
    Unsure {
        /// What was met.
        why: String,
    },
    /// The server that keeps the book, or is said to, is refused or refuses. Nothing was recorded.
    Refused(Box<Refusal>),
    /// Rights were asked about, of a book in a file.
    NoRoles,
    /// The server went once what was written was in the book: only what was to be said of it cannot be read.
    Unshown {
        /// What was met.
        why: String,
    },
    /// The operating system gave no entropy for a new journal's id.
    Entropy(getrandom::Error),
    /// Anything else the database refused.
    Database {
        /// What was being done, a verb for the start of the message.
        doing: &'static str,
        /// What the database said.
        source: String,
    },
}

/// How long a connection waits for another writer before it gives up, in seconds. Own choice: far longer than
/// any write takes, short enough that a person still waits.
pub(super) const BUSY_S: u64 = 10;

impl Trouble {
    /// The error of the book at `place`.
    pub(super) fn at(self, place: impl Into<Place>) -> Error {
        Error { place: place.into(), trouble: self }
    }

    /// The same, met by whoever reads behind a write of its own.
    pub(super) fn behind_a_write(self) -> Self {
        match self {
            Self::Away { why } => Self::Unshown { why },
            other => other,
        }
    }
}

/// The trouble behind what the operating system said while `doing` something with `file`.
pub(super) fn refused(doing: &'static str, file: &std::path::Path) -> impl Fn(std::io::Error) -> Trouble {
    move |source| Trouble::File { file: file.to_path_buf(), doing, source }
}

impl Error {
    /// Whether it is the server that keeps the book which was lost ([`Trouble::Away`], [`Trouble::Unsure`],
    /// [`Trouble::Unshown`]): the book itself is as sound as it was, and is there again when the server is.
    #[must_use]
    pub const fn is_away(&self) -> bool {
        self.away().is_some()
    }

    /// What was met, where it is.
    #[must_use]
    pub const fn away(&self) -> Option<&str> {
        match &self.trouble {
            Trouble::Away { why } | Trouble::Unsure { why } | Trouble::Unshown { why } => Some(why.as_str()),
            _ => None,
        }
    }
}

impl std::error::Error for Error {}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const RESTORE: &str = "bevelbook book restore FILE";
        const ROOM: &str = "check that its folder exists, is yours and has room";
        let path = &self.place;
        match &self.trouble {
            Trouble::Missing if matches!(path, Place::Server(_)) => write!(
                f,
                "there is no book at {path}; who owns the database begins one: bevelbook book begin '{path}'. --book (or \
                 BEVELBOOK_BOOK) names another place"
            ),
            Trouble::Missing => write!(
                f,
                "there is no book at {path}; the first `bevelbook job new` begins one there, and --book (or BEVELBOOK_BOOK) \
                 names another place"
            ),
            Trouble::NotABook { found } => {
                write!(
                    f,
                    "{path} is not a bevelbook book ({found}); it was left as it is, choose another path"
                )
            }
            Trouble::NewerSchema { found, known } => write!(
                f,
                "{path} has schema {found}, this program knows schemas up to {known}; use the newer bevelbook that wrote it"
            ),
            Trouble::File { file, doing, source } => {
                write!(f, "{doing} {}: {source}; {ROOM}", file.display())
            }
            Trouble::Unopened(source) => write!(f, "cannot open {path}: {source}; {ROOM}"),
            Trouble::Busy if matches!(path, Place::Server(_)) => write!(
                f,
                "{path} is held by another program for over {BUSY_S} s; close what writes to it, or have looked on the server \
                 what stands still there or waits for a standby, and try again"
            ),
            Trouble::Busy => write!(
                f,
                "{path} is held by another program for over {BUSY_S} s; close what writes to it and try again"
            ),
            Trouble::NoWriteAheadLog { mode } => write!(
                f,
                "{path} cannot use a write-ahead log (it stays in {mode} mode); keep the book on a local disk"
            ),
            Trouble::DiskFull => write!(
                f,
                "no room left on the disk that holds {path}; make room and try again, the write was not done"
            ),
            Trouble::ReadOnly => {
                write!(f, "{path} may only be read; make the file and its folder writable for you")
            }
            Trouble::LogUnread => write!(
                f,
                "{path} has a log beside it ({path}-wal) which cannot be read where nothing may be written; copy both to a \
                 folder of yours and look there"
            ),
            Trouble::Damaged { what } => write!(
                f,
                "{path} is damaged ({what}); check the disk, and bring the latest backup back: {RESTORE} (it keeps this \
                 file)"
            ),
            Trouble::JournalFull(journal) => {
                write!(f, "journal {journal} in {path} has no numbers left; begin a new journal")
            }
            Trouble::OwnJournal(id) => write!(
                f,
                "record {id} came from outside, but {path} writes that journal itself; begin a new journal here, then \
                 import again"
            ),
            Trouble::Taken(file) => write!(
                f,
                "{} is there and is no earlier export; it was left as it is, choose another path",
                file.display()
            ),
            Trouble::Itself => {
                write!(f, "{path} is the book itself; give another one")
            }
            Trouble::Unsound { problems } => write!(
                f,
                "{path} is not sound, and nothing was taken from it: {}; what can be read of it, `book export` writes down for \
                 `book import`",
                problems.join("; ")
            ),
            Trouble::Nul { what } => write!(
                f,
                "{what} has a letter NUL (U+0000) in it, which a book keeps in no text; nothing was written to {path}. Write it \
                 without"
            ),
            Trouble::Moved => write!(
                f,
                "{path} was moved or deleted while it was open; nothing was written. Put it back, or bring a backup back: \
                 {RESTORE}"
            ),
            Trouble::Replaced => write!(
                f,
                "another file was put in the place of {path} while it was open; nothing was written. If that was meant, try \
                 again; to bring a backup back safely: {RESTORE}"
            ),
            Trouble::ForeignLog => write!(
                f,
                "{path} was put there by hand, and the log beside it ({path}-wal) is of another book and would spoil it; \
                 both were left as they are. Bring the backup back with: {RESTORE} (it keeps what is there now)"
            ),
            Trouble::InUse => write!(
                f,
                "{path} is open in another program; nothing was changed. Close that (a running `bench`, for example) and \
                 try again"
            ),
            Trouble::LogHeld => write!(
                f,
                "the name is gone from {path}, but its log still holds old pages; close other programs on it and forget \
                 again"
            ),
            Trouble::Away { why } => write!(
                f,
                "the server of {path} is away ({why}): nothing was recorded. Try again when it is back; a keypad logs on \
                 meanwhile, and `bevelbook bench` takes that in by itself"
            ),
            Trouble::Unsure { why } => write!(
                f,
                "the server of {path} did not say for certain that this was saved ({why}): it may be recorded or not. Before you \
                 type it again, look when the server is back: `bevelbook job list` shows a new job, `bevelbook job show JOB` \
                 the last that was recorded of one, `bevelbook station` what the station stated, `bevelbook keypad list` the keypads"
            ),
            Trouble::Unshown { why } => write!(
                f,
                "it was recorded; behind that the server of {path} went away ({why}). Do not type it again; what came of it can \
                 be looked up when the server is back"
            ),
            Trouble::Refused(refusal) => refusal.tell(f, &path),
            Trouble::NoRoles => write!(
                f,
                "{path} is a file, and knows no roles: who may read and write it is said by its folder. Roles are those of a \
                 server: --book postgres://…"
            ),
            Trouble::Entropy(source) => {
                write!(f, "no entropy for a new journal in {path}: {source}; try again later")
            }
            Trouble::Database { doing, source } => {
                write!(f, "{doing} in {path}: {source}; run the book's check")
            }
        }
    }
}
