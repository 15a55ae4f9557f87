//! A book in a file of this machine: SQLite, with nothing to set up.
//!
//! - What a call has returned for is on the disk: write-ahead log, `synchronous = FULL`.
//! - Local disks only: a write-ahead log cannot be shared over a network.
//! - A book that was copied or put back begins a new console journal when it is next opened (`paths.rs`).
//!
//! Files: `connection` a connection to a file · `default` where it is unless said otherwise · `mark` what is a book · `schema` tables · `migrate`, `schema_2` from older ones · `paths` its path, permissions,
//! fingerprint · `opened` whether it is still there · `look` reading it as it lies · `part` a file in the making · `home` this
//! console's journal · `sound` what SQLite itself finds wrong · `backup` · `daily` · `forget` · `restore`.

pub(super) mod backup;
mod connection;
mod daily;
mod default;
mod forget;
pub(super) mod home;
mod look;
pub(super) mod mark;
mod migrate;
mod opened;
mod part;
pub(super) mod paths;
mod restore;
pub(super) mod schema;
mod schema_2;
pub(super) mod sound;
#[cfg(test)]
mod tests;

pub(super) use connection::keep_log;
pub use daily::{Backup, backups_of};
pub use default::{NoDataFolder, default_book_path};
pub use forget::{Forgotten, copies_of};
pub(super) use look::look;
pub use mark::is_database;
pub(super) use migrate::{begin, migrate};
pub(super) use opened::Opened;
pub(super) use part::Part;
pub use restore::{Holds, Restored};

use super::engine::Conn;
use super::value::values;
use super::{Trouble, error, fault};
use connection::wait_for_others;
use rusqlite::OpenFlags;
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// A connection that writes the book at `path`, its schema the newest, its file private, its journal begun.
pub(super) fn open(path: &Path) -> Result<(Conn, Opened), Trouble> {
    let opened = Opened::at(path)?;
    mark::look(path)?;
    let failed = fault::failed("cannot open");
    let conn = Conn::file(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    wait_for_others(&conn, error::BUSY_S).map_err(failed)?;
    // Until it is known that the log is this file's: a book may be restored while this one waits for its lock.
    keep_log(&conn, true).map_err(failed)?;
    mark::version(&conn, schema::KNOWN)?;
    opened.still_at(path)?;
    // Each holds for this connection only. secure_delete: a forgotten name is overwritten, not only unlinked.
    let settings = "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF; PRAGMA recursive_triggers = ON;
                    PRAGMA secure_delete = ON; PRAGMA synchronous = FULL";
    conn.batch(settings).map_err(failed)?;
    migrate(&conn, path, schema::MIGRATIONS)?;
    use_write_ahead_log(&conn)?;
    opened.still_at(path)?;
    keep_log(&conn, false).map_err(failed)?;
    paths::keep_private(path)?;
    home::settle(&conn, path)?;
    drop(part::sweep(crate::file::folder_of(path)));
    Ok((conn, opened))
}

/// Puts the book into write-ahead mode, which it then keeps. SQLite mostly waits by itself for the lock this
/// needs; where it fears a deadlock with another opener it gives up at once, so that is tried again.
fn use_write_ahead_log(conn: &Conn) -> Result<(), Trouble> {
    let begun = Instant::now();
    loop {
        let mode = conn.value::<String>("PRAGMA journal_mode = WAL", values![]);
        match mode.map_err(fault::failed("cannot begin the log")) {
            Ok(mode) if mode.eq_ignore_ascii_case("wal") => return Ok(()),
            Ok(mode) => return Err(Trouble::NoWriteAheadLog { mode }),
            Err(Trouble::Busy) if begun.elapsed() < Duration::from_secs(error::BUSY_S) => {
                sleep(Duration::from_millis(20));
            }
            Err(other) => return Err(other),
        }
    }
}
