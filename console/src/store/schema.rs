//! The tables of a book, and how an older book becomes a newer one.
//!
//! A book made by newer software is refused; an older one is backed up beside itself and migrated, each migration
//! once, all in one immediate transaction, so that two consoles opening at once do it once.
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

use super::mark::{APPLICATION_ID, version};
use super::place::beside;
use super::{Trouble, backup, error};
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};
use std::path::Path;

/// The steps from an empty database to the newest schema; step n leads to schema version n + 1.
pub(super) const MIGRATIONS: &[&str] = &[include_str!("schema_1.sql")];

/// The newest schema version this program knows.
pub(super) const KNOWN: i64 = MIGRATIONS.len().cast_signed() as i64;

/// Refuses to write when another program has meanwhile given the book a schema this one does not know.
pub(super) fn still_known(conn: &Connection) -> Result<(), Trouble> {
    version(conn, KNOWN).map(drop)
}

/// Brings the database to the newest of `migrations`. Where that is already so, nothing is written.
pub(super) fn migrate(conn: &Connection, path: &Path, migrations: &[&str]) -> Result<(), Trouble> {
    let known = migrations.len().cast_signed() as i64;
    if version(conn, known)? == known {
        return Ok(());
    }
    let failed = error::failed("cannot make the tables");
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(failed)?;
    // Asked again with the write lock held: another console may have been first.
    let found = version(&tx, known)?;
    if found == known {
        return Ok(());
    }
    if found > 0 {
        // A second connection reads what is committed while this one holds the lock, so nothing slips between.
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let source = Connection::open_with_flags(path, flags).map_err(failed)?;
        backup::copy(&source, &beside(path, &format!(".schema-{found}")))?;
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
