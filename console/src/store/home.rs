//! This console's own journal: begun with the book, and anew wherever a copy of the book wakes up.
//!
//! Consoles of one machine on one book share a journal; that is safe, since numbers are allotted inside the write
//! transaction. There is only ever one home: a former one is never returned to, for what was written there since
//! is not known here.

use super::error::failed;
use super::{Trouble, place};
use bevelbook_core::record::JournalId;
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior};
use std::path::Path;

const BEGINNING: &str = "cannot begin a journal";

/// The own journal and the fingerprint of the place where it was begun.
fn home(conn: &Connection) -> Result<Option<(JournalId, u64)>, Trouble> {
    conn.prepare_cached("SELECT journal, fingerprint FROM home")
        .and_then(|mut s| {
            s.query_row([], |r| {
                Ok((JournalId(r.get::<_, i64>(0)?.cast_unsigned()), r.get::<_, i64>(1)?.cast_unsigned()))
            })
            .optional()
        })
        .map_err(failed("cannot find the console's journal"))
}

/// The own journal; a backup has none.
pub(super) fn own(conn: &Connection) -> Result<Option<JournalId>, Trouble> {
    Ok(home(conn)?.map(|(journal, _)| journal))
}

/// Sees to it that the book has an own journal begun in this place.
pub(super) fn settle(conn: &Connection, path: &Path) -> Result<(), Trouble> {
    let here = place::fingerprint(path)?;
    let settled = |home: Option<(JournalId, u64)>| home.is_some_and(|(_, place)| place == here);
    if settled(home(conn)?) {
        return Ok(());
    }
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(failed(BEGINNING))?;
    // Asked again with the write lock held: another console may have been first.
    if settled(home(&tx)?) {
        return Ok(());
    }
    begin(&tx, here)?;
    tx.commit().map_err(failed(BEGINNING))
}

/// Begins a journal inside a write transaction.
fn begin(conn: &Connection, here: u64) -> Result<(), Trouble> {
    let journal = getrandom::u64().map_err(Trouble::Entropy)?;
    let id = journal.cast_signed();
    conn.execute("INSERT INTO journal (id, begun_here) VALUES (?1, 1)", [id])
        .and_then(|_| {
            conn.execute(
                "INSERT INTO home (one, journal, fingerprint) VALUES (1, ?1, ?2)
                 ON CONFLICT (one) DO UPDATE SET journal = ?1, fingerprint = ?2",
                [id, here.cast_signed()],
            )
        })
        .map(drop)
        .map_err(failed(BEGINNING))
}
