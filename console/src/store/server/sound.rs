//! What is wrong with the tables of a book on a server: references between them, and all that they are made of.
//!
//! `objects.txt` says what this program makes, a line each: kind, name, and how it is made as the server tells it. A test
//! compares it with a book that was just begun; `BEVELBOOK_RENEW=1` writes it anew. Pages and indexes are the server's own
//! business: it tells of a page that it cannot read, and whether an index has all of its table nobody asks.

use crate::store::engine::Conn;
use crate::store::objects::{Object, compare};
use crate::store::value::{Fault, Row, values};

/// What the newest schema is made of.
const OBJECTS: &str = include_str!("objects.txt");

/// What every database may have in the schema: tables of any kind, and what hangs on them; functions; what inherits.
///
/// Left out is what the server makes by itself: what checks NOT NULL since version 18, the triggers of foreign keys, unless one
/// is switched off.
const FOUND: &str = "
    WITH own AS (
        SELECT c.oid, c.relname, c.relkind, c.relpersistence, c.relrowsecurity
        FROM pg_catalog.pg_class c JOIN pg_catalog.pg_namespace n ON n.oid = c.relnamespace
        WHERE n.nspname = 'bevelbook'
    )
    SELECT CASE relkind WHEN 'r' THEN 'table' WHEN 'p' THEN 'table' WHEN 'v' THEN 'view' WHEN 'm' THEN 'view'
                        WHEN 'S' THEN 'sequence' WHEN 'f' THEN 'table' ELSE 'type' END AS kind,
           relname::text AS name,
           concat_ws(' ', relkind::text, relpersistence::text, relrowsecurity::text) AS made
    FROM own WHERE relkind NOT IN ('i', 'I', 't')
    UNION ALL
    SELECT 'column', concat(a.attname, ' of ', own.relname),
           concat_ws(' ', pg_catalog.format_type(a.atttypid, a.atttypmod), CASE WHEN a.attnotnull THEN 'not null' END,
                     (SELECT concat('default ', pg_catalog.pg_get_expr(d.adbin, d.adrelid))
                      FROM pg_catalog.pg_attrdef d WHERE d.adrelid = a.attrelid AND d.adnum = a.attnum),
                     (SELECT concat('collate ', l.collname) FROM pg_catalog.pg_collation l
                      WHERE l.oid = a.attcollation AND l.collname <> 'default'))
    FROM own JOIN pg_catalog.pg_attribute a ON a.attrelid = own.oid
    WHERE own.relkind IN ('r', 'p', 'f') AND a.attnum > 0 AND NOT a.attisdropped
    UNION ALL
    SELECT 'constraint', concat(k.conname, ' of ', own.relname),
           concat_ws(' ', pg_catalog.pg_get_constraintdef(k.oid), CASE WHEN NOT k.convalidated THEN 'not validated' END)
    FROM own JOIN pg_catalog.pg_constraint k ON k.conrelid = own.oid WHERE k.contype IN ('c', 'f', 'p', 'u', 'x')
    UNION ALL
    SELECT 'index', own.relname,
           concat_ws(' ', pg_catalog.pg_get_indexdef(i.indexrelid), CASE WHEN NOT i.indisvalid THEN 'not valid' END)
    FROM own JOIN pg_catalog.pg_index i ON i.indexrelid = own.oid
    UNION ALL
    SELECT 'trigger', concat(t.tgname, ' of ', own.relname),
           concat_ws(' ', pg_catalog.pg_get_triggerdef(t.oid),
                     CASE t.tgenabled WHEN 'O' THEN NULL ELSE concat('switched ', t.tgenabled) END)
    FROM own JOIN pg_catalog.pg_trigger t ON t.tgrelid = own.oid WHERE NOT t.tgisinternal OR t.tgenabled <> 'O'
    UNION ALL
    SELECT 'rule', concat(w.rulename, ' of ', own.relname), pg_catalog.pg_get_ruledef(w.oid)
    FROM own JOIN pg_catalog.pg_rewrite w ON w.ev_class = own.oid WHERE w.rulename <> '_RETURN'
    UNION ALL
    SELECT 'table', concat(h.inhrelid::regclass, ' below ', own.relname), 'inherits'
    FROM own JOIN pg_catalog.pg_inherits h ON h.inhparent = own.oid WHERE own.relkind IN ('r', 'p')
    UNION ALL
    SELECT 'function', p.proname::text,
           concat_ws(' ', l.lanname, pg_catalog.format_type(p.prorettype, NULL),
                     concat('(', pg_catalog.pg_get_function_identity_arguments(p.oid), ')'), p.provolatile::text,
                     CASE WHEN p.prosecdef THEN 'as its owner' END, pg_catalog.array_to_string(p.proconfig, ', '), p.prosrc)
    FROM pg_catalog.pg_proc p JOIN pg_catalog.pg_namespace n ON n.oid = p.pronamespace
         JOIN pg_catalog.pg_language l ON l.oid = p.prolang
    WHERE n.nspname = 'bevelbook'";

