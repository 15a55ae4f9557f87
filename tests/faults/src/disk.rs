//! A book on a disk that may fail: what is on it for good, what only seems to be, and copies of it.

use crate::day;
use bevelbook::work::{Held, Imported};
use bevelbook_core::record::{
    Bench, JobId, JobState, JournalId, Ledger, Logged, Notes, RecordId, Stored, Tells, Told,
};
use std::collections::{BTreeMap, BTreeSet};

/// What the next commit meets.
pub(crate) const COMMITS: [&str; 6] = [
    "the disk is full",
    "fsync fails, and what was written goes when the book is opened again",
    "fsync fails, and what was written stays",
    "the console is killed before it",
    "the console is killed behind it",
    "somebody else has the book",
];

/// A record of the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) journal: JournalId,
    pub(crate) record: Stored,
    pub(crate) utc_ms: Option<i64>,
}

/// What a book holds, in the order of commits: a position is an index and one.
#[derive(Clone, Debug, Default)]
pub(crate) struct Content {
    pub(crate) rows: Vec<Row>,
    index: BTreeMap<RecordId, usize>,
    pub(crate) adopted: Vec<(JournalId, String)>,
    conflicts: BTreeMap<RecordId, Stored>,
}

/// The disk.
#[derive(Debug)]
pub(crate) struct Disk {
    pub(crate) content: Content,
    /// Rows from this one on go when the book is opened again.
    unsynced: Option<usize>,
    /// Which book lies in its place, and how often it was written.
    pub(crate) generation: u32,
    pub(crate) writes: i64,
    pub(crate) backup: Option<Content>,
    /// What the next commit meets, of [`COMMITS`].
    pub(crate) next_commit: Option<u64>,
    /// How often it still cannot be opened.
    pub(crate) locked: u64,
    /// The console that was killed in a commit.
    pub(crate) killed: bool,
    /// Rows that came since this was last asked.
    pub(crate) fresh: Vec<Row>,
    /// Where the real book says otherwise.
    pub(crate) otherwise: Option<String>,
}

/// What a ledger keeps in mind; nothing is filed here.
#[derive(Clone, Debug, Default)]
struct Voids(BTreeSet<RecordId>);

impl Notes for Voids {
    fn note_void(&mut self, target: RecordId) {
        self.0.insert(target);
    }

    fn is_void(&self, id: RecordId) -> bool {
        self.0.contains(&id)
    }

    fn note_filing(&mut self, _: JobId, _: JobId) {}

    fn filed_under(&self, _: JobId) -> Option<JobId> {
        None
    }
}

impl Content {
    /// A book in which this shop's keypads are known, or none yet.
    pub(crate) fn new(adopted: &[JournalId]) -> Self {
        let mut content = Self::default();
        content.adopted.extend(adopted.iter().map(|journal| (*journal, journal.to_string())));
        day::typed_before().into_iter().for_each(|fact| drop(content.log(&fact)));
        content
    }

    /// A fact typed at a console.
    pub(crate) fn log(&mut self, fact: &Bench) -> Row {
        let record = day::stored(fact, self.last(day::OWN).unwrap_or(0) + 1);
        let row = Row { journal: day::OWN, record, utc_ms: None };
        self.push(row.clone());
        row
    }

    /// Records of a keypad from before the day.
    pub(crate) fn take(&mut self, journal: JournalId, records: &[Stored]) {
        records.iter().for_each(|record| self.push(Row { journal, record: record.clone(), utc_ms: None }));
    }

    fn push(&mut self, row: Row) {
        self.index.insert(RecordId { journal: row.journal, seq: row.record.seq }, self.rows.len());
        self.rows.push(row);
    }

    pub(crate) fn get(&self, id: RecordId) -> Option<&Stored> {
        self.index.get(&id).map(|at| &self.rows[*at].record)
    }

    pub(crate) fn of(&self, journal: JournalId) -> impl DoubleEndedIterator<Item = &Row> {
        let ids = RecordId { journal, seq: 0 }..=RecordId { journal, seq: u32::MAX };
        self.index.range(ids).map(|(_, at)| &self.rows[*at])
    }

    pub(crate) fn last(&self, journal: JournalId) -> Option<u32> {
        self.of(journal).next_back().map(|row| row.record.seq)
    }

    pub(crate) fn conflict(&self, journal: JournalId) -> Option<u32> {
        self.conflicts.keys().filter(|id| id.journal == journal).map(|id| id.seq).min()
    }

