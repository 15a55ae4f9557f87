//! A book on a disk that may fail: what is on it for good, what only seems to be, and copies of it.

use crate::day;
use crate::server::{AWAY, Keeper};
use bevelbook::keypad::{Bearing, Snapshot};
use bevelbook::work::{Held, Imported, Sets};
use bevelbook_core::link::LEFT_OUT;
use bevelbook_core::record::{
    Bench, JobId, JobState, JournalId, Ledger, RecordId, StationId, Stored, Tells, Told,
};
use bevelbook_core::sizing::Dial;
use std::collections::BTreeMap;
use std::convert::Infallible;

/// What the next commit meets.
pub(crate) const COMMITS: [&str; 6] = [
    "the disk is full",
    "fsync fails, and what was written is not there",
    "fsync fails, and what was written is there all the same",
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
#[derive(Clone, Debug)]
pub(crate) struct Content {
    pub(crate) rows: Vec<Row>,
    /// Each row as the ledger sees it.
    told: Vec<Told>,
    /// The journal that consoles write; a copy that is put back goes on in another.
    pub(crate) own: JournalId,
    index: BTreeMap<RecordId, usize>,
    pub(crate) adopted: Vec<(JournalId, String)>,
    conflicts: BTreeMap<RecordId, Stored>,
}

/// The disk.
#[derive(Debug)]
pub(crate) struct Disk {
    pub(crate) content: Content,
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
    /// The server that keeps it, where that is no file.
    pub(crate) server: Keeper,
}

impl Content {
    /// A book in which this shop's keypads are known, or none yet.
    pub(crate) fn new(own: JournalId, adopted: &[JournalId]) -> Self {
        let (rows, told, index, conflicts) = (Vec::new(), Vec::new(), BTreeMap::new(), BTreeMap::new());
        let mut content = Self { rows, told, own, index, adopted: Vec::new(), conflicts };
        content.adopted.extend(adopted.iter().map(|journal| (*journal, journal.to_string())));
        day::typed_before().iter().for_each(|fact| content.log(fact));
        content
    }

    /// Only so many rows are left; what is gone.
    fn lack(&mut self, rows: usize) -> Vec<RecordId> {
        self.told.truncate(rows);
        let gone: Vec<Row> = self.rows.drain(rows.min(self.rows.len())..).collect();
        let gone: Vec<RecordId> =
            gone.iter().map(|row| RecordId { journal: row.journal, seq: row.record.seq }).collect();
        self.index.retain(|_, at| *at < rows);
        gone
    }

    /// A fact typed at a console.
    pub(crate) fn log(&mut self, fact: &Bench) {
        let record = day::stored(fact, self.last(self.own).unwrap_or(0) + 1);
        self.push(Row { journal: self.own, record, utc_ms: None });
    }

    /// Records of a keypad from before the day.
    pub(crate) fn take(&mut self, journal: JournalId, records: &[Stored]) {
        records.iter().for_each(|record| self.push(Row { journal, record: record.clone(), utc_ms: None }));
    }

    fn push(&mut self, row: Row) {
        let id = RecordId { journal: row.journal, seq: row.record.seq };
        let tells = row.record.fact().map_or(Tells::Other, Tells::Bench);
        self.index.insert(id, self.rows.len());
        self.told.push(Told { id, tells, at_console: row.journal == self.own });
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

    /// The state of a job by all that is in the book.
    pub(crate) fn state(&self, job: JobId) -> JobState {
        let told = || self.told.iter().copied();
        Ledger::over(told(), Sets::default()).job(job, told())
    }

    /// The dial that the station last stated.
    pub(crate) fn dial(&self) -> Option<Dial> {
        let told = || self.told.iter().copied();
        Ledger::over(told(), Sets::default()).dial(StationId::FIRST, told()).map(|(_, dial)| dial)
    }

    /// The position of the newest record that `bears`.
    pub(crate) fn newest(&self, bears: impl Fn(&Bench) -> bool) -> i64 {
        let bears = |told: &Told| matches!(&told.tells, Tells::Bench(fact) if bears(fact));
        self.told.iter().rposition(bears).map_or(0, |at| at as i64 + 1)
    }

    /// What of a job a keypad that writes `journal` is to be told.
    pub(crate) fn snapshot(&self, journal: JournalId, job: JobId) -> Snapshot {
        let of_job = |told: &Told| matches!(told.tells, Tells::Bench(fact) if fact.job() == Some(job));
        let bearing = |(position, told): (i64, &Told)| {
            of_job(told).then(|| Bearing { position, told: *told, own: told.id.journal == journal })
        };
        let records: Vec<Bearing> = (1..).zip(&self.told).filter_map(bearing).collect();
        let first_from = |from: u32| {
            let ids =
                RecordId { journal, seq: from }..=RecordId { journal, seq: from.saturating_add(LEFT_OUT) };
            let first = self.index.range(ids).map(|(_, at)| *at as i64 + 1).min();
            Ok::<_, Infallible>(first)
        };
        let Ok(snapshot) = Snapshot::of(job, journal, &records, day::shown, first_from);
        snapshot
    }

    /// The state of a job as a keypad that holds a card of it has it: by all that was there when that was made, and by what it
    /// logged since, of which `more` are not here yet.
    pub(crate) fn held_state(&self, journal: JournalId, job: JobId, made: i64, more: &[Stored]) -> JobState {
        let seen =
            (1..).zip(&self.told).filter(|(position, told)| *position <= made || told.id.journal == journal);
        let more = more.iter().filter_map(|record| Some(record.logged(journal).ok()?.into()));
        let told: Vec<Told> = seen.map(|(_, told)| *told).chain(more).collect();
        Ledger::over(told.iter().copied(), Sets::default()).job(job, told.iter().copied())
    }

    /// The record about the first job that a keypad wrote last but so many.
    pub(crate) fn said(&self, journal: JournalId, back: usize) -> Option<RecordId> {
        let of_job = |told: &&Told| {
            let about = |fact: Bench| fact.job() == Some(day::JOBS[0]) && !matches!(fact, Bench::Void(_));
            told.id.journal == journal && matches!(told.tells, Tells::Bench(fact) if about(fact))
        };
        self.told.iter().rev().filter(of_job).nth(back).map(|told| told.id)
    }
}

impl Disk {
    pub(crate) fn new(content: Content) -> Self {
        let server = Keeper { followed: content.rows.len(), ..Keeper::default() };
        Self {
            server,
            content,
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

    /// Commits records of a keypad, or does not.
    pub(crate) fn commit(
        &mut self,
        journal: JournalId,
        records: &[(Stored, Option<i64>)],
    ) -> Result<Imported, String> {
        if let Some((done, ms)) = self.server.lost.take() {
            if done {
                let (_, fresh) = self.content.import(journal, records);
                self.writes += 1;
                self.fresh.extend(fresh);
            }
            self.server.unanswered += 1;
            self.server.leave(ms);
            return Err(format!("{AWAY} went while it committed"));
        }
        let how = self.next_commit.take();
        let refused = |how: u64| Err(COMMITS[how as usize % COMMITS.len()].to_owned());
        if let Some(how @ (0 | 1 | 3 | 5)) = how {
            self.killed = how == 3;
            return refused(how);
        }
        let (imported, fresh) = self.content.import(journal, records);
        self.writes += 1;
        self.fresh.extend(fresh);
        self.killed = how == Some(4);
        if how == Some(2) {
            return refused(2);
        }
        self.followed();
        Ok(imported)
    }

    /// Something was committed and answered: the standby has it, and all before it.
    pub(crate) const fn followed(&mut self) {
        self.server.followed = self.content.rows.len();
    }

    /// A fact typed at another console, unless its server is away.
    pub(crate) fn typed(&mut self, fact: &Bench) {
        if !self.server.is_away() {
            self.content.log(fact);
            self.writes += 1;
            self.followed();
        }
    }

    /// The standby takes the server's place; what it lacks.
    pub(crate) fn promote(&mut self, ms: u64) -> Vec<RecordId> {
        self.server.leave(ms);
        self.writes += 1;
        self.content.lack(self.server.followed)
    }

    /// Another book lies in its place.
    pub(crate) fn put(&mut self, content: Content) {
        self.generation += 1;
        self.content = Content { own: JournalId(day::OWN.0 + u64::from(self.generation)), ..content };
        self.writes += 1;
        self.followed();
    }
}
