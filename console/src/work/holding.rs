//! Records of the book in the order of commits, and what holds of them by core's ledger.

use super::WorkError;
use super::sets::Sets;
use super::words::{FILING, by_filing, filed};
use crate::desk::{Desk, DeskError, Placement, Remake, initials_in};
use crate::store::{Entry, Reader};
use bevelbook_core::record::{
    Bench, DecodeError, FIRST_DESK_KIND, JobId, JobState, JournalId, Ledger, LensId, LensState, Logged,
    Placed, RecordId, Tells, Told,
};
use bevelbook_core::sizing::Rim;
use jiff::Timestamp;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What one record says.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// A fact of the bench, as one of the job whose own it stands as.
    Bench(Bench),
    /// A record of the console's own.
    Desk(Desk),
    /// A kind that this version does not know; it is kept as it came.
    Unknown(u8),
    /// Its fields do not have the shape of their kind; why.
    Damaged(String),
}

/// An interval in which a record was made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Between {
    /// Not earlier than then.
    pub after: Option<Timestamp>,
    /// Not later than then.
    pub before: Option<Timestamp>,
}

/// One record.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its identity.
    pub id: RecordId,
    /// Its place in the order of commits.
    pub position: i64,
    /// The job it was written for.
    pub job: Option<JobId>,
    /// When it was written, where that is known.
    pub at: Option<Timestamp>,
    /// Whether a keypad's own clock says when, and no console.
    pub by_clock: bool,
    /// Between what it was written, where it is not known when and the book was asked for it.
    pub between: Option<Between>,
    /// The writer's starts and the milliseconds since the last one, of a writer without a clock.
    pub ticks: Option<(u32, u32)>,
    /// Milliseconds since the record before it of the same writer and start, among those that bear on the same job.
    pub within_ms: Option<u32>,
    /// What it says.
    pub fact: Fact,
    /// Whether it does not hold.
    pub void: bool,
    /// The initials of whoever said it at a desk, if they were put down.
    pub by: Option<String>,
    /// Why it never counted, if it was kept apart when it came in.
    pub apart: Option<String>,
}

impl Line {
    pub(super) fn new(entry: &Entry) -> Self {
        // A writer without a clock is a keypad: it has no kinds of the desk, whatever a former version took in of it.
        let of_no_desk = entry.kind >= FIRST_DESK_KIND && entry.boot.is_some();
        let known = || Fact::read(entry.kind, &entry.payload);
        Self {
            id: entry.id,
            position: entry.position,
            job: entry.job.map(JobId),
            at: entry.utc_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok()),
            by_clock: false,
            between: None,
            ticks: entry.boot.zip(entry.ticks),
            within_ms: None,
            fact: if of_no_desk { Fact::Unknown(entry.kind) } else { known() },
            void: false,
            by: (entry.kind >= FIRST_DESK_KIND && !of_no_desk).then(|| initials_in(&entry.payload)).flatten(),
            apart: entry.apart.clone(),
        }
    }

    /// As the ledger sees it.
    #[must_use]
    pub fn told(&self) -> Told {
        let tells = match (&self.fact, self.job) {
            _ if self.apart.is_some() => Tells::Other,
            (Fact::Bench(fact), _) => Tells::Bench(*fact),
            (Fact::Desk(Desk::Filing(filing)), Some(under)) => Tells::Filing { from: filing.from, under },
            (Fact::Desk(Desk::Remake(Remake { eye, lens, .. })), Some(job)) => {
                Tells::Remake(LensId { job, eye: *eye, number: *lens })
            }
            (Fact::Desk(Desk::Placement(Placement { journal, from, upto, station })), _) => {
                let (journal, from, station) = (*journal, *from, *station);
                Tells::Placed(Placed { journal, from, upto: upto.unwrap_or(u32::MAX), station })
            }
            (Fact::Desk(Desk::Order(_)), _) => Tells::Order,
            _ => Tells::Other,
        };
        // A console knows the time, a keypad its ticks.
        Told { id: self.id, at_console: self.ticks.is_none(), tells }
    }
}

