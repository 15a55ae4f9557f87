//! The tables of a book.
//!
//! - `journal`: every journal with records here or begun here.
//! - `home`: at most one row, the journal this book's consoles write, and the fingerprint of where they do.
//! - `record`: the records. `position` is the order of commits in this book. Nothing here is ever changed:
//!   triggers refuse UPDATE, DELETE, and an INSERT over an existing row (the last one also for a program that
//!   has not set `recursive_triggers`, without which INSERT OR REPLACE would pass the others). A record that is kept
//!   `apart` does not count; it is there for its number.
//! - `conflict`: records that arrived under a number already taken by a different record. Never changed either.
//! - `chain`: how many records each journal has here and the digest of the last (`chain.rs`).
//! - `found_by`, `found_upto`: what jobs are found by, and up to which position that follows the records.
//! - `leap`: the records that came when the one before them in their journal was not here.
//! - `person`: names, apart from records, so that a person can be forgotten.
//!
//! 64-bit ids are kept bit-cast in SQLite's signed integers.

use super::{mark, schema_2};
use crate::store::engine::Conn;
use crate::store::objects::Object;
use crate::store::value::{Fault, Row, values};
use crate::store::{Trouble, fault};

/// A step to a newer schema.
#[derive(Clone, Copy)]
pub(in crate::store) struct Migration {
    /// Its tables.
    pub(super) sql: &'static str,
    /// What is to be done behind that.
    pub(super) then: fn(&Conn) -> Result<(), Trouble>,
}

/// The steps from an empty database to the newest schema; step n leads to schema version n + 1.
pub(in crate::store) const MIGRATIONS: &[Migration] = &[
    Migration { sql: include_str!("schema_1.sql"), then: |_| Ok(()) },
    Migration { sql: include_str!("schema_2.sql"), then: schema_2::fill },
    Migration { sql: include_str!("schema_3.sql"), then: |_| Ok(()) },
];

/// The newest schema version this program knows.
pub(in crate::store) const KNOWN: i64 = MIGRATIONS.len().cast_signed() as i64;

pub(super) const MAKING: &str = "cannot make the tables";

/// Refuses to write when another program has meanwhile given the book a schema this one does not know.
pub(in crate::store) fn still_known(conn: &Conn) -> Result<(), Trouble> {
    mark::version(conn, KNOWN).map(drop)
}

impl Migration {
    /// Does the step, inside a transaction.
    pub(super) fn run(&self, conn: &Conn) -> Result<(), Trouble> {
        conn.batch(self.sql).map_err(fault::failed(MAKING))?;
        (self.then)(conn)
    }
}

/// The schema from which records have digests.
pub(in crate::store) const DIGESTS: i64 = 2;

/// The schema from which jobs are found by words, and leaps are noted.
pub(in crate::store) const WORDS: i64 = 3;

/// The objects of a database, by name, each with its table and the text that made it; what SQLite makes by itself has none.
/// What it keeps for its planner comes and goes and is left out.
pub(super) fn objects(conn: &Conn) -> Result<Vec<Object>, Fault> {
    let sql = "SELECT type, name, tbl_name || ': ' || coalesce(sql, '') FROM sqlite_schema
               WHERE NOT (type = 'table' AND name GLOB 'sqlite_stat[0-9]') ORDER BY name";
    let object = |r: &Row<'_>| Ok(Object { kind: r.get(0)?, name: r.get(1)?, made: r.get(2)? });
    conn.rows(sql, values![], object)
}

/// The same of an intact book of a schema.
pub(in crate::store) fn intact_objects(version: i64) -> Result<Vec<Object>, Trouble> {
    let conn = rusqlite::Connection::open_in_memory().map_err(fault::failed(MAKING))?;
    let conn = Conn::File(conn);
    for (_, migration) in (1..=version).zip(MIGRATIONS) {
        migration.run(&conn)?;
    }
    objects(&conn).map_err(fault::failed(MAKING))
}
