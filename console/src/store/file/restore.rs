//! A backup brought back in the book's place.
//!
//! 1. The backup is looked over, and copied into a file in the making beside the book (`part.rs`): whole, checked, on
//!    the disk, and without a home, so that it begins a console journal of its own.
//! 2. The book is shut to all others (SQLite's exclusive lock, which waits for nobody) and its log is put into it.
//!    A book that is too damaged for that is taken as it lies.
//! 3. What the book knows and the backup does not is counted.
//! 4. The book is kept: its file gets a second, dated name, which nothing else has. So does its log, where it has one.
//! 5. The log is taken from beside the book; a foreign one would be replayed into what comes.
//! 6. The copy takes the book's name in one step, while the book is still shut.
//!
//! Cut off after any of these, there is a whole book at the path, the former or the new one; where the former was
//! damaged and cut off between 5 and 6, it lies there without its log, and whole under its dated name.

use super::connection::{keep_log, wait_for_others};
use super::opened::Opened;
use super::part::Part;
use super::paths::{beside, keep_private, sync_folder_of};
use super::{backup, mark};
use crate::store::engine::Conn;
use crate::store::error::refused;
use crate::store::fault::failed;
use crate::store::value::{Fault, Row, values};
use crate::store::{Book, Error, Health, Place, Trouble};
use bevelbook_core::record::JournalId;
use rusqlite::OpenFlags;
use std::fs;
use std::path::{Path, PathBuf};

/// What came of it, or would come of it.
#[derive(Debug)]
pub struct Restored {
    /// What the backup has.
    pub journals: Vec<Holds>,
    /// What only the former book has.
    pub missing: Vec<Holds>,
    /// Why it is not known what only the former book has, if so.
    pub former_unread: Option<String>,
    /// Where the former book is kept; none where there was none.
    pub kept: Option<PathBuf>,
    /// What a check of the restored book found; none in a trial.
    pub health: Option<Health>,
}

/// Records of one journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holds {
    /// The journal.
    pub journal: JournalId,
    /// How many.
    pub records: u32,
    /// The highest number among them.
    pub last: u32,
    /// The wall time of the newest, in milliseconds since 1970-01-01 UTC, where any has one.
    pub newest_ms: Option<i64>,
}

/// What was just done, each step whole and on the disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    Copied,
    Shut,
    Kept,
    LogCleared,
    InPlace,
}

impl Book {
    /// Brings the backup `from` back in the place of the book at `path`, and checks the book that comes of it. The
    /// former book is kept beside it, with `.before-` and `when` behind its name. A `trial` changes nothing and says
    /// what would come of it.
    ///
    /// # Errors
    /// `from` is no sound book, or the book itself; another program has the book open ([`Trouble::InUse`]); or the
    /// system refuses. Nothing is half done.
    pub fn restore(path: &Path, from: &Path, when: &str, trial: bool) -> Result<Restored, Error> {
        let kept = free_name(path, when);
        let mut restored = restore(path, from, &kept, trial, |_| ()).map_err(|trouble| {
            // The present book is taken as it lies, whatever it is.
            let of_backup = matches!(
                trouble,
                Trouble::NotABook { .. }
                    | Trouble::Damaged { .. }
                    | Trouble::Missing
                    | Trouble::ForeignLog
                    | Trouble::NewerSchema { .. }
                    | Trouble::LogUnread
            );
            trouble.at(Place::from(if of_backup { from } else { path }))
        })?;
        if !trial {
            restored.health = Some(Self::open(path)?.check()?);
        }
        Ok(restored)
    }
}

pub(super) fn restore(
    path: &Path,
    from: &Path,
    kept: &Path,
    trial: bool,
    mut done: impl FnMut(Step),
) -> Result<Restored, Trouble> {
    let there = path.try_exists().map_err(refused("cannot look at", path))?;
    let canonical = |path: &Path| fs::canonicalize(path).map_err(refused("cannot find", path));
    if there && from.exists() && canonical(path)? == canonical(from)? {
        return Err(Trouble::Itself);
    }
    let source = Book::look(from).map_err(|error| error.trouble)?;
    let source = &source.reader.conn;
    let part = Part::of(path)?;
    backup::fill(source, part.path())?;
    done(Step::Copied);
    let journals = holds(source, "main.record r").map_err(failed("cannot count the backup's records"))?;
    let mut restored = Restored {
        journals,
        missing: Vec::new(),
        former_unread: None,
        kept: there.then(|| kept.into()),
        health: None,
    };
    // Shut until the copy is in its place.
    let shut = if there { shut(path)? } else { Shut::Nobody };
    done(Step::Shut);
    match &shut {
        Shut::Whole(former) => match missing(former, part.path()) {
            Ok(missing) => restored.missing = missing,
            Err(why) => restored.former_unread = Some(why.to_string()),
        },
        Shut::Unread(why) => restored.former_unread = Some(why.clone()),
        Shut::Nobody => {}
    }
    if trial {
        return Ok(restored);
    }
    if there {
        keep(path, kept)?;
    }
    done(Step::Kept);
    for log in LOGS {
        remove(&beside(path, log))?;
    }
    done(Step::LogCleared);
    part.finish(path)?;
    done(Step::InPlace);
    Ok(restored)
}

