//! Opening a book to look into it: nothing is written, neither to its file nor beside it.
//!
//! - A book that is in use has a log; what was committed last stands in there and is read with it. It is opened with no
//!   right to write, so the log is not put into the book either, whoever left it.
//! - A book at rest has none. To be read under SQLite's locks it needs one, which is made and removed again; the
//!   connection may do that and refuses everything else. Where the file or its folder may not be written, nobody is
//!   writing, and the file is read as one that does not change.
//! - A backup needs no log at all.
//! - A book of an older schema is read as it is, what it lacks filled in by views that last as long as the connection.

use super::error::{BUSY_S, failed};
use super::opened::{Opened, has_log};
use super::{Trouble, mark, place, schema};
use rusqlite::{Connection, MAIN_DB, OpenFlags};
use std::path::Path;
use std::time::Duration;

const LOOKING: &str = "cannot look";

/// What schema 1 lacks for the reads of this version.
const VIEWS_OF_SCHEMA_1: &str = "CREATE TEMP VIEW record AS SELECT *, NULL AS apart FROM main.record;
                                 CREATE TEMP VIEW conflict AS SELECT *, NULL AS apart FROM main.conflict;";

/// A connection that only reads the book at `path`.
pub(super) fn connect(path: &Path) -> Result<(Connection, Opened), Trouble> {
    let opened = Opened::at(path)?;
    mark::look(path)?;
    let conn = reading(path, &opened)?;
    let failed = failed(LOOKING);
    let schema = mark::version(&conn, schema::KNOWN)?;
    conn.pragma_update(None, "trusted_schema", "OFF").map_err(failed)?;
    if schema < schema::DIGESTS {
        conn.pragma_update(None, "temp_store", "MEMORY").map_err(failed)?;
        conn.execute_batch(VIEWS_OF_SCHEMA_1).map_err(failed)?;
    }
    conn.pragma_update(None, "query_only", "ON").map_err(failed)?;
    opened.still_at(path)?;
    Ok((conn, opened))
}

fn reading(path: &Path, opened: &Opened) -> Result<Connection, Trouble> {
    let read_only = OpenFlags::SQLITE_OPEN_READ_ONLY;
    let at_rest = opened.is_write_ahead() && !place::beside(path, "-wal").exists();
    let tried = if at_rest {
        let conn = open(path, OpenFlags::SQLITE_OPEN_READ_WRITE);
        conn.map(|conn| (!conn.is_readonly(MAIN_DB).unwrap_or(true)).then_some(conn))
    } else {
        open(path, read_only).map(Some)
    };
    match tried.and_then(|conn| conn.map(|conn| mark::version(&conn, i64::MAX).map(|_| conn)).transpose()) {
        Ok(Some(conn)) => Ok(conn),
        // Nobody who may write is there, and no log to be read with it.
        Ok(None) | Err(Trouble::Unopened(_) | Trouble::ReadOnly) if !has_log(path) => {
            open(Path::new(&unchanging(path)?), read_only | OpenFlags::SQLITE_OPEN_URI)
        }
        Ok(None) => open(path, read_only),
        Err(Trouble::Unopened(_) | Trouble::ReadOnly) => Err(Trouble::LogUnread),
        Err(trouble) => Err(trouble),
    }
}

fn open(path: &Path, flags: OpenFlags) -> Result<Connection, Trouble> {
    let conn = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX);
    let conn = conn.map_err(failed(LOOKING))?;
    conn.busy_timeout(Duration::from_secs(BUSY_S)).map_err(failed(LOOKING))?;
    Ok(conn)
}

/// The file as SQLite is told that it does not change (uri.html, `immutable`).
fn unchanging(path: &Path) -> Result<String, Trouble> {
    let whole = std::path::absolute(path).map_err(super::error::refused("cannot find", path))?;
    let letter = |byte: &u8| match byte {
        b'/' | b'.' | b'_' | b'-' => char::from(*byte).to_string(),
        byte if byte.is_ascii_alphanumeric() => char::from(*byte).to_string(),
        byte => format!("%{byte:02x}"),
    };
    let letters: String = whole.as_os_str().as_encoded_bytes().iter().map(letter).collect();
    Ok(format!("file:{letters}?immutable=1"))
}
