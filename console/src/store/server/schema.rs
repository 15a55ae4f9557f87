//! Making the tables (`tables.rs`), and bringing those of an older book to the newest.

use super::denied::Denied;
use super::grants;
use super::link::Link;
use super::meaning::denied;
use super::patience::Patience;
use super::tables::MIGRATIONS;
use crate::store::Trouble;
use crate::store::fault::failed;
use crate::store::value::{Fault, For, values};
use std::ops::ControlFlow;
use tokio_postgres::error::SqlState;

/// The version of the book that the database has; none where there is nothing.
pub(super) fn version(link: &Link) -> Result<Option<i64>, Trouble> {
    for _ in 0..2 {
        if let Some(found) = marked(link)? {
            return Ok(Some(found));
        }
        if !is_taken(link)? {
            return Ok(None);
        }
        // Another console may have made the book in between.
    }
    Err(foreign("its schema bevelbook has other tables"))
}

/// Asks for the version.
pub(super) const VERSION: &str = "SELECT version FROM bevelbook.book WHERE mark = 'bevelbook'";

/// The version that the table says; none where there is no such table.
fn marked(link: &Link) -> Result<Option<i64>, Trouble> {
    let mut found = None;
    let asked = link.run(VERSION, values![], &mut |row| {
        found = Some(row.try_get(0)?);
        Ok(ControlFlow::Break(()))
    });
    match asked {
        Ok(_) => found.map(Some).ok_or_else(|| foreign("its table book has no mark of one")),
        Err(Fault::Server(e)) if e.code() == Some(&SqlState::UNDEFINED_TABLE) => Ok(None),
        Err(Fault::Server(e)) if e.code() == Some(&SqlState::UNDEFINED_COLUMN) => {
            Err(foreign("its table book has other columns"))
        }
        Err(fault) => Err(unless(link, fault, "cannot look", |role, _| Denied::Look { role })),
    }
}

/// What the server refused while `doing` something; where it is for want of a right, what `why` says of the role and its
/// database.
fn unless(
    link: &Link,
    fault: Fault,
    doing: &'static str,
    why: impl FnOnce(String, String) -> Denied,
) -> Trouble {
    let for_want_of_a_right =
        matches!(&fault, Fault::Server(e) if e.code() == Some(&SqlState::INSUFFICIENT_PRIVILEGE));
    if for_want_of_a_right {
        let mut who = None;
        let sql = "SELECT CAST(current_user AS TEXT), CAST(current_database() AS TEXT)";
        let asked = link.run(sql, values![], &mut |row| {
            who = Some((row.try_get(0)?, row.try_get(1)?));
            Ok(ControlFlow::Break(()))
        });
        if let (Ok(_), Some((role, database))) = (asked, who) {
            return denied(why(role, database));
        }
    }
    failed(doing)(fault)
}

fn foreign(found: &str) -> Trouble {
    Trouble::NotABook { found: found.to_owned() }
}

/// Whether somebody else has tables in a schema of the name.
fn is_taken(link: &Link) -> Result<bool, Trouble> {
    let mut taken = false;
    let sql =
        "SELECT c.relname FROM pg_catalog.pg_class c JOIN pg_catalog.pg_namespace n ON n.oid = c.relnamespace
               WHERE n.nspname = 'bevelbook'";
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
    keeps_every_letter(link)?;
    match step_up(link, 0, MIGRATIONS) {
        // Another console was first.
        Err(_) if version(link).is_ok_and(|found| found.is_some()) => Ok(false),
        made => made.map(|()| true),
    }
}

/// Refuses a database whose encoding has no place for some letters: names and words are any.
fn keeps_every_letter(link: &Link) -> Result<(), Trouble> {
    let mut encoding = String::new();
    let asked = link.run("SELECT current_setting('server_encoding')", values![], &mut |row| {
        encoding = row.try_get(0)?;
        Ok(ControlFlow::Break(()))
    });
    asked.map_err(failed("cannot look"))?;
    match encoding.as_str() {
        "UTF8" | "SQL_ASCII" => Ok(()),
        other => Err(foreign(&format!(
            "its database keeps letters as {other}, and a book needs UTF8: createdb -E UTF8 -T template0 NAME"
        ))),
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
    let before = link.wait_as(Patience::WholeBook);
    let stepped = || -> Result<(), Fault> {
        link.begin(For::Making)?;
        let (mut from, mut granted) = (from, Vec::new());
        if from > 0 {
            // With the write lock held: another console may have been first.
            link.run("SELECT version FROM bevelbook.book FOR UPDATE", values![], &mut |row| {
                from = row.try_get(0)?;
                Ok(ControlFlow::Break(()))
            })?;
            granted = grants::granted(link)?;
        }
        for sql in migrations.iter().skip(usize::try_from(from).unwrap_or(known)) {
            link.batch(sql)?;
        }
        link.batch(&format!("UPDATE bevelbook.book SET version = {known}"))?;
        // What was made has nobody's rights yet.
        for (role, duty) in granted {
            link.batch(&grants::statements(&role, Some(duty)))?;
        }
        link.commit()
    };
    let stepped = stepped().inspect_err(|_| link.undo());
    link.wait_as(before);
    stepped.map_err(|fault| {
        unless(link, fault, "cannot make the tables", |role, database| match from {
            0 => Denied::Begin { role, database },
            _ => Denied::Own { role, doing: "bring the older tables to what this program needs" },
        })
    })
}