/// What SQLite keeps beside a book.
const LOGS: [&str; 3] = ["-wal", "-shm", "-journal"];

/// A book that nobody else can open.
enum Shut {
    /// Its log is in its file; the connection holds the lock.
    Whole(Conn),
    /// It cannot be read as a book, and why.
    Unread(String),
    /// There is none.
    Nobody,
}

/// Shuts the book at `path` to all others.
fn shut(path: &Path) -> Result<Shut, Trouble> {
    match Opened::at(path).and_then(|_| mark::look(path)).and_then(|()| shut_book(path)) {
        Ok(conn) => Ok(Shut::Whole(conn)),
        Err(Trouble::Busy) => Err(Trouble::InUse),
        Err(trouble @ (Trouble::Damaged { .. } | Trouble::NotABook { .. } | Trouble::ForeignLog)) => {
            Ok(Shut::Unread(trouble.at(Place::from(path)).to_string()))
        }
        Err(other) => Err(other),
    }
}

fn shut_book(path: &Path) -> Result<Conn, Trouble> {
    let failed = failed("cannot close the book to others");
    let conn = Conn::file(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    // Whoever opens the book only for a moment is waited for.
    wait_for_others(&conn, 1).map_err(failed)?;
    // When this connection is closed, another book is in its place.
    keep_log(&conn, true).map_err(failed)?;
    // The lock is SQLite's own on the file: every open book holds its shared side, other programs' too.
    conn.first("PRAGMA locking_mode = EXCLUSIVE", values![], |_| Ok(())).map_err(failed)?;
    conn.batch("BEGIN EXCLUSIVE; COMMIT").map_err(failed)?;
    let busy: bool = conn.value("PRAGMA wal_checkpoint(TRUNCATE)", values![]).map_err(failed)?;
    if busy { Err(Trouble::Busy) } else { Ok(conn) }
}

/// The records that only `former` has, and not the book at `copy`.
fn missing(former: &Conn, copy: &Path) -> Result<Vec<Holds>, Fault> {
    let copy = copy.to_str().ok_or_else(|| rusqlite::Error::InvalidPath(copy.into()))?;
    former.execute("ATTACH ?1 AS copy", values![copy])?;
    let only = "main.record r WHERE NOT EXISTS
                (SELECT 1 FROM copy.record c WHERE c.journal = r.journal AND c.seq = r.seq)";
    let missing = holds(former, only);
    former.batch("DETACH copy")?;
    missing
}

/// The records of `r`, by journal.
fn holds(conn: &Conn, from: &str) -> Result<Vec<Holds>, Fault> {
    let sql = format!("SELECT r.journal, count(*), max(r.seq), max(r.utc_ms) FROM {from} GROUP BY r.journal");
    let holds = |r: &Row<'_>| {
        Ok(Holds { journal: r.get(0)?, records: r.get(1)?, last: r.get(2)?, newest_ms: r.get(3)? })
    };
    conn.rows(&sql, values![], holds)
}

/// A name beside the book that nothing has yet.
fn free_name(path: &Path, when: &str) -> PathBuf {
    let (mut name, mut more) = (beside(path, &format!(".before-{when}")), 1);
    while name.exists() {
        more += 1;
        name = beside(path, &format!(".before-{when}-{more}"));
    }
    name
}

/// Gives the book and what lies beside it a second name, `kept`, which nothing may have yet.
fn keep(path: &Path, kept: &Path) -> Result<(), Trouble> {
    for log in ["-wal", "-journal"] {
        let (log, kept) = (beside(path, log), beside(kept, log));
        if fs::metadata(&log).is_ok_and(|log| log.len() > 0) {
            second_name(&log, &kept)?;
        }
    }
    second_name(path, kept)?;
    keep_private(kept)?;
    sync_folder_of(kept)
}

/// A file gets a second name; where a file can have only one, it moves.
fn second_name(file: &Path, name: &Path) -> Result<(), Trouble> {
    match fs::hard_link(file, name) {
        Err(e) if e.kind() != std::io::ErrorKind::AlreadyExists => {
            if name.exists() {
                Err(e)
            } else {
                fs::rename(file, name)
            }
        }
        linked => linked,
    }
    .map_err(refused("cannot keep the former book as", name))
}

fn remove(file: &Path) -> Result<(), Trouble> {
    match fs::remove_file(file) {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(refused("cannot remove", file)(e)),
        _ => Ok(()),
    }
}
