//! What marks a SQLite file as a book: its `application_id`, and in `user_version` the number of migrations it has had.

use super::opened;
use crate::store::Trouble;
use crate::store::engine::Conn;
use crate::store::fault::failed;
use crate::store::value::{Fault, values};
use std::path::Path;

/// `BvlB`: marks a SQLite file as a book. Own choice.
pub(super) const APPLICATION_ID: i64 = 0x4276_6c42;

/// How every database of SQLite begins (its file format, section 1.3).
const BEGINNING: &[u8] = b"SQLite format 3\0";

/// Whether a file is a database, and hence a book or nothing that is known here.
#[must_use]
pub fn is_database(path: &Path) -> bool {
    opened::header(path).is_ok_and(|header| header.starts_with(BEGINNING))
}

/// Looks at the file's header, before SQLite touches it: a file that is no book stays exactly as it is. The header is
/// SQLite's file format, section 1.3; a book has its mark from its beginning on.
pub(in crate::store) fn look(path: &Path) -> Result<(), Trouble> {
    let header = opened::header(path)?;
    let number = |at: usize| {
        let bytes = header.get(at..at + 4).and_then(|bytes| bytes.try_into().ok());
        i64::from(bytes.map_or(0, i32::from_be_bytes))
    };
    let found = match (number(68), number(60)) {
        _ if header.is_empty() => "an empty file".to_owned(),
        _ if !header.starts_with(BEGINNING) => "not a SQLite database".to_owned(),
        (APPLICATION_ID, _) => return Ok(()),
        (application, version) => database(application, version),
    };
    Err(Trouble::NotABook { found })
}

fn database(application: i64, version: i64) -> String {
    format!("a SQLite database with application id {application}, schema {version}")
}

/// `application_id`, `user_version` and the number of schema objects.
fn marks(conn: &Conn) -> Result<(i64, i64, i64), Fault> {
    // One statement, hence one moment: another console may be making the book just now.
    let sql = "SELECT a.application_id, v.user_version, (SELECT count(*) FROM sqlite_schema)
               FROM pragma_application_id a, pragma_user_version v";
    conn.first(sql, values![], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?)))?.ok_or(Fault::Column(0))
}

/// The schema version that the marks tell, 0 for an empty database.
fn understand((application, version, objects): (i64, i64, i64)) -> Result<i64, Trouble> {
    match (application, version, objects) {
        (APPLICATION_ID, 1.., _) => Ok(version),
        // A book may begin here.
        (0, 0, 0) => Ok(0),
        _ => Err(Trouble::NotABook { found: database(application, version) }),
    }
}

/// The schema version a connection finds now, 0 for an empty database; `known` is the newest that it may be.
pub(in crate::store) fn version(conn: &Conn, known: i64) -> Result<i64, Trouble> {
    match understand(marks(conn).map_err(failed("cannot look"))?)? {
        found if found > known => Err(Trouble::NewerSchema { found, known }),
        found => Ok(found),
    }
}
