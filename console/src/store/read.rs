//! Reading the book, at rest or inside a write.

use super::engine::Conn;
use super::entry::{Entry, columns, entry};
use super::listed::listed;
use super::value::{Fault, For, Row, Value, values};
use super::{Error, Patience, Place, Trouble, fault, file};
use bevelbook_core::record::{JournalId, RecordId};
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::ops::RangeInclusive;

/// The records that a condition holds of, in the order of commits.
macro_rules! records {
    ($condition:literal) => {
        concat!("SELECT ", columns!(), " FROM record WHERE ", $condition, " ORDER BY position")
    };
}
pub(super) use records;

/// All reads of a book. [`super::Book`] and [`super::Tx`] both give it by dereference; inside a write it sees
/// what that write has done so far.
#[derive(Debug)]
pub struct Reader {
    pub(super) conn: Conn,
    place: Place,
    /// Words in memory that stand before the book's, while there are any (`found.rs`).
    pub(super) words: RefCell<Option<Conn>>,
    /// Whether the last write put records down: whoever cannot read then is told that they are there.
    pub(super) wrote: Cell<bool>,
}

impl Reader {
    pub(super) fn new(conn: Conn, place: &Place) -> Self {
        Self { conn, place: place.clone(), words: RefCell::default(), wrote: Cell::new(false) }
    }

    /// Where the book is, as it was given.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// What is to be told of a server that keeps the book: of what is not kept for certain there, a sentence each.
    pub fn warnings(&self) -> &[String] {
        match &self.conn {
            Conn::File(_) => &[],
            Conn::Server(link) => &link.warnings,
        }
    }

    /// Who waits from now on for what a server answers; who did before. A file does not go away.
    pub fn wait_as(&self, patience: Patience) -> Patience {
        let Conn::Server(link) = &self.conn else { return patience };
        link.wait_as(patience)
    }