/// The objects, against those of an intact book.
pub(in crate::store) fn objects(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    compare(&found(conn)?, &intact(), problems);
    Ok(())
}

/// What the database is made of.
fn found(conn: &Conn) -> Result<Vec<Object>, Fault> {
    let sql = format!(
        "SELECT kind, name, made FROM ({FOUND}) AS found ORDER BY kind COLLATE \"C\", name COLLATE \"C\""
    );
    let object = |r: &Row<'_>| {
        // In one line, however a function is laid out.
        let made: String = r.get(2)?;
        let made = made.split_whitespace().collect::<Vec<_>>().join(" ");
        Ok(Object { kind: r.get(0)?, name: r.get(1)?, made })
    };
    conn.rows(&sql, values![], object)
}

/// What an intact book is made of.
fn intact() -> Vec<Object> {
    let object = |line: &str| {
        let mut parts = line.splitn(3, '\t').map(str::to_owned);
        Some(Object { kind: parts.next()?, name: parts.next()?, made: parts.next()? })
    };
    OBJECTS.lines().filter_map(object).collect()
}

/// Rows that refer to missing ones, where nobody saw to it.
pub(in crate::store) fn references(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    let sql = "
        SELECT 'record', 'journal' WHERE EXISTS (
            SELECT 1 FROM record WHERE NOT EXISTS (SELECT 1 FROM journal WHERE journal.id = record.journal))
        UNION ALL
        SELECT 'conflict', 'record' WHERE EXISTS (
            SELECT 1 FROM conflict WHERE NOT EXISTS (
                SELECT 1 FROM record WHERE record.journal = conflict.journal AND record.seq = conflict.seq))
        UNION ALL
        SELECT 'console', 'journal' WHERE EXISTS (
            SELECT 1 FROM console WHERE NOT EXISTS (SELECT 1 FROM journal WHERE journal.id = console.journal))";
    let dangling: Vec<(String, String)> = conn.rows(sql, values![], |r| Ok((r.get(0)?, r.get(1)?)))?;
    problems.extend(
        dangling
            .iter()
            .map(|(table, parent)| format!("a row of {table} refers to a missing row of {parent}")),
    );
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{Book, Ground};

    #[test]
    fn what_a_book_is_made_of_is_written_down() {
        let Some(ground) = Ground::server() else { return };
        let book = Book::open(ground.begun()).unwrap();
        let found = found(&book.reader.conn).unwrap();
        let text: String =
            found.iter().map(|Object { kind, name, made }| format!("{kind}\t{name}\t{made}\n")).collect();
        if std::env::var_os("BEVELBOOK_RENEW").is_some() {
            let path = concat!(env!("CARGO_MANIFEST_DIR"), "/src/store/server/objects.txt");
            std::fs::write(path, &text).unwrap();
        } else {
            assert_eq!(text, OBJECTS, "BEVELBOOK_RENEW=1 writes it anew");
        }
        assert!(found.len() > 50);
    }
}
