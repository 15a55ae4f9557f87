//! What is wrong with a file as SQLite keeps it: pages and indexes, references between tables, the objects of the schema.

use super::schema;
use crate::store::engine::Conn;
use crate::store::objects::{Object, compare};
use crate::store::value::{Fault, values};

/// The short look of SQLite would not compare indexes with their tables, and jobs are found by an index.
pub(in crate::store) fn pages(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    let lines: Vec<String> = conn.rows("PRAGMA integrity_check", values![], |r| r.get(0))?;
    problems.extend(lines.into_iter().filter(|line| line != "ok"));
    Ok(())
}

pub(in crate::store) fn references(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    let dangling = conn.rows("PRAGMA foreign_key_check", values![], |r| Ok((r.get(0)?, r.get(2)?)))?;
    problems.extend(dangling.into_iter().map(|(table, parent): (String, String)| {
        format!("a row of {table} refers to a missing row of {parent}")
    }));
    Ok(())
}

/// The objects, against those of an intact book.
pub(in crate::store) fn objects(
    conn: &Conn,
    intact: &[Object],
    problems: &mut Vec<String>,
) -> Result<(), Fault> {
    compare(&schema::objects(conn)?, intact, problems);
    Ok(())
}
