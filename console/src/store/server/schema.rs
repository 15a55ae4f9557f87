//! The tables of a book on a server.
//!
//! They are those of a book in a file, in the server's own schema `bevelbook` of one database. Beside them:
//!
//! - `book`: one row, which marks the database as a book, has the version of its schema, and counts the writes. A write
//!   begins with it (`link.rs`).
//! - `console`: the journal of each console, by the fingerprint of the place where it runs (`console.rs`).
//!
//! Positions are given by whoever writes, the last one and one more: nobody else writes meanwhile, and a sequence of the
//! server's would leave gaps and, where several machines keep the database, be out of order. A text is compared by its
//! bytes (`COLLATE "C"`), as in a file.

use super::link::Link;
use crate::store::Trouble;
use crate::store::engine::{Fault, For, values};
use crate::store::error::failed;
use postgres::error::SqlState;
use std::ops::ControlFlow;

/// The steps from an empty database to the newest schema; step n leads to schema version n + 1.
pub(super) const MIGRATIONS: &[&str] = &[include_str!("schema_1.sql")];

/// The newest schema version this program knows.
pub(in crate::store) const KNOWN: i64 = MIGRATIONS.len().cast_signed() as i64;

/// Begins a write; tells its number and the version of the schema.
pub(super) const COUNT_WRITE: &str = "UPDATE book SET writes = writes + 1 RETURNING writes, version";

/// The version of the book that the database has; none where there is nothing.
pub(super) fn version(link: &Link) -> Result<Option<i64>, Trouble> {
    let mut found = None;
    let asked =
        link.run("SELECT version FROM bevelbook.book WHERE mark = 'bevelbook'", values![], &mut |row| {
            found = Some(row.try_get(0)?);
            Ok(ControlFlow::Break(()))
        });
    match asked {
        Ok(_) => found.map(Some).ok_or_else(|| foreign("its table book has no mark of one")),
        Err(Fault::Server(e)) if e.code() == Some(&SqlState::UNDEFINED_TABLE) => match is_taken(link)? {
            true => Err(foreign("its schema bevelbook has other tables")),
            false => Ok(None),
        },
        Err(Fault::Server(e)) if e.code() == Some(&SqlState::UNDEFINED_COLUMN) => {
            Err(foreign("its table book has other columns"))
        }
        Err(fault) => Err(failed("cannot look")(fault)),
    }
}

fn foreign(found: &str) -> Trouble {
    Trouble::NotABook { found: found.to_owned() }
}

/// Whether somebody else has a schema of the name.
fn is_taken(link: &Link) -> Result<bool, Trouble> {
    let mut taken = false;
    let sql = "SELECT nspname FROM pg_catalog.pg_namespace WHERE nspname = 'bevelbook'";
    let asked = link.run(sql, values![], &mut |_| {
        taken = true;
        Ok(ControlFlow::Break(()))
    });
    asked.map(|_| taken).map_err(failed("cannot look"))
}

/// Makes the tables where nothing is; `false` where a book is there already.
pub(super) fn begin(link: &Link) -> Result<bool, Trouble> {
    if version(link)?.is_some() {
        return Ok(false);
    }
    match step_up(link, 0, MIGRATIONS) {
        // Another console was first.
        Err(_) if version(link).is_ok_and(|found| found.is_some()) => Ok(false),
        made => made.map(|()| true),
    }
}

/// Brings an older book to the newest of `migrations`; what is newer than those is refused.
pub(super) fn migrate(link: &Link, found: i64, migrations: &[&str]) -> Result<(), Trouble> {
    let known = migrations.len().cast_signed() as i64;
    match found {
        found if found > known => Err(Trouble::NewerSchema { found, known }),
        found if found < known => step_up(link, found, migrations),
        _ => Ok(()),
    }
}

/// Runs what leads from a schema to the newest, all in one transaction: a book is never between two schemas.
fn step_up(link: &Link, from: i64, migrations: &[&str]) -> Result<(), Trouble> {
    let known = migrations.len();
    let stepped = || -> Result<(), Fault> {
        link.begin(For::Making)?;
        let mut from = from;
        if from > 0 {
            // With the write lock held: another console may have been first.
            link.run("SELECT version FROM bevelbook.book FOR UPDATE", values![], &mut |row| {
                from = row.try_get(0)?;
                Ok(ControlFlow::Break(()))
            })?;
        }
        for sql in migrations.iter().skip(usize::try_from(from).unwrap_or(known)) {
            link.batch(sql)?;
        }
        link.batch(&format!("UPDATE bevelbook.book SET version = {known}"))?;
        link.commit()
    };
    stepped().inspect_err(|_| link.undo()).map_err(failed("cannot make the tables"))
}
