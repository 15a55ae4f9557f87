//! The book: a SQLite database that is the union of journals.
//!
//! A record goes in once and is never changed or removed; the order of commits in the book is the order between
//! journals ([`Entry::position`]). This module knows nothing of what a record says: to it a record is an id,
//! a kind code, a job to find it by, and bytes. SQL stays in here.
//!
//! - Any number of consoles may write to one book. A write is a closure inside an immediate transaction
//!   ([`Book::write`]); this console's numbers are allotted in there, so they have no gaps and no doubles.
//! - What a call has returned for is on the disk: write-ahead log, `synchronous = FULL`. A record may be
//!   acknowledged to a keypad only after [`Book::write`] has returned `Ok`.
//! - After an error from a write, drop the book and open it again before anything else is relied upon.
//! - Local disks only: a write-ahead log cannot be shared over a network.
//! - A book that was copied or put back begins a new console journal when it is next opened (`place.rs`).
//!
//! Files: `mark` what is a book · `schema` tables · `migrate`, `schema_2` from older ones · `chain` digests ·
//! `place` path, permissions, fingerprint · `opened` whether it is still there · `look` reading it as it lies ·
//! `part` a file in the making · `home` this console's journal · `entry` what a record is here ·
//! `found` what jobs are found by · `read`, `apart` · `write` ·
//! `people` names · `check` what is in it · `verify`, `walk` what is wrong with it · `backup` · `daily` · `export`, `lines` · `forget` · `restore` ·
//! `error`.

mod apart;
mod backup;
mod chain;
mod check;
mod daily;
mod entry;
mod error;
mod export;
mod forget;
mod found;
mod home;
mod lines;
mod look;
mod mark;
mod migrate;
mod opened;
mod part;
mod people;
mod place;
mod read;
mod restore;
mod schema;
mod schema_2;
#[cfg(test)]
mod tests;
mod verify;
mod walk;
mod write;

pub use check::Health;
pub use daily::{Backup, backups_of};
pub use entry::{Entry, Imported, NewEntry, Received};
pub use error::{Error, Trouble};
pub use export::Unread;
pub use forget::{Forgotten, copies_of};
pub use found::{Stray, Upto, Words};
pub use lines::{Counts, ImportError, Merged};
pub use place::{NoDataFolder, default_book_path};
pub use read::Reader;
pub use restore::{Holds, Restored};
pub use write::Tx;

use opened::Opened;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// An open book. Reads are those of [`Reader`].
#[derive(Debug)]
pub struct Book {
    reader: Reader,
    /// What keeps the log of a book that is looked into. Fields are dropped in this order.
    _log: Option<Connection>,
    /// Dropped behind the connections.
    opened: Opened,
}

impl std::ops::Deref for Book {
    type Target = Reader;

    fn deref(&self) -> &Reader {
        &self.reader
    }
}

impl Drop for Book {
    fn drop(&mut self) {
        // Closing puts the log into the file; not where that is another book by now, or the log another's.
        if matches!(self.opened.still_written_at(self.path()), Err(Trouble::Replaced)) {
            let _ = keep_log(&self.reader.conn, true);
        }
    }
}

impl Book {
    /// Opens the book at `path` to read and to write. An older book is backed up beside itself (`.schema-N` behind its
    /// name) and brought to the newest schema.
    ///
    /// # Errors
    /// There is no file ([`Trouble::Missing`]), it is no book ([`Trouble::NotABook`], the file stays untouched), it
    /// was written by newer software ([`Trouble::NewerSchema`]), or the system refuses.
    pub fn open(path: &Path) -> Result<Self, Error> {
        let (conn, opened) = connect(path).map_err(|trouble| trouble.at(path))?;
        Ok(Self { reader: Reader::new(conn, path), _log: None, opened })
    }

    /// Opens the book at `path` to look into it (`look.rs`): every write to it fails, and nothing is changed, made or
    /// left anywhere. An older book is read as it is.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn look(path: &Path) -> Result<Self, Error> {
        let (conn, log, opened) = look::connect(path).map_err(|trouble| trouble.at(path))?;
        Ok(Self { reader: Reader::new(conn, path), _log: log, opened })
    }

    /// Begins a book at `path`, and its folder where that is missing; `false` where something is there already.
    ///
    /// # Errors
    /// The folder or the file cannot be made.
    pub fn begin(path: &Path) -> Result<bool, Error> {
        migrate::begin(path).map_err(|trouble| trouble.at(path))
    }

    /// Opens the book at `path`, which is begun where nothing is there.
    ///
    /// # Errors
    /// As [`Book::begin`] and [`Book::open`].
    pub fn open_or_begin(path: &Path) -> Result<Self, Error> {
        Self::begin(path)?;
        Self::open(path)
    }
}

/// A connection to the book at `path`, its schema the newest, its file private, its journal begun.
fn connect(path: &Path) -> Result<(Connection, Opened), Trouble> {
    let opened = Opened::at(path)?;
    mark::look(path)?;
    let failed = error::failed("cannot open");
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags).map_err(failed)?;
    conn.busy_timeout(Duration::from_secs(error::BUSY_S)).map_err(failed)?;
    // Until it is known that the log is this file's: a book may be restored while this one waits for its lock.
    keep_log(&conn, true).map_err(failed)?;
    mark::version(&conn, schema::KNOWN)?;
    opened.still_at(path)?;
    // Each holds for this connection only. secure_delete: a forgotten name is overwritten, not only unlinked.
    for (pragma, value) in [
        ("foreign_keys", "ON"),
        ("trusted_schema", "OFF"),
        ("recursive_triggers", "ON"),
        ("secure_delete", "ON"),
        ("synchronous", "FULL"),
    ] {
        conn.pragma_update(None, pragma, value).map_err(failed)?;
    }
    migrate::migrate(&conn, path, schema::MIGRATIONS)?;
    use_write_ahead_log(&conn)?;
    opened.still_at(path)?;
    keep_log(&conn, false).map_err(failed)?;
    place::keep_private(path)?;
    home::settle(&conn, path)?;
    drop(part::sweep(crate::file::folder_of(path)));
    Ok((conn, opened))
}

/// Whether the connection leaves the log as it is when it is closed, instead of putting it into the file.
fn keep_log(conn: &Connection, keep: bool) -> rusqlite::Result<()> {
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, keep).map(drop)
}

/// Puts the book into write-ahead mode, which it then keeps. SQLite mostly waits by itself for the lock this
/// needs; where it fears a deadlock with another opener it gives up at once, so that is tried again.
fn use_write_ahead_log(conn: &Connection) -> Result<(), Trouble> {
    let begun = Instant::now();
    loop {
        let mode = conn.query_row("PRAGMA journal_mode = WAL", [], |r| r.get::<_, String>(0));
        match mode.map_err(error::failed("cannot begin the log")) {
            Ok(mode) if mode.eq_ignore_ascii_case("wal") => return Ok(()),
            Ok(mode) => return Err(Trouble::NoWriteAheadLog { mode }),
            Err(Trouble::Busy) if begun.elapsed() < Duration::from_secs(error::BUSY_S) => {
                sleep(Duration::from_millis(20));
            }
            Err(other) => return Err(other),
        }
    }
}
