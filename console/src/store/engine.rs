//! The one connection to a book, on either engine: SQLite's file, or a server that speaks PostgreSQL's protocol.
//!
//! SQL is written once, in what both understand, with `?1` for the first value. What a row has is read by type; ids and
//! jobs, which have 64 bits, are kept bit-cast in signed integers.

use super::chain::Digest;
use super::server::Link;
use bevelbook_core::record::JournalId;
use postgres::types::{FromSql as ServerFromSql, ToSql as ServerToSql, Type};
use rusqlite::types::{FromSql as FileFromSql, ToSqlOutput, ValueRef};
use rusqlite::{OpenFlags, ToSql as FileToSql};
use std::fmt;
use std::ops::ControlFlow;
use std::path::Path;

/// A connection to a book.
#[derive(Debug)]
pub(super) enum Conn {
    File(rusqlite::Connection),
    Server(Link),
}

/// What an engine said instead of doing something.
#[derive(Debug)]
pub(super) enum Fault {
    File(rusqlite::Error),
    Server(postgres::Error),
    /// The book was given a schema that this program does not know.
    Schema(i64),
    /// A value that does not fit what it is read as.
    Column(usize),
    /// The connection is at work for an earlier question.
    Nested,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(source) => source.fmt(f),
            // What it says by itself is "db error".
            Self::Server(source) => match source.as_db_error() {
                Some(said) => f.write_str(said.message()),
                None => source.fmt(f),
            },
            Self::Schema(found) => write!(f, "the book has schema {found}"),
            Self::Column(at) => write!(f, "column {at} has a value that cannot be"),
            Self::Nested => f.write_str("asked while an earlier answer was still being read"),
        }
    }
}

impl From<rusqlite::Error> for Fault {
    fn from(source: rusqlite::Error) -> Self {
        Self::File(source)
    }
}

impl From<postgres::Error> for Fault {
    fn from(source: postgres::Error) -> Self {
        Self::Server(source)
    }
}

/// What a transaction is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum For {
    /// Many reads of one moment.
    Reading,
    /// A write, alone.
    Writing,
    /// The tables themselves.
    Making,
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
            Self::Server(link) => link.run(sql, values, &mut |found| row(&Row::Server(found))).map(drop),
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
            Self::Server(link) => link.run(sql, values, &mut |_| Ok(ControlFlow::Continue(()))),
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

/// A row of an answer.
#[derive(Debug)]
pub(super) enum Row<'a> {
    File(&'a rusqlite::Row<'a>),
    Server(&'a postgres::Row),
}

impl Row<'_> {
    /// What it has in a column, counted from 0.
    pub(super) fn get<T: Column>(&self, at: usize) -> Result<T, Fault> {
        let kept: T::Kept = match self {
            Self::File(row) => row.get(at)?,
            Self::Server(row) => row.try_get(at)?,
        };
        T::of(kept).ok_or(Fault::Column(at))
    }
}

/// What can be read from a column.
pub(super) trait Column: Sized {
    /// As the engines keep it.
    type Kept: FileFromSql + for<'a> ServerFromSql<'a>;

    /// What was kept; none where that cannot be.
    fn of(kept: Self::Kept) -> Option<Self>;
}

macro_rules! columns {
    ($($name:ty, $kept:ty, $of:expr;)*) => { $(
        impl Column for $name {
            type Kept = $kept;

            fn of(kept: $kept) -> Option<Self> {
                ($of)(kept)
            }
        }
    )* };
}

columns! {
    i64, i64, Some;
    u64, i64, |kept: i64| Some(kept.cast_unsigned());
    u32, i64, |kept| u32::try_from(kept).ok();
    u8, i64, |kept| u8::try_from(kept).ok();
    bool, bool, Some;
    String, String, Some;
    Vec<u8>, Vec<u8>, Some;
    Digest, Vec<u8>, |kept: Vec<u8>| kept.try_into().ok();
    JournalId, i64, |kept: i64| Some(JournalId(kept.cast_unsigned()));
    Option<i64>, Option<i64>, Some;
    Option<u64>, Option<i64>, |kept: Option<i64>| Some(kept.map(i64::cast_unsigned));
    Option<u32>, Option<i64>, |kept: Option<i64>| kept.map(u32::try_from).transpose().ok();
    Option<String>, Option<String>, Some;
}

/// A value of a statement.
#[derive(Clone, Copy, Debug)]
pub(super) enum Value<'a> {
    Number(Option<i64>),
    Text(Option<&'a str>),
    Bytes(&'a [u8]),
    Truth(bool),
}

/// The values of a statement, in the order of their numbers.
macro_rules! values {
    ($($value:expr),* $(,)?) => { &[$($crate::store::engine::Value::from($value)),*] };
}
pub(super) use values;

macro_rules! value_from {
    ($($name:ty, $of:expr;)*) => { $(
        impl<'a> From<$name> for Value<'a> {
            fn from(value: $name) -> Self {
                ($of)(value)
            }
        }
    )* };
}

value_from! {
    i64, |value| Self::Number(Some(value));
    Option<i64>, Self::Number;
    u64, |value: u64| Self::Number(Some(value.cast_signed()));
    Option<u64>, |value: Option<u64>| Self::Number(value.map(u64::cast_signed));
    u32, |value| Self::Number(Some(i64::from(value)));
    Option<u32>, |value: Option<u32>| Self::Number(value.map(i64::from));
    u8, |value| Self::Number(Some(i64::from(value)));
    bool, Self::Truth;
    JournalId, |value: JournalId| Self::Number(Some(value.0.cast_signed()));
    &'a str, |value| Self::Text(Some(value));
    &'a String, |value: &'a String| Self::Text(Some(value.as_str()));
    Option<&'a str>, Self::Text;
    &'a [u8], Self::Bytes;
    &'a Digest, |value: &'a Digest| Self::Bytes(value);
}

impl FileToSql for Value<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            Self::Number(value) => value.map_or(ValueRef::Null, ValueRef::Integer),
            Self::Text(value) => value.map_or(ValueRef::Null, |text| ValueRef::Text(text.as_bytes())),
            Self::Bytes(value) => ValueRef::Blob(value),
            Self::Truth(value) => ValueRef::Integer(i64::from(*value)),
        }))
    }
}

impl Value<'_> {
    /// It, and what the server is told that it is.
    pub(super) fn for_server(&self) -> (&(dyn ServerToSql + Sync), Type) {
        match self {
            Self::Number(value) => (value, Type::INT8),
            Self::Text(value) => (value, Type::TEXT),
            Self::Bytes(value) => (value, Type::BYTEA),
            Self::Truth(value) => (value, Type::BOOL),
        }
    }
}