    pub(crate) fn held(&self, journal: JournalId) -> Held {
        // Nobody at the bench asks for the gaps.
        Held { last: self.last(journal), gaps: Vec::new(), conflict: self.conflict(journal) }
    }

    fn import(&mut self, journal: JournalId, records: &[(Stored, Option<i64>)]) -> (Imported, Vec<Row>) {
        let (mut imported, mut fresh) = (Imported::default(), Vec::new());
        for (record, utc_ms) in records {
            let id = RecordId { journal, seq: record.seq };
            match self.get(id) {
                None => {
                    imported.new += 1;
                    let row = Row { journal, record: record.clone(), utc_ms: *utc_ms };
                    self.push(row.clone());
                    fresh.push(row);
                }
                Some(known) if known == record => imported.known += 1,
                Some(_) => {
                    imported.conflicts.push(record.seq);
                    self.conflicts.entry(id).or_insert_with(|| record.clone());
                }
            }
        }
        (imported, fresh)
    }

    pub(crate) fn told(&self) -> impl Iterator<Item = Told> + Clone + '_ {
        self.rows.iter().map(|row| {
            let id = RecordId { journal: row.journal, seq: row.record.seq };
            match row.record.fact() {
                Ok(fact) => Logged { id, fact }.into(),
                Err(_) => Told { id, tells: Tells::Other },
            }
        })
    }

    /// The state of a job by all that is in the book.
    pub(crate) fn state(&self, job: JobId) -> JobState {
        Ledger::over(self.told(), Voids::default()).job(job, self.told())
    }

    /// The state of a job by the book and by what a keypad holds beside it.
    pub(crate) fn state_with(&self, job: JobId, own: &[(JournalId, Stored)]) -> JobState {
        let own = own.iter().filter_map(|(journal, record)| record.logged(*journal).ok().map(Told::from));
        let told = self.told().chain(own);
        Ledger::over(told.clone(), Voids::default()).job(job, told)
    }

    pub(crate) fn dial(&self) -> Option<bevelbook_core::sizing::Dial> {
        Ledger::over(self.told(), Voids::default()).dial(self.told()).map(|(_, dial)| dial)
    }

    /// The position of the newest record that `bears`.
    pub(crate) fn newest(&self, bears: impl Fn(&Bench) -> bool) -> u32 {
        let at = self.rows.iter().rposition(|row| row.record.fact().is_ok_and(|fact| bears(&fact)));
        at.map_or(1, |at| at as u32 + 1)
    }
}

impl Disk {
    pub(crate) fn new(content: Content) -> Self {
        Self {
            content,
            unsynced: None,
            generation: 0,
            writes: 0,
            backup: None,
            next_commit: None,
            locked: 0,
            killed: false,
            fresh: Vec::new(),
            otherwise: None,
        }
    }

    /// What is on the disk for good.
    pub(crate) fn durable(&self, id: RecordId) -> Option<&Stored> {
        let at = self.content.index.get(&id).filter(|at| self.unsynced.is_none_or(|from| **at < from))?;
        Some(&self.content.rows[*at].record)
    }

    /// The book is opened anew, by a console that knows nothing of what only seemed to be written.
    pub(crate) fn reopen(&mut self) {
        if let Some(from) = self.unsynced.take() {
            self.content.rows.truncate(from);
            self.content.index.retain(|_, at| *at < from);
        }
    }

    /// Commits records of a keypad, or does not.
    pub(crate) fn commit(
        &mut self,
        journal: JournalId,
        records: &[(Stored, Option<i64>)],
    ) -> Result<Imported, String> {
        let how = self.next_commit.take();
        let refused = |how: u64| Err(COMMITS[how as usize % COMMITS.len()].to_owned());
        match how {
            Some(how @ (0 | 5)) => return refused(how),
            Some(how @ 3) => {
                self.killed = true;
                return refused(how);
            }
            _ => {}
        }
        let before = self.content.rows.len();
        let (imported, fresh) = self.content.import(journal, records);
        self.writes += 1;
        if how == Some(1) {
            self.unsynced = self.unsynced.or(Some(before));
            return refused(1);
        }
        self.fresh.extend(fresh);
        self.killed |= how == Some(4);
        if how == Some(2) { refused(2) } else { Ok(imported) }
    }

    /// Another book lies in its place.
    pub(crate) fn put(&mut self, content: Content) {
        self.reopen();
        self.content = content;
        self.generation += 1;
        self.writes += 1;
    }
}
