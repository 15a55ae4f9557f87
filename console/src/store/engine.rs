//! The one connection to a book, on either engine: SQLite's file, or a server that speaks PostgreSQL's protocol.
//!
//! SQL is written once, in what both understand, with `?1` for the first value (`value.rs`).

use super::chain::Chained;
use super::server::Link;
use super::value::{Column, Fault, For, Row, Value, values};
use bevelbook_core::record::JournalId;
use rusqlite::OpenFlags;
use std::ops::ControlFlow;
use std::path::Path;

/// A connection to a book.
#[derive(Debug)]
pub(super) enum Conn {
    File(rusqlite::Connection),
    Server(Box<Link>),
}

impl Conn {
    /// Gives each row of an answer to `row`, until that breaks off.
    pub(super) fn each(
        &self,
        sql: &str,
        values: &[Value<'_>],
        row: &mut dyn FnMut(&Row<'_>) -> Result<ControlFlow<()>, Fault>,
    ) -> Result<(), Fault> {
        match self {
            Self::File(conn) => {
                let mut sql = conn.prepare_cached(sql)?;
                let mut rows = sql.query(rusqlite::params_from_iter(values))?;
                while let Some(found) = rows.next()? {
                    if row(&Row::File(found))?.is_break() {
                        break;
                    }
                }
                Ok(())
            }
            Self::Server(link) => match link.known(sql, values) {
                None => link.run(sql, values, &mut |found| row(&Row::Server(found))).map(drop),
                Some(known) => {
                    for found in known.iter() {
                        if row(&Row::Told(found))?.is_break() {
                            break;
                        }
                    }
                    Ok(())
                }
            },
        }
    }

    /// All rows of an answer.
    pub(super) fn rows<T>(
        &self,
        sql: &str,
        values: &[Value<'_>],
        mut row: impl FnMut(&Row<'_>) -> Result<T, Fault>,
    ) -> Result<Vec<T>, Fault> {
        let mut rows = Vec::new();
        self.each(sql, values, &mut |found| {
            rows.push(row(found)?);
            Ok(ControlFlow::Continue(()))
        })?;
        Ok(rows)
    }

    /// The first row of an answer, if there is one.
    pub(super) fn first<T>(
        &self,
        sql: &str,
        values: &[Value<'_>],
        row: impl FnMut(&Row<'_>) -> Result<T, Fault>,
    ) -> Result<Option<T>, Fault> {
        Ok(self.rows(sql, values, row)?.into_iter().next())
    }

    /// The one value of an answer of one row.
    pub(super) fn value<T: Column>(&self, sql: &str, values: &[Value<'_>]) -> Result<T, Fault> {
        self.first(sql, values, |row| row.get(0))?.ok_or(Fault::Column(0))
    }

    /// Does what changes rows; how many it changed.
    pub(super) fn execute(&self, sql: &str, values: &[Value<'_>]) -> Result<u64, Fault> {
        match self {
            Self::File(conn) => {
                let changed = conn.prepare_cached(sql)?.execute(rusqlite::params_from_iter(values))?;
                Ok(changed as u64)
            }
            Self::Server(link) => {
                link.forget_what_changes(sql);
                link.run(sql, values, &mut |_| Ok(ControlFlow::Continue(())))
            }
        }
    }

    /// Does what changes rows, of which nobody asks how many. What cannot be done may be told by the next question only, or by
    /// the commit.
    pub(super) fn put(&self, sql: &str, values: &[Value<'_>]) -> Result<(), Fault> {
        match self {
            Self::File(_) => self.execute(sql, values).map(drop),
            Self::Server(link) => link.put(sql, values),
        }
    }

    /// The last position that a table has given; 0 where it has given none.
    pub(super) fn last_given(&self, table: &str) -> Result<i64, Fault> {
        match self {
            Self::File(_) => {
                let sql = "SELECT seq FROM sqlite_sequence WHERE name = ?1";
                Ok(self.first(sql, values![table], |row| row.get(0))?.unwrap_or(0))
            }
            Self::Server(_) => {
                self.value(&format!("SELECT coalesce(max(position), 0) FROM {table}"), values![])
            }
        }
    }

    /// The last position that a table had given when the open write began.
    pub(super) fn given_before(&self, table: Chained) -> Result<i64, Fault> {
        match (self, table) {
            (Self::Server(link), Chained::Record) => Ok(link.before.get().0),
            _ => self.last_given(table.name()),
        }
    }

    /// The last number of the console's own journal when the open write began.
    pub(super) fn own_before(&self, own: JournalId) -> Result<Option<u32>, Fault> {
        match self {
            Self::File(_) => self.value("SELECT max(seq) FROM record WHERE journal = ?1", values![own]),
            Self::Server(link) => Ok(link.before.get().1),
        }
    }

    /// A number that differs from the last one asked for when another connection has written in between.
    pub(super) fn others_wrote(&self) -> Result<i64, Fault> {
        match self {
            Self::File(_) => self.value("PRAGMA data_version", values![]),
            Self::Server(link) => link.others_wrote(),
        }
    }

    /// A connection to the database in a file.
    pub(super) fn file(path: &Path, flags: OpenFlags) -> Result<Self, Fault> {
        Ok(Self::File(rusqlite::Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?))
    }

    /// Ends the connection.
    pub(super) fn close(self) -> Result<(), Fault> {
        match self {
            Self::File(conn) => conn.close().map_err(|(_, source)| source.into()),
            Self::Server(_) => Ok(()),
        }
    }

    /// Statements without values, one behind the other.
    pub(super) fn batch(&self, sql: &str) -> Result<(), Fault> {
        match self {
            Self::File(conn) => Ok(conn.execute_batch(sql)?),
            Self::Server(link) => link.batch(sql),
        }
    }

    /// Whether the engine refused a write only to have it run once more.
    pub(super) fn asks_again(&self) -> bool {
        match self {
            Self::File(_) => false,
            Self::Server(link) => link.asks_again(),
        }
    }

    /// Whether a transaction is open.
    pub(super) fn is_open(&self) -> bool {
        match self {
            Self::File(conn) => !conn.is_autocommit(),
            Self::Server(link) => link.is_open(),
        }
    }

    /// Begins a transaction, which is undone unless it is [committed](Open::commit).
    pub(super) fn begin(&self, what_for: For) -> Result<Open<'_>, Fault> {
        match (self, what_for) {
            (Self::File(_), For::Reading) => self.batch("BEGIN DEFERRED")?,
            (Self::File(_), For::Writing | For::Making) => self.batch("BEGIN IMMEDIATE")?,
            (Self::Server(link), what_for) => link.begin(what_for)?,
        }
        Ok(Open { conn: self, over: false })
    }
}

/// An open transaction.
#[derive(Debug)]
pub(super) struct Open<'c> {
    conn: &'c Conn,
    over: bool,
}

impl Open<'_> {
    /// Keeps what was done. When this returns it is on the disk.
    pub(super) fn commit(mut self) -> Result<(), Fault> {
        match self.conn {
            Conn::File(conn) => conn.execute_batch("COMMIT")?,
            Conn::Server(link) => {
                // Whatever comes of it, it is over.
                self.over = true;
                link.commit()?;
            }
        }
        self.over = true;
        Ok(())
    }
}

impl Drop for Open<'_> {
    fn drop(&mut self) {
        if !self.over {
            // What cannot be undone now is undone by the engine when the connection ends.
            match self.conn {
                Conn::File(conn) => drop(conn.execute_batch("ROLLBACK")),
                Conn::Server(link) => link.undo(),
            }
        }
    }
}
