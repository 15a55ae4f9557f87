//! A record as the book sees it: who wrote it, a kind code, a job to find it by, and bytes.

use super::value::{Fault, Row};
use bevelbook_core::record::{JournalId, RecordId, Stored};

/// A record in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its place in the order of commits in this book; rises, may skip. Another book has other positions.
    pub position: i64,
    /// What it is known by everywhere.
    pub id: RecordId,
    /// Code of its kind, as the writer gave it.
    pub kind: u8,
    /// The job it is found under, if it belongs to one.
    pub job: Option<u64>,
    /// What it says.
    pub payload: Vec<u8>,
    /// The writer's count of its boots, if it has no clock.
    pub boot: Option<u32>,
    /// The writer's ticks since that boot.
    pub ticks: Option<u32>,
    /// Wall time in milliseconds since 1970-01-01 UTC, if known.
    pub utc_ms: Option<i64>,
    /// Why it does not count; none for a record that does. It keeps its number, and no read of facts finds it.
    pub apart: Option<String>,
}

/// A record this console is about to write; the book gives it its number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewEntry {
    /// Code of its kind.
    pub kind: u8,
    /// The job to find it under.
    pub job: Option<u64>,
    /// What it says.
    pub payload: Vec<u8>,
    /// Wall time in milliseconds since 1970-01-01 UTC.
    pub utc_ms: Option<i64>,
}

/// A record of another writer's journal, as it arrived, and what the receiver makes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Received {
    /// As its writer stored it; of a kind known to this software or not.
    pub record: Stored,
    /// The job to find it under.
    pub job: Option<u64>,
    /// Wall time in milliseconds since 1970-01-01 UTC, if known.
    pub utc_ms: Option<i64>,
    /// Why it is kept apart and does not count, if so.
    pub apart: Option<String>,
}

impl Received {
    /// The entry that it makes; the book gives it its position.
    pub(super) fn entry(&self, journal: JournalId) -> Entry {
        let Stored { seq, boot, ticks, kind, data } = &self.record;
        Entry {
            position: 0,
            id: RecordId { journal, seq: *seq },
            kind: *kind,
            job: self.job,
            payload: data.to_vec(),
            boot: Some(*boot),
            ticks: Some(*ticks),
            utc_ms: self.utc_ms,
            apart: self.apart.clone(),
        }
    }
}

impl Entry {
    /// Whether the writer said the same. `job`, `utc_ms` and `apart` are the receiver's own reading of a record and may
    /// improve from one time to the next; they do not count.
    pub(super) fn says_the_same(&self, known: &Self) -> bool {
        (self.kind, &self.payload, self.boot, self.ticks)
            == (known.kind, &known.payload, known.boot, known.ticks)
    }
}

/// What became of an import. All of it is on the disk.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// How many records were new.
    pub new: usize,
    /// How many were here already, the same.
    pub known: usize,
    /// The numbers under which something else is here already. The book keeps its record, and the one that
    /// arrived apart (see [`super::Reader::conflicts`]). A keypad that sent such a record must not be
    /// acknowledged to or beyond it.
    pub conflicts: Vec<u32>,
    /// The numbers of those that are kept apart, and why.
    pub apart: Vec<(u32, String)>,
}

impl Imported {
    /// Adds what became of more.
    pub fn add(&mut self, more: Self) {
        let Self { new, known, conflicts, apart } = more;
        self.new += new;
        self.known += known;
        self.conflicts.extend(conflicts);
        self.apart.extend(apart);
    }
}

/// The columns of [`Entry`] in schema 1, in the order [`entry_1`] reads them.
macro_rules! columns_1 {
    () => {
        "position, journal, seq, kind, job, payload, boot, ticks, utc_ms"
    };
}

/// The columns of [`Entry`], in the order [`entry`] reads them.
macro_rules! columns {
    () => {
        concat!($crate::store::entry::columns_1!(), ", apart")
    };
}
pub(super) use {columns, columns_1};

/// The entry in a row of [`columns_1`].
pub(super) fn entry_1(row: &Row<'_>) -> Result<Entry, Fault> {
    Ok(Entry {
        position: row.get(0)?,
        id: RecordId { journal: row.get(1)?, seq: row.get(2)? },
        kind: row.get(3)?,
        job: row.get(4)?,
        payload: row.get(5)?,
        boot: row.get(6)?,
        ticks: row.get(7)?,
        utc_ms: row.get(8)?,
        apart: None,
    })
}

/// The entry in a row of [`columns`].
pub(super) fn entry(row: &Row<'_>) -> Result<Entry, Fault> {
    Ok(Entry { apart: row.get(9)?, ..entry_1(row)? })
}
