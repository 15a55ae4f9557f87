//! Opening a book to look into it: nothing is written, neither to its file nor beside it.
//!
//! - A book that is in use has a log; what was committed last stands in there and is read with it. It is opened with no
//!   right to write, so the log is not put into the book either, whoever left it.
//! - A book at rest has none. To be read under SQLite's locks it needs one, which a second connection makes, keeps and
//!   removes again. Where the file or its folder may not be written, nobody is writing, and the file is read as one that
//!   does not change.
//! - A backup needs no log at all.
//! - A book of an older schema is read as it is, what it lacks filled in by views that last as long as the connection.

use super::connection::wait_for_others;
use super::opened::{Opened, has_log};
use super::{mark, paths, schema};
use crate::store::Trouble;
use crate::store::engine::Conn;
use crate::store::error::BUSY_S;
use crate::store::fault::failed;
use rusqlite::{MAIN_DB, OpenFlags};
use std::path::Path;

const LOOKING: &str = "cannot look";

/// What schema 1 lacks for the reads of this version.
const VIEWS_OF_SCHEMA_1: &str = "CREATE TEMP VIEW record AS SELECT *, NULL AS apart FROM main.record;
                                 CREATE TEMP VIEW conflict AS SELECT *, NULL AS apart FROM main.conflict;";

/// What schema 2 lacks.
const VIEWS_OF_SCHEMA_2: &str = "CREATE TEMP VIEW leap AS
                                 SELECT journal, seq FROM main.record AS late WHERE seq > 1 AND NOT EXISTS (
                                     SELECT 1 FROM main.record WHERE journal = late.journal AND seq = late.seq - 1);";

/// A book that is looked into. What keeps its log is dropped behind what reads it.
pub(in crate::store) struct Looking {
    pub(in crate::store) conn: Conn,
    pub(in crate::store) log: Option<Conn>,
    pub(in crate::store) opened: Opened,
    /// Whether its schema has no words to find jobs by.
    pub(in crate::store) wordless: bool,
}

/// Connections that only read the book at `path`.
pub(in crate::store) fn look(path: &Path) -> Result<Looking, Trouble> {
    let opened = Opened::at(path)?;
    mark::look(path)?;
    let log = kept_log(path, &opened)?;
    let conn = reading(path, &opened)?;
    let failed = failed(LOOKING);
    let schema = mark::version(&conn, schema::KNOWN)?;
    conn.batch("PRAGMA trusted_schema = OFF; PRAGMA temp_store = MEMORY").map_err(failed)?;
    if schema < schema::DIGESTS {
        conn.batch(VIEWS_OF_SCHEMA_1).map_err(failed)?;
    }
    if schema < schema::WORDS {
        conn.batch(VIEWS_OF_SCHEMA_2).map_err(failed)?;
    }
    opened.still_at(path)?;
    Ok(Looking { conn, log, opened, wordless: schema < schema::WORDS })
}

/// What makes the log of a book at rest, and removes it again; none where there is one, or none can be made.
fn kept_log(path: &Path, opened: &Opened) -> Result<Option<Conn>, Trouble> {
    if !opened.is_write_ahead() || paths::beside(path, "-wal").exists() {
        return Ok(None);
    }
    let conn = open(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    if matches!(&conn, Conn::File(file) if file.is_readonly(MAIN_DB).unwrap_or(true)) {
        return Ok(None);
    }
    match mark::version(&conn, i64::MAX) {
        Ok(_) => Ok(Some(conn)),
        Err(Trouble::Unopened(_) | Trouble::ReadOnly) => Ok(None),
        Err(trouble) => Err(trouble),
    }
}

/// What reads the book, as one that does not change where nobody can write to it.
fn reading(path: &Path, opened: &Opened) -> Result<Conn, Trouble> {
    let read_only = OpenFlags::SQLITE_OPEN_READ_ONLY;
    if !opened.is_write_ahead() || paths::beside(path, "-wal").exists() {
        let conn = open(path, read_only)?;
        match mark::version(&conn, i64::MAX) {
            Ok(_) => return Ok(conn),
            Err(Trouble::Unopened(_) | Trouble::ReadOnly) if has_log(path) => return Err(Trouble::LogUnread),
            Err(Trouble::Unopened(_) | Trouble::ReadOnly) => {}
            Err(trouble) => return Err(trouble),
        }
    }
    open(Path::new(&unchanging(path)?), read_only | OpenFlags::SQLITE_OPEN_URI)
}

fn open(path: &Path, flags: OpenFlags) -> Result<Conn, Trouble> {
    let conn = Conn::file(path, flags).map_err(failed(LOOKING))?;
    wait_for_others(&conn, BUSY_S).map_err(failed(LOOKING))?;
    Ok(conn)
}

/// The file as SQLite is told that it does not change (uri.html, `immutable`).
fn unchanging(path: &Path) -> Result<String, Trouble> {
    let whole = std::path::absolute(path).map_err(crate::store::error::refused("cannot find", path))?;
    let letter = |byte: &u8| match byte {
        b'/' | b'.' | b'_' | b'-' => char::from(*byte).to_string(),
        byte if byte.is_ascii_alphanumeric() => char::from(*byte).to_string(),
        byte => format!("%{byte:02x}"),
    };
    let letters: String = whole.as_os_str().as_encoded_bytes().iter().map(letter).collect();
    Ok(format!("file:{letters}?immutable=1"))
}