    /// The records of a job, in the order of commits.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entries_of_job(&self, job: u64) -> Result<Vec<Entry>, Error> {
        // Few, so that they are sorted sooner here than by the database.
        let sql = concat!("SELECT ", columns!(), " FROM record WHERE job = ?1 AND apart IS NULL");
        let mut entries = self.rows(sql, values![job], entry)?;
        entries.sort_unstable_by_key(|entry| entry.position);
        Ok(entries)
    }

    /// The records of jobs, those of each in the order of commits.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entries_of_jobs(&self, jobs: &[u64]) -> Result<HashMap<u64, Vec<Entry>>, Error> {
        let mut of_jobs: HashMap<u64, Vec<Entry>> = HashMap::new();
        // Those that bear on some jobs are somewhat more.
        for some in jobs.chunks(2 * Self::AT_ONCE) {
            let (numbers, values) = listed(1, some);
            let sql = format!(
                concat!("SELECT ", columns!(), " FROM record WHERE job IN ({}) AND apart IS NULL"),
                numbers
            );
            for entry in self.rows(&sql, &values, entry)? {
                of_jobs.entry(entry.job.unwrap_or_default()).or_default().push(entry);
            }
        }
        of_jobs.values_mut().for_each(|entries| entries.sort_unstable_by_key(|entry| entry.position));
        Ok(of_jobs)
    }

    /// So many jobs are folded from one question.
    pub const AT_ONCE: usize = 256;

    /// The records that belong to no job, in the order of commits.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entries_of_no_job(&self) -> Result<Vec<Entry>, Error> {
        self.rows(records!("job IS NULL AND apart IS NULL"), values![], entry)
    }

    /// All entries of one kind of the console's own, in commit order.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entries_of_kind(&self, kind: u8) -> Result<Vec<Entry>, Error> {
        self.rows(records!("kind = ?1 AND kind >= 128 AND apart IS NULL"), values![kind], entry)
    }

    /// The jobs of the entries of one kind of the console's own, in commit order.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn jobs_of_kind(&self, kind: u8) -> Result<Vec<u64>, Error> {
        let sql = "SELECT job FROM record
                   WHERE kind = ?1 AND kind >= 128 AND apart IS NULL AND job IS NOT NULL ORDER BY position";
        self.rows(sql, values![kind], |r| r.get(0))
    }

    /// How many entries there are of one kind of the console's own.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn count_of_kind(&self, kind: u8) -> Result<u32, Error> {
        let sql = "SELECT count(*) FROM record WHERE kind = ?1 AND kind >= 128 AND apart IS NULL";
        self.ask("cannot count", |conn| Ok(conn.first(sql, values![kind], |row| row.get(0))?.unwrap_or(0)))
    }

    /// The position of the last record; 0 when there is none.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_position(&self) -> Result<i64, Error> {
        let sql = "SELECT coalesce(max(position), 0) FROM record";
        self.ask("cannot look for the last record", |conn| conn.value(sql, values![]))
    }

    /// The jobs with records whose ids lie in a range, rising.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn jobs_within(&self, jobs: RangeInclusive<u64>) -> Result<Vec<u64>, Error> {
        // The upper half is negative in the book.
        let sql = "SELECT DISTINCT job FROM record WHERE job BETWEEN ?1 AND ?2 AND apart IS NULL";
        self.rows(sql, values![*jobs.start(), *jobs.end()], |r| r.get(0))
    }

    /// The highest number of a journal among the records of a job.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_seq_of_job(&self, job: u64, journal: JournalId) -> Result<Option<u32>, Error> {
        let sql = "SELECT max(seq) FROM record WHERE job = ?1 AND journal = ?2 AND apart IS NULL";
        self.ask("cannot look for a job's last record", |conn| conn.value(sql, values![job, journal]))
    }

    /// The position of the earliest committed record among those numbers of a journal.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn first_position(
        &self,
        journal: JournalId,
        seqs: RangeInclusive<u32>,
    ) -> Result<Option<i64>, Error> {
        // Not of the position as it is: a server would go through all of them from the first on until it meets one of those.
        let sql = "SELECT min(position + 0) FROM record WHERE journal = ?1 AND seq BETWEEN ?2 AND ?3";
        let values = values![journal, *seqs.start(), *seqs.end()];
        self.ask("cannot look for a record", |conn| conn.value(sql, values))
    }

    /// All records behind a position, in the order of commits; `0` for all there are.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entries_after(&self, position: i64) -> Result<Vec<Entry>, Error> {
        self.rows(records!("position > ?1 AND apart IS NULL"), values![position], entry)
    }

    /// The records of a journal within a range of numbers, also those kept apart, in the order of commits.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entries_of_journal(
        &self,
        journal: JournalId,
        seqs: RangeInclusive<u32>,
    ) -> Result<Vec<Entry>, Error> {
        let values = values![journal, *seqs.start(), *seqs.end()];
        self.rows(records!("journal = ?1 AND seq BETWEEN ?2 AND ?3"), values, entry)
    }

    /// One record, also if it is kept apart.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn entry(&self, id: RecordId) -> Result<Option<Entry>, Error> {
        let sql = records!("journal = ?1 AND seq = ?2");
        self.ask("cannot read a record", |conn| conn.first(sql, values![id.journal, id.seq], entry))
    }

    /// The highest number a journal has here; `None` when nothing of it is here. There may be gaps below.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_seq(&self, journal: JournalId) -> Result<Option<u32>, Error> {
        let sql = "SELECT max(seq) FROM record WHERE journal = ?1";
        self.ask("cannot read a journal's last number", |conn| conn.value(sql, values![journal]))
    }

    /// The numbers missing between 1, a journal's first, and the highest it has here, as ranges, rising.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn gaps(&self, journal: JournalId) -> Result<Vec<RangeInclusive<u32>>, Error> {
        // Where a record came, the one before it was not there; it may have come since.
        let sql = "SELECT before + 1, seq - 1
                   FROM (SELECT seq, coalesce((SELECT max(seq) FROM record
                                               WHERE journal = ?1 AND seq < leap.seq), 0) AS before
                         FROM leap WHERE journal = ?1) AS late
                   WHERE before < seq - 1 ORDER BY seq";
        self.rows(sql, values![journal], |r| Ok(r.get(0)?..=r.get(1)?))
    }

    /// The journals with records here or begun here, and whether a console of this book (or of one it is a copy
    /// of) began it; in rising order of id.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn journals(&self) -> Result<Vec<(JournalId, bool)>, Error> {
        let sql = "SELECT id, begun_here FROM journal ORDER BY id";
        let mut journals = self.rows(sql, values![], |r| Ok((r.get(0)?, r.get(1)?)))?;
        journals.sort_unstable();
        Ok(journals)
    }

    /// What arrived under numbers already taken, in the order of arrival.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn conflicts(&self) -> Result<Vec<Entry>, Error> {
        self.rows(concat!("SELECT ", columns!(), " FROM conflict ORDER BY position"), values![], entry)
    }

    /// What arrived under the number of this record, which is taken.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn conflicts_with(&self, id: RecordId) -> Result<Vec<Entry>, Error> {
        let sql = concat!(
            "SELECT ",
            columns!(),
            " FROM conflict WHERE journal = ?1 AND seq = ?2 ORDER BY position"
        );
        self.rows(sql, values![id.journal, id.seq], entry)
    }

    /// A number that differs from the last one asked for when another connection has written in between; this
    /// connection's own writes do not change it. Ask for it before reading what it is to vouch for.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn data_version(&self) -> Result<i64, Error> {
        self.ask("cannot ask for changes", Conn::others_wrote)
    }

    /// Whether the book has no record yet.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn is_empty(&self) -> Result<bool, Error> {
        let sql = "SELECT NOT EXISTS (SELECT 1 FROM record)";
        self.ask("cannot read", |conn| conn.value(sql, values![]))
    }

    /// The journal the consoles of this book write; none of a backup that was not opened to be written to yet.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn home(&self) -> Result<Option<JournalId>, Error> {
        match &self.conn {
            Conn::File(_) => self.join(file::home::own(&self.conn)),
            Conn::Server(link) => Ok(link.own.get()),
        }
    }

    /// The journal the consoles of this book write, of a book that was opened to be written to.
    ///
    /// # Errors
    /// It has none, or the database cannot be read.
    pub fn own_journal(&self) -> Result<JournalId, Error> {
        let none = || Trouble::Damaged { what: "it has no console journal".to_owned() };
        self.join(self.home()?.ok_or_else(none))
    }

    /// Reads many things as they are at one moment, which also spares each of them its own lock.
    ///
    /// # Errors
    /// Those of `read`, or the database cannot be read.
    pub fn at_one_moment<T, E: From<Error>>(&self, read: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
        let moment = (!self.conn.is_open()).then(|| self.conn.begin(For::Reading)).transpose();
        let _moment = self.join(moment.map_err(fault::failed("cannot begin to read")))?;
        read()
    }

    pub(super) fn rows<T>(
        &self,
        sql: &str,
        values: &[Value<'_>],
        row: impl FnMut(&Row<'_>) -> Result<T, Fault>,
    ) -> Result<Vec<T>, Error> {
        self.ask("cannot read", |conn| conn.rows(sql, values, row))
    }

    /// What the database answers; `doing` is what could not be done where it refuses.
    pub(super) fn ask<T>(
        &self,
        doing: &'static str,
        ask: impl FnOnce(&Conn) -> Result<T, Fault>,
    ) -> Result<T, Error> {
        self.join(ask(&self.conn).map_err(fault::failed(doing)))
    }

    /// The place of the book joins what went wrong.
    pub(super) fn join<T>(&self, result: Result<T, Trouble>) -> Result<T, Error> {
        result.map_err(|trouble| {
            let trouble = if self.wrote.get() { trouble.behind_a_write() } else { trouble };
            trouble.at(self.place.clone())
        })
    }
}
