//! What is wrong with a book: the one look that check, backup and restore take.
//!
//! In this order: SQLite's pages and indexes, references between tables, the objects of the schema, and every digest
//! (`walk.rs`). A book of an older schema has no digests; the rest holds of it all the same.

use super::error::failed;
use super::{Trouble, chain, mark, schema, walk};
use bevelbook_core::record::JournalId;
use rusqlite::{Connection, ErrorCode, Transaction, TransactionBehavior};

const VERIFYING: &str = "cannot verify";

/// So many sentences are told; a book with more wrong is no better known by the rest.
const MOST: usize = 100;

/// Everything that is wrong with the book behind a connection, a sentence each; nothing for a sound one. It reads every
/// page, a row at a time, as they are at one moment.
pub(super) fn verify(conn: &Connection) -> Result<Vec<String>, Trouble> {
    let moment =
        conn.is_autocommit().then(|| Transaction::new_unchecked(conn, TransactionBehavior::Deferred));
    let _moment = moment.transpose().map_err(failed(VERIFYING))?;
    let schema = mark::version(conn, schema::KNOWN)?;
    let intact = schema::intact_objects(schema)?;
    let mut problems = Vec::new();
    let mut looks: Vec<Look<'_>> = vec![
        ("pages", Box::new(pages)),
        ("references", Box::new(references)),
        ("tables", Box::new(|conn, problems| objects(conn, &intact, problems))),
    ];
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
type Look<'a> = (&'static str, Box<dyn Fn(&Connection, &mut Vec<String>) -> rusqlite::Result<()> + 'a>);

/// Whether it says nothing about the book that it could not be read now.
fn waits(error: &rusqlite::Error) -> bool {
    use ErrorCode::{DatabaseBusy, DatabaseLocked, OutOfMemory};
    matches!(error.sqlite_error_code(), Some(DatabaseBusy | DatabaseLocked | OutOfMemory))
}

/// The short look of SQLite would not compare indexes with their tables, and jobs are found by an index.
fn pages(conn: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let mut pages = conn.prepare("PRAGMA integrity_check")?;
    for line in pages.query_map([], |r| r.get::<_, String>(0))? {
        problems.extend(Some(line?).filter(|line| line != "ok"));
    }
    Ok(())
}

fn references(conn: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let mut dangling = conn.prepare("PRAGMA foreign_key_check")?;
    for names in dangling.query_map([], |r| Ok((r.get(0)?, r.get(2)?)))? {
        let (table, parent): (String, String) = names?;
        problems.push(format!("a row of {table} refers to a missing row of {parent}"));
    }
    Ok(())
}

fn objects(conn: &Connection, intact: &[schema::Object], problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let found = schema::objects(conn)?;
    for object in intact.iter().filter(|object| !found.contains(object)) {
        problems.push(format!("{object} is missing or not as this program makes it"));
    }
    for object in &found {
        if !intact.iter().any(|own| (&own.kind, &own.name) == (&object.kind, &object.name)) {
            problems.push(format!("{object} is not this program's"));
        }
    }
    Ok(())
}

/// Numbers that are missing are shown by the leaps that are noted.
fn numbers(conn: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    // Of records that were taken out is told already.
    if !problems.is_empty() {
        return Ok(());
    }
    let mut unnoted = conn.prepare(
        "SELECT journal, seq
         FROM (SELECT journal, seq, lag(seq, 1, 0) OVER (PARTITION BY journal ORDER BY seq) AS before FROM record)
         WHERE before < seq - 1
         EXCEPT SELECT journal, seq FROM leap",
    )?;
    for leap in unnoted.query_map([], |r| Ok((r.get::<_, i64>(0)?, r.get::<_, u32>(1)?)))? {
        let (journal, seq) = leap?;
        let journal = JournalId(journal.cast_unsigned());
        problems.push(format!("numbers of {journal} are missing before {seq}, which is not noted"));
    }
    Ok(())
}

fn names(conn: &Connection, problems: &mut Vec<String>) -> rusqlite::Result<()> {
    let mut people = conn.prepare("SELECT reference, name, digest FROM person ORDER BY reference")?;
    let mut rows = people.query([])?;
    while let Some(row) = rows.next()? {
        let (reference, name): (String, String) = (row.get(0)?, row.get(1)?);
        if row.get::<_, chain::Digest>(2)? != chain::of_person(&reference, &name) {
            problems.push(format!("the name behind {reference:?} was changed"));
        }
    }
    Ok(())
}
