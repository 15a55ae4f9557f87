//! What is wrong with a book: the one look that check, backup and restore take.
//!
//! First what the engine itself keeps (`file/sound.rs`, `server/sound.rs`), then every digest (`walk.rs`). A book of an older
//! schema has no digests; the rest holds of it all the same.

use super::engine::Conn;
use super::fault::failed;
use super::file::{mark, schema, sound};
use super::value::{Fault, For, values};
use super::{Trouble, chain, server, walk};
use bevelbook_core::record::JournalId;
use rusqlite::ErrorCode;
use std::ops::ControlFlow;

const VERIFYING: &str = "cannot verify";

/// So many sentences are told; a book with more wrong is no better known by the rest.
const MOST: usize = 100;

/// Everything that is wrong with the book behind a connection, a sentence each; nothing for a sound one. It reads every
/// page, a row at a time, as they are at one moment.
pub(super) fn verify(conn: &Conn) -> Result<Vec<String>, Trouble> {
    let moment = (!conn.is_open()).then(|| conn.begin(For::Reading));
    let _moment = moment.transpose().map_err(failed(VERIFYING))?;
    let mut problems = Vec::new();
    let mut looks: Vec<Look<'_>> = Vec::new();
    let schema = match conn {
        Conn::File(_) => {
            let schema = mark::version(conn, schema::KNOWN)?;
            let intact = schema::intact_objects(schema)?;
            looks.push(("pages", Box::new(sound::pages)));
            looks.push(("references", Box::new(sound::references)));
            looks.push(("tables", Box::new(move |conn, problems| sound::objects(conn, &intact, problems))));
            schema
        }
        Conn::Server(_) => {
            looks.push(("references", Box::new(server::sound::references)));
            looks.push(("tables", Box::new(server::sound::objects)));
            schema::WORDS
        }
    };
    if schema >= schema::DIGESTS {
        looks.push(("records", Box::new(walk::walk)));
        looks.push(("names", Box::new(names)));
    }
    if schema >= schema::WORDS {
        looks.push(("numbers", Box::new(numbers)));
    }
    for (what, look) in looks {
        match look(conn, &mut problems) {
            Err(e) if waits(&e) => return Err(failed(VERIFYING)(e)),
            Err(e) => problems.push(format!("the {what} cannot all be read: {e}")),
            Ok(()) => {}
        }
    }
    let more = problems.len().saturating_sub(MOST);
    if more > 0 {
        problems.truncate(MOST);
        problems.push(format!("and {more} more"));
    }
    Ok(problems)
}

/// One part of the look, and what it looks at.
type Look<'a> = (&'static str, Box<dyn Fn(&Conn, &mut Vec<String>) -> Result<(), Fault> + 'a>);

/// Whether it says nothing about the book that it could not be read now.
fn waits(fault: &Fault) -> bool {
    use ErrorCode::{DatabaseBusy, DatabaseLocked, OutOfMemory};
    match fault {
        Fault::File(e) => matches!(e.sqlite_error_code(), Some(DatabaseBusy | DatabaseLocked | OutOfMemory)),
        // Whatever a server refuses, the transaction that reads is over.
        Fault::Server(_) | Fault::Silent(_) | Fault::Warned(_) => true,
        Fault::Column(_) | Fault::Nested | Fault::Schema(_) => false,
    }
}

/// Numbers that are missing are shown by the leaps that are noted.
fn numbers(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    // Of records that were taken out is told already.
    if !problems.is_empty() {
        return Ok(());
    }
    let sql = "SELECT journal, seq
               FROM (SELECT journal, seq,
                            lag(seq, 1, CAST(0 AS BIGINT)) OVER (PARTITION BY journal ORDER BY seq) AS before
                     FROM record) AS numbered
               WHERE before < seq - 1
               EXCEPT SELECT journal, seq FROM leap";
    let unnoted: Vec<(JournalId, u32)> = conn.rows(sql, values![], |r| Ok((r.get(0)?, r.get(1)?)))?;
    problems.extend(
        unnoted.into_iter().map(|(journal, seq)| {
            format!("numbers of {journal} are missing before {seq}, which is not noted")
        }),
    );
    Ok(())
}

fn names(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    if conn.nameless().is_some() {
        return Ok(());
    }
    conn.each("SELECT reference, name, digest FROM person ORDER BY reference", values![], &mut |row| {
        let (reference, name): (String, String) = (row.get(0)?, row.get(1)?);
        if row.get::<chain::Digest>(2)? != chain::of_person(&reference, &name) {
            problems.push(format!("the name behind {reference:?} was changed"));
        }
        Ok(ControlFlow::Continue(()))
    })
}