impl Fact {
    /// What stored bytes of a kind say.
    #[must_use]
    pub fn read(kind: u8, bytes: &[u8]) -> Self {
        if kind < FIRST_DESK_KIND {
            match Bench::decode(kind, bytes) {
                Ok(fact) => Self::Bench(fact),
                Err(DecodeError::UnknownKind(kind)) => Self::Unknown(kind),
                Err(damaged) => Self::Damaged(damaged.to_string()),
            }
        } else {
            match Desk::decode(kind, bytes) {
                Ok(fact) => Self::Desk(fact),
                Err(DeskError::UnknownKind(kind)) => Self::Unknown(kind),
                Err(damaged) => Self::Damaged(damaged.to_string()),
            }
        }
    }
}

/// Records and their ledger.
#[derive(Debug)]
pub(super) struct Holding {
    pub(super) ledger: Ledger<Sets>,
    pub(super) lines: Vec<Line>,
}

impl Holding {
    fn new<'e>(entries: impl IntoIterator<Item = &'e Entry>) -> Self {
        let mut entries: Vec<&Entry> = entries.into_iter().collect();
        entries.sort_by_key(|entry| entry.position);
        let mut lines: Vec<Line> = entries.into_iter().map(Line::new).collect();
        let ledger = Ledger::over(lines.iter().map(Line::told), Sets::default());
        let mut last = HashMap::new();
        for line in &mut lines {
            if let Some((boot, ticks)) = line.ticks {
                let before = last.insert(line.id.journal, (boot, ticks)).filter(|(of, _)| *of == boot);
                line.within_ms = before.map(|(_, before)| ticks.wrapping_sub(before));
            }
            line.void = !ledger.holds(&line.told());
            if let Fact::Bench(fact) = &mut line.fact
                && let Some(job) = fact.job()
            {
                *fact = fact.filed_under(ledger.owner(job));
            }
        }
        Self { ledger, lines }
    }

    /// Everything that bears on a job.
    pub(super) fn of_job(reader: &Reader, filings: &Filings, id: JobId) -> Result<Self, WorkError> {
        Ok(Self::among(&filings.entries(reader, &[id])?, filings, id))
    }

    /// The same from records that were read.
    pub(super) fn among(entries: &HashMap<u64, Vec<Entry>>, filings: &Filings, id: JobId) -> Self {
        Self::new(filings.bearing_on(id).iter().filter_map(|job| entries.get(&job.0)).flatten())
    }

    /// The same for one job, of whose filings nothing is known yet.
    pub(super) fn of_job_alone(reader: &Reader, id: JobId) -> Result<Self, WorkError> {
        ask_of_few(reader, &[id], |_, _| ())?;
        Self::of_job(reader, &Filings::near(reader, &[id])?, id)
    }

    /// The records that belong to no job: the station's and the shop's.
    pub(super) fn of_no_job(reader: &Reader) -> Result<Self, WorkError> {
        Ok(Self::new(&reader.entries_of_no_job()?))
    }

    /// Everything that bears on one record.
    pub(super) fn of_record(reader: &Reader, entry: &Entry) -> Result<Self, WorkError> {
        match entry.job.map(JobId) {
            Some(job) => Self::of_job_alone(reader, job),
            None => Self::of_no_job(reader),
        }
    }

    /// The records of a journal in its own order, each with what holds of it.
    pub(super) fn of_journal(reader: &Reader, journal: JournalId) -> Result<Vec<Line>, WorkError> {
        let entries = reader.entries_of_journal(journal, 0..=u32::MAX)?;
        let mut lines = BTreeMap::new();
        let mut seen = BTreeSet::new();
        for entry in &entries {
            if entry.apart.is_some() {
                lines.insert(entry.id, Line::new(entry));
            } else if seen.insert(entry.job) {
                let bearing = Self::of_record(reader, entry)?.lines;
                lines.extend(
                    bearing.into_iter().filter(|line| line.id.journal == journal).map(|line| (line.id, line)),
                );
            }
        }
        Ok(lines.into_values().collect())
    }

    /// What holds its lenses, and whether its opening does not hold, of a job that was opened at the bench and belongs to
    /// no order.
    pub(super) fn opening(&self, id: JobId) -> Option<(Rim, bool)> {
        let opened = |line: &Line| match &line.fact {
            Fact::Bench(Bench::Opened(opened)) if line.job == Some(id) => Some((opened.rim, line.void)),
            _ => None,
        };
        self.lines.iter().find_map(opened).filter(|_| self.ledger.owner(id) == id)
    }

    pub(super) fn told(&self) -> impl Iterator<Item = Told> + Clone {
        self.lines.iter().map(Line::told)
    }

    /// The facts that hold, newest last.
    pub(super) fn holding(&self) -> impl DoubleEndedIterator<Item = &Line> {
        self.lines.iter().filter(|line| !line.void)
    }
}

