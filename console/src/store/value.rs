//! What goes into a statement and comes out of it, on either engine.
//!
//! What a row has is read by type; ids and jobs, which have 64 bits, are kept bit-cast in signed integers.

use super::told::Told;
use bevelbook_core::record::JournalId;
use rusqlite::ToSql as FileToSql;
use rusqlite::types::{FromSql as FileFromSql, ToSqlOutput, ValueRef};
use std::fmt;
use std::time::Duration;
use tokio_postgres::error::SqlState;
use tokio_postgres::types::{FromSql as ServerFromSql, ToSql as ServerToSql, Type};

/// What an engine said instead of doing something.
#[derive(Debug)]
pub(super) enum Fault {
    File(rusqlite::Error),
    Server(tokio_postgres::Error),
    /// The server said nothing for so long.
    Silent(Duration),
    /// It says that it is done, and warns.
    Warned(String),
    /// The book was given a schema that this program does not know.
    Schema(i64),
    /// A value that does not fit what it is read as.
    Column(usize),
    /// The connection is at work for an earlier question.
    Nested,
}

impl Fault {
    /// Whether it leaves open what became of what was asked: no answer, one that cannot be read, or one of a server that
    /// breaks off. A server that refuses and goes on tells that nothing was done.
    pub(super) fn leaves_open(&self) -> bool {
        let source = match self {
            Self::Server(source) => source,
            other => return matches!(other, Self::Silent(_) | Self::Warned(_)),
        };
        source.as_db_error().is_none_or(|said| {
            said.severity() != "ERROR" || said.code() == &SqlState::T_R_STATEMENT_COMPLETION_UNKNOWN
        })
    }
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
            Self::Silent(time) => write!(f, "no answer for {} s", time.as_secs()),
            Self::Warned(warning) => write!(f, "it says that it is done, but warns: {warning}"),
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

impl From<tokio_postgres::Error> for Fault {
    fn from(source: tokio_postgres::Error) -> Self {
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

/// A row of an answer.
#[derive(Debug)]
pub(super) enum Row<'a> {
    File(&'a rusqlite::Row<'a>),
    Server(&'a tokio_postgres::Row),
    /// Its values as text.
    Told(&'a tokio_postgres::SimpleQueryRow),
}

impl Row<'_> {
    /// What it has in a column, counted from 0.
    pub(super) fn get<T: Column>(&self, at: usize) -> Result<T, Fault> {
        let kept: T::Kept = match self {
            Self::File(row) => row.get(at)?,
            Self::Server(row) => row.try_get(at)?,
            Self::Told(row) => Told::told(row.try_get(at)?).ok_or(Fault::Column(at))?,
        };
        T::of(kept).ok_or(Fault::Column(at))
    }
}

/// What can be read from a column.
pub(super) trait Column: Sized {
    /// As the engines keep it.
    type Kept: FileFromSql + for<'a> ServerFromSql<'a> + Told;

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
    [u8; 16], Vec<u8>, |kept: Vec<u8>| kept.try_into().ok();
    JournalId, i64, |kept: i64| Some(JournalId(kept.cast_unsigned()));
    Option<i64>, Option<i64>, Some;
    Option<u64>, Option<i64>, |kept: Option<i64>| Some(kept.map(i64::cast_unsigned));
    Option<u32>, Option<i64>, |kept: Option<i64>| kept.map(u32::try_from).transpose().ok();
    Option<String>, Option<String>, Some;
    Option<Vec<u8>>, Option<Vec<u8>>, Some;
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
    ($($value:expr),* $(,)?) => { &[$($crate::store::value::Value::from($value)),*] };
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
    &'a [u8; 16], |value: &'a [u8; 16]| Self::Bytes(value);
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
