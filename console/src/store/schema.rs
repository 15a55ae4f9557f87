//! The tables of a book, how an older book becomes a newer one, and what is not a book.
//!
//! A book is known by SQLite's `application_id`; `user_version` is the number of migrations it has had. A book
//! made by newer software is refused; an older one is backed up beside itself and migrated, each migration once,
//! all in one immediate transaction, so that two consoles opening at once do it once.
//!
//! - `journal`: every journal with records here or begun here.
//! - `home`: at most one row, the journal this book's consoles write, and the fingerprint of where they do.
//! - `record`: the records. `position` is the order of commits in this book. Nothing here is ever changed:
//!   triggers refuse UPDATE, DELETE, and an INSERT over an existing row (the last one also for a program that
//!   has not set `recursive_triggers`, without which INSERT OR REPLACE would pass the others).
//! - `conflict`: records that arrived under a number already taken by a different record. Never changed either.
//! - `person`: names, apart from records, so that a person can be forgotten.
//!
//! 64-bit ids are kept bit-cast in SQLite's signed integers.

use super::place::beside;
use super::{Error, backup};
use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};
use std::path::Path;
use std::time::Duration;

/// `BvlB`: marks a SQLite file as a book. Own choice.
pub(super) const APPLICATION_ID: i64 = 0x4276_6c42;

/// The steps from an empty database to the newest schema; step n leads to schema version n + 1.
pub(super) const MIGRATIONS: &[&str] = &[include_str!("schema_1.sql")];

/// The newest schema version this program knows.
pub(super) const KNOWN: i64 = MIGRATIONS.len().cast_signed() as i64;

/// What a file turned out to be.
enum Found {
    /// No tables and no marks: a book may begin here.
    Nothing,
    /// A book of this schema version.
    Book(i64),
}

/// Looks at the file without the right to write, so that a file that is no book stays exactly as it is.
pub(super) fn look(path: &Path) -> Result<(), Error> {
    if !path.exists() {
        return Err(Error::Missing { path: path.to_path_buf() });
    }
    if path.is_dir() {
        return Err(Error::NotABook { path: path.to_path_buf(), found: "a folder".to_owned() });
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let looked = Connection::open_with_flags(path, flags).and_then(|conn| {
        conn.busy_timeout(Duration::from_secs(super::error::BUSY_S))?;
        marks(&conn)
    });
    match looked {
        Ok(marks) => understand(path, marks).map(drop),
        // An unfinished write needs a writer to tidy it first; the same question is asked again then.
        Err(e) if e.sqlite_error_code() == Some(ErrorCode::ReadOnly) => Ok(()),
        Err(e) => Err(Error::database(path, "cannot look", e)),
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

fn understand(path: &Path, (application, version, objects): (i64, i64, i64)) -> Result<Found, Error> {
    match (application, version, objects) {
        (APPLICATION_ID, 1.., _) => Ok(Found::Book(version)),
        (0, 0, 0) => Ok(Found::Nothing),
        _ => {
            let found = format!("a SQLite database with application id {application}, schema {version}");
            Err(Error::NotABook { path: path.to_path_buf(), found })
        }
    }
}

/// The schema version a connection finds now, 0 for an empty database.
fn version(conn: &Connection, path: &Path, known: i64) -> Result<i64, Error> {
    let marks = marks(conn).map_err(|e| Error::database(path, "cannot look", e))?;
    match understand(path, marks)? {
        Found::Nothing => Ok(0),
        Found::Book(found) if found > known => {
            Err(Error::NewerSchema { path: path.to_path_buf(), found, known })
        }
        Found::Book(found) => Ok(found),
    }
}

/// Refuses to write when another program has meanwhile given the book a schema this one does not know.
pub(super) fn still_known(conn: &Connection, path: &Path) -> Result<(), Error> {
    version(conn, path, KNOWN).map(drop)
}

/// Brings the database to the newest of `migrations`. Where that is already so, nothing is written.
pub(super) fn migrate(conn: &Connection, path: &Path, migrations: &[&str]) -> Result<(), Error> {
    let known = migrations.len().cast_signed() as i64;
    if version(conn, path, known)? == known {
        return Ok(());
    }
    let failed = |e| Error::database(path, "cannot make the tables", e);
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(failed)?;
    // Asked again with the write lock held: another console may have been first.
    let found = version(&tx, path, known)?;
    if found == known {
        return Ok(());
    }
    if found > 0 {
        // A second connection reads what is committed while this one holds the lock, so nothing slips between.
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let source = Connection::open_with_flags(path, flags).map_err(failed)?;
        backup::copy(&source, path, &beside(path, &format!(".schema-{found}")))?;
    }
    for (step, sql) in (1_i64..).zip(migrations) {
        if step > found {
            tx.execute_batch(sql).map_err(failed)?;
        }
    }
    tx.pragma_update(None, "application_id", APPLICATION_ID).map_err(failed)?;
    tx.pragma_update(None, "user_version", known).map_err(failed)?;
    tx.commit().map_err(failed)
}

/// The tables, indexes and triggers of a database, by name, with the text that made them.
pub(super) fn objects(conn: &Connection) -> rusqlite::Result<Vec<(String, String)>> {
    let sql =
        "SELECT name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY name";
    conn.prepare(sql)?.query_map([], |r| Ok((r.get(0)?, r.get(1)?)))?.collect()
}

/// The same of an intact book of the newest schema.
pub(super) fn intact_objects() -> rusqlite::Result<Vec<(String, String)>> {
    let conn = Connection::open_in_memory()?;
    for sql in MIGRATIONS {
        conn.execute_batch(sql)?;
    }
    objects(&conn)
}
