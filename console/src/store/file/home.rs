//! This console's own journal: begun with the book, and anew wherever a copy of the book wakes up.
//!
//! Consoles of one machine on one book share a journal; that is safe, since numbers are allotted inside the write
//! transaction. There is only ever one home: a former one is never returned to, for what was written there since
//! is not known here.

use super::paths;
use crate::store::Trouble;
use crate::store::engine::Conn;
use crate::store::fault::failed;
use crate::store::value::{For, values};
use bevelbook_core::record::JournalId;
use std::path::Path;

const BEGINNING: &str = "cannot begin a journal";

/// The own journal and the fingerprint of the place where it was begun.
fn home(conn: &Conn) -> Result<Option<(JournalId, u64)>, Trouble> {
    conn.first("SELECT journal, fingerprint FROM home", values![], |r| Ok((r.get(0)?, r.get(1)?)))
        .map_err(failed("cannot find the console's journal"))
}

/// The own journal; a backup has none.
pub(in crate::store) fn own(conn: &Conn) -> Result<Option<JournalId>, Trouble> {
    Ok(home(conn)?.map(|(journal, _)| journal))
}

/// Sees to it that the book has an own journal begun in this place.
pub(super) fn settle(conn: &Conn, path: &Path) -> Result<(), Trouble> {
    let here = paths::fingerprint(path)?;
    let settled = |home: Option<(JournalId, u64)>| home.is_some_and(|(_, place)| place == here);
    if settled(home(conn)?) {
        return Ok(());
    }
    let tx = conn.begin(For::Writing).map_err(failed(BEGINNING))?;
    // Asked again with the write lock held: another console may have been first.
    if settled(home(conn)?) {
        return Ok(());
    }
    begin(conn, here)?;
    tx.commit().map_err(failed(BEGINNING))
}

/// Begins a journal inside a write transaction.
fn begin(conn: &Conn, here: u64) -> Result<(), Trouble> {
    let journal = getrandom::u64().map_err(Trouble::Entropy)?;
    conn.execute("INSERT INTO journal (id, begun_here) VALUES (?1, 1)", values![journal])
        .and_then(|_| {
            conn.execute(
                "INSERT INTO home (one, journal, fingerprint) VALUES (1, ?1, ?2)
                 ON CONFLICT (one) DO UPDATE SET journal = ?1, fingerprint = ?2",
                values![journal, here],
            )
        })
        .map(drop)
        .map_err(failed(BEGINNING))
}
