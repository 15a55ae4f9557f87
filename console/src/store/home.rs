//! This console's own journal: begun with the book, and anew wherever a copy of the book wakes up.
//!
//! Consoles of one machine on one book share a journal; that is safe, since numbers are allotted inside the write
//! transaction. There is only ever one home: a former one is never returned to, for what was written there since
//! is not known here.

use super::{Error, place};
use bevelbook_core::record::JournalId;
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior};
use std::path::Path;

/// The own journal and the fingerprint of the place where it was begun.
fn home(conn: &Connection, path: &Path) -> Result<Option<(JournalId, u64)>, Error> {
    conn.prepare_cached("SELECT journal, fingerprint FROM home")
        .and_then(|mut s| {
            s.query_row([], |r| {
                Ok((JournalId(r.get::<_, i64>(0)?.cast_unsigned()), r.get::<_, i64>(1)?.cast_unsigned()))
            })
            .optional()
        })
        .map_err(|e| Error::database(path, "cannot find the console's journal", e))
}

/// The own journal.
pub(super) fn own(conn: &Connection, path: &Path) -> Result<JournalId, Error> {
    let (journal, _) = home(conn, path)?.ok_or_else(|| {
        let what = "it has no console journal".to_owned();
        Error::Damaged { path: path.to_path_buf(), what }
    })?;
    Ok(journal)
}

/// Sees to it that the book has an own journal begun in this place.
pub(super) fn settle(conn: &Connection, path: &Path) -> Result<(), Error> {
    let here = place::fingerprint(path)?;
    let settled = |home: Option<(JournalId, u64)>| home.is_some_and(|(_, place)| place == here);
    if settled(home(conn, path)?) {
        return Ok(());
    }
    let failed = |e| Error::database(path, "cannot begin a journal", e);
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(failed)?;
    // Asked again with the write lock held: another console may have been first.
    if settled(home(&tx, path)?) {
        return Ok(());
    }
    begin(&tx, path, here)?;
    tx.commit().map_err(failed)
}

/// Begins a journal inside a write transaction.
fn begin(conn: &Connection, path: &Path, here: u64) -> Result<(), Error> {
    let journal = getrandom::u64().map_err(|source| Error::Entropy { path: path.to_path_buf(), source })?;
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
        .map_err(|e| Error::database(path, "cannot begin a journal", e))
}