/// The state of job `id` by some of its records alone.
pub(crate) fn state_of(id: JobId, told: impl Iterator<Item = Told> + Clone) -> JobState {
    Ledger::over(told.clone(), Sets::default()).job(id, told)
}

/// What holds of some of a job's records alone.
pub(crate) fn facts_of(id: JobId, told: impl Iterator<Item = Told> + Clone) -> Vec<Logged> {
    Ledger::over(told.clone(), Sets::default()).facts(id, told).collect()
}

/// The state of a lens after each of its job's own lines that tells of it.
pub(super) fn course<'l>(
    lens: LensId,
    lines: impl Iterator<Item = &'l Line> + Clone,
) -> Vec<(RecordId, LensState)> {
    let told = lines.map(Line::told);
    let mut course = Vec::new();
    Ledger::over(told.clone(), Sets::default()).follow(lens, told, |id, state| course.push((id, *state)));
    course
}

/// Of so many jobs is asked ahead that none bears on another, which holds of most.
const FEW: usize = 16;

/// Within a transaction: asks ahead what bears on some jobs, if they are few, and what else `ask` asks of each.
pub(super) fn ask_of_few<'i>(
    reader: &Reader,
    ids: impl IntoIterator<Item = &'i JobId>,
    ask: impl Fn(&Reader, JobId),
) -> Result<(), WorkError> {
    let ids: Vec<JobId> = ids.into_iter().copied().collect();
    if ids.is_empty() || ids.len() > FEW {
        return Ok(());
    }
    Ok(reader.ahead(|reader| {
        let _ = (Filings::near(reader, &ids), Filings::default().entries(reader, &ids));
        ids.iter().for_each(|id| ask(reader, *id));
    })?)
}

/// Filings that were ever made, whether they hold or not: what of, and under what.
#[derive(Debug, Default)]
pub(super) struct Filings {
    under: BTreeMap<JobId, BTreeSet<JobId>>,
    from: BTreeMap<JobId, BTreeSet<JobId>>,
}

impl Filings {
    /// All of them, as the book has them now: for many jobs.
    pub(super) fn all(reader: &Reader) -> Result<Self, WorkError> {
        let mut filings = Self::default();
        for (word, under) in reader.found_by_beginning(FILING)? {
            filings.note(filed(&word), JobId(under));
        }
        Ok(filings)
    }

    /// Those that tell which jobs bear on these.
    pub(super) fn near<'i>(
        reader: &Reader,
        ids: impl IntoIterator<Item = &'i JobId>,
    ) -> Result<Self, WorkError> {
        let mut filings = Self::default();
        let with_own: Vec<(u64, String)> = ids.into_iter().map(|id| (id.0, by_filing(*id))).collect();
        for (word, under) in reader.found_with(&with_own, FILING)? {
            filings.note(filed(&word), JobId(under));
        }
        Ok(filings)
    }

    fn note(&mut self, from: Option<JobId>, under: JobId) {
        if let Some(from) = from {
            self.under.entry(from).or_default().insert(under);
            self.from.entry(under).or_default().insert(from);
        }
    }

    /// The records that bear on jobs, by the job that they belong to.
    pub(super) fn entries(
        &self,
        reader: &Reader,
        ids: &[JobId],
    ) -> Result<HashMap<u64, Vec<Entry>>, WorkError> {
        let bearing: BTreeSet<JobId> = ids.iter().flat_map(|id| self.bearing_on(*id)).collect();
        Ok(reader.entries_of_jobs(&bearing.into_iter().map(|job| job.0).collect::<Vec<_>>())?)
    }

    /// The jobs whose records bear on a job: itself, those filed under it, and those that lay claim to the same, now or
    /// before.
    pub(super) fn bearing_on(&self, id: JobId) -> BTreeSet<JobId> {
        let mut bears: BTreeSet<JobId> =
            self.from.get(&id).into_iter().flatten().copied().chain([id]).collect();
        let claims = bears.iter().filter_map(|from| self.under.get(from)).flatten();
        let claims: Vec<JobId> = claims.copied().collect();
        bears.extend(claims);
        bears
    }
}
