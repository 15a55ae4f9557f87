//! What marks a SQLite file as a book: its `application_id`, and in `user_version` the number of migrations it has had.

use super::Trouble;
use super::error::{BUSY_S, failed};
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::path::Path;
use std::time::Duration;

/// `BvlB`: marks a SQLite file as a book. Own choice.
pub(super) const APPLICATION_ID: i64 = 0x4276_6c42;

/// Looks at the file without the right to write, so that a file that is no book stays exactly as it is.
pub(super) fn look(path: &Path) -> Result<(), Trouble> {
    if !path.exists() {
        return Err(Trouble::Missing);
    }
    if path.is_dir() {
        return Err(Trouble::NotABook { found: "a folder".to_owned() });
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let looked = Connection::open_with_flags(path, flags).and_then(|conn| {
        conn.busy_timeout(Duration::from_secs(BUSY_S))?;
        marks(&conn)
    });
    match looked {
        Ok(marks) => understand(marks).map(drop),
        // An unfinished write needs a writer to tidy it first; the same question is asked again then.
        Err(e) if e.sqlite_error_code() == Some(ErrorCode::ReadOnly) => Ok(()),
        Err(e) => Err(failed("cannot look")(e)),
    }
}

/// `application_id`, `user_version` and the number of schema objects.
fn marks(conn: &Connection) -> rusqlite::Result<(i64, i64, i64)> {
    // One statement, hence one moment: another console may be making the book just now.
    conn.query_row(
        "SELECT a.application_id, v.user_version, (SELECT count(*) FROM sqlite_schema)
         FROM pragma_application_id a, pragma_user_version v",
        [],
        |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?)),
    )
}

/// The schema version that the marks tell, 0 for an empty database.
fn understand((application, version, objects): (i64, i64, i64)) -> Result<i64, Trouble> {
    match (application, version, objects) {
        (APPLICATION_ID, 1.., _) => Ok(version),
        // A book may begin here.
        (0, 0, 0) => Ok(0),
        _ => {
            let found = format!("a SQLite database with application id {application}, schema {version}");
            Err(Trouble::NotABook { found })
        }
    }
}

/// The schema version a connection finds now, 0 for an empty database; `known` is the newest that it may be.
pub(super) fn version(conn: &Connection, known: i64) -> Result<i64, Trouble> {
    match understand(marks(conn).map_err(failed("cannot look"))?)? {
        found if found > known => Err(Trouble::NewerSchema { found, known }),
        found => Ok(found),
    }
}
