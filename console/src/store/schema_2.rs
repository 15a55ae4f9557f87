//! What SQL alone does not do for schema 2: the rows of schema 1 go into the new tables, each with its digest.

use super::chain::{Chained, Heads, of_person};
use super::entry::{columns_1, entry_1};
use super::{Trouble, error};
use rusqlite::Connection;

/// Moves every row from the tables that `schema_2.sql` set aside, positions kept, and drops those.
pub(super) fn fill(conn: &Connection) -> Result<(), Trouble> {
    let failed = error::failed("cannot bring the book to schema 2");
    let mut heads = Heads::default();
    for (table, before) in [(Chained::Record, "record_1"), (Chained::Conflict, "conflict_1")] {
        let sql = format!("SELECT {} FROM {before} ORDER BY position", columns_1!());
        let mut rows = conn.prepare(&sql).map_err(failed)?;
        for entry in rows.query_map([], entry_1).map_err(failed)? {
            let entry = entry.map_err(failed)?;
            heads.insert(conn, table, Some(entry.position), &entry).map_err(failed)?;
        }
    }
    heads.keep(conn).map_err(failed)?;
    names(conn).map_err(failed)?;
    // The one that refers to the other goes first.
    conn.execute_batch("DROP TABLE conflict_1; DROP TABLE record_1; DROP TABLE person_1").map_err(failed)
}

fn names(conn: &Connection) -> rusqlite::Result<()> {
    let mut people = conn.prepare("SELECT reference, name FROM person_1")?;
    let mut rows = people.query([])?;
    while let Some(row) = rows.next()? {
        let (reference, name): (String, String) = (row.get(0)?, row.get(1)?);
        let digest = of_person(&reference, &name);
        let sql = "INSERT INTO person (reference, name, digest) VALUES (?1, ?2, ?3)";
        conn.prepare_cached(sql)?.execute((reference, name, digest))?;
    }
    Ok(())
}
