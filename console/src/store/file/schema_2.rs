//! What SQL alone does not do for schema 2: the rows of schema 1 go into the new tables, each with its digest.

use crate::store::chain::{Chained, of_person};
use crate::store::engine::Conn;
use crate::store::entry::{columns_1, entry_1};
use crate::store::heads::Heads;
use crate::store::value::{Fault, values};
use crate::store::{Trouble, fault};
use std::ops::ControlFlow;

/// Moves every row from the tables that `schema_2.sql` set aside, positions kept, and drops those.
pub(super) fn fill(conn: &Conn) -> Result<(), Trouble> {
    let failed = fault::failed("cannot bring the book to schema 2");
    let mut heads = Heads::default();
    for (table, before) in [(Chained::Record, "record_1"), (Chained::Conflict, "conflict_1")] {
        let sql = format!("SELECT {} FROM {before} ORDER BY position", columns_1!());
        let filled = conn.each(&sql, values![], &mut |row| {
            let entry = entry_1(row)?;
            heads.insert(conn, table, Some(entry.position), &entry)?;
            Ok(ControlFlow::Continue(()))
        });
        filled.map_err(failed)?;
    }
    heads.keep(conn).map_err(failed)?;
    names(conn).map_err(failed)?;
    // The one that refers to the other goes first.
    conn.batch("DROP TABLE conflict_1; DROP TABLE record_1; DROP TABLE person_1").map_err(failed)
}

fn names(conn: &Conn) -> Result<(), Fault> {
    conn.each("SELECT reference, name FROM person_1", values![], &mut |row| {
        let (reference, name): (String, String) = (row.get(0)?, row.get(1)?);
        let digest = of_person(&reference, &name);
        let sql = "INSERT INTO person (reference, name, digest) VALUES (?1, ?2, ?3)";
        conn.execute(sql, values![&reference, &name, &digest])?;
        Ok(ControlFlow::Continue(()))
    })
}
