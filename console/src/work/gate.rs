//! What of a keypad's records counts.
//!
//! A keypad is a thing on a cable: it may be broken, be another program, or come from anywhere. Whatever it sends is
//! kept, since that alone lets it go on; but only what a bench can say is believed. The rest is kept apart: it has its
//! number in the journal, a reason stands beside it, and no fold ever sees it. The question is asked inside the
//! transaction that takes the record in, on the state that it joins.
//!
//! - Kinds of the bench alone. One that this version does not know is kept as it came.
//! - Figures, lenses and subjects as core bounds them ([`Impossible`]), the same as for what is typed.
//! - A void names no record of the desk and no void. One that comes before what it names is taken; if that turns out to
//!   be the desk's, core's ledger lets it bear on nothing.
//! - What is told of an eye that no lens is made for is taken: a keypad that had an older card did what it says. It asks for
//!   nothing more, and stands in the log.
//! - What a keypad's clock said lies between what is known of its starts, and is not still to come.
//! - A new lens is the next one, or a few further where records were lost.
//! - Nothing of a job that is closed, but a new lens, which opens it again, and a void. What was logged while the job was
//!   open counts, however late it comes; where nobody knows when it was logged, it does not.

use super::append::now_ms;
use super::clock_said::ClockSaid;
use super::holding::{Holding, Line};
use super::starts::{clock_of, impossible_clock};
use super::{Job, WorkError, job_of};
use crate::store::Reader;
use bevelbook_core::record::{
    Bench, Clock, DecodeError, FIRST_DESK_KIND, Impossible, JobId, JournalId, LensId, NewLens, RecordId,
    Stored, Tells, Void,
};
use jiff::Timestamp;
use std::collections::HashMap;

/// Why a record does not count. No message names a person.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum Why {
    /// Only a console writes that kind.
    #[error("only a console writes records of kind {0}")]
    OfTheDesk(u8),
    /// Its fields do not have the shape of its kind.
    #[error(transparent)]
    Damaged(DecodeError),
    /// No bench can say that.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// It would undo what a console wrote.
    #[error("it would undo record {0}, which only a console can undo")]
    UndoesTheDesk(RecordId),
    /// It would undo a void.
    #[error("it would undo record {0}, which is itself an undoing")]
    UndoesVoid(RecordId),
    /// The eye has not had the lens before.
    #[error("it goes on with lens {number} of the {} eye, which has had {had}", .lens.eye, number = .lens.number)]
    LensLeftOut {
        /// The lens.
        lens: LensId,
        /// The highest number before.
        had: u8,
    },
    /// A clock says what it cannot.
    #[error(
        "its clock said {0}, which is before its last start that is known, or still to come: it dates nothing"
    )]
    Clock(Timestamp),
    /// The job was over.
    #[error("job {0} was closed by then, or may have been")]
    Closed(u32),
}

/// The kind of what a clock said.
const CLOCK: u8 = Bench::Clock(Clock { utc_s: None }).kind();

/// The gate for the records of one journal, while they are taken in.
pub(super) struct Gate {
    journal: JournalId,
    /// What was found of jobs that were asked about; all of it while nothing came in that opens or closes one.
    closed: HashMap<JobId, Option<Closed>>,
    /// What the keypad's clock said in a start, where it was asked about.
    clocks: HashMap<u32, Option<ClockSaid>>,
}

/// A job that is over.
#[derive(Clone, Copy)]
struct Closed {
    number: u32,
    at: Option<Timestamp>,
}

impl Gate {
    pub(super) fn of(journal: JournalId) -> Self {
        Self { journal, closed: HashMap::new(), clocks: HashMap::new() }
    }

    /// When a record was made that no console dates, by the keypad's own clock: milliseconds since 1970-01-01 UTC.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn by_clock(&mut self, reader: &Reader, record: &Stored) -> Result<Option<i64>, WorkError> {
        if record.kind == CLOCK && impossible_clock(reader, self.journal, record, now_ms())?.is_none() {
            return Ok(ClockSaid::by(record).and_then(|clock| clock.at(record.ticks)));
        }
        let clock = match self.clocks.get(&record.boot) {
            Some(known) => *known,
            None => *self.clocks.entry(record.boot).or_insert(clock_of(reader, self.journal, record)?),
        };
        Ok(clock.and_then(|clock| clock.at(record.ticks)))
    }

    /// Why a record, written at `utc_ms` where that is known, does not count, if so.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn refusal(
        &mut self,
        reader: &Reader,
        record: &Stored,
        utc_ms: Option<i64>,
    ) -> Result<Option<Why>, WorkError> {
        if record.kind >= FIRST_DESK_KIND {
            return Ok(Some(Why::OfTheDesk(record.kind)));
        }
        let logged = match record.logged(self.journal) {
            Ok(logged) => logged,
            Err(DecodeError::UnknownKind(_)) => return Ok(None),
            Err(damaged) => return Ok(Some(Why::Damaged(damaged))),
        };
        if let Err(impossible) = logged.possible() {
            return Ok(Some(impossible.into()));
        }
        let of_the_lens_or_job = match logged.fact {
            Bench::Void(void) => undoes(reader, void.target)?,
            Bench::NewLens(NewLens { lens }) => leaves_out(reader, lens)?,
            Bench::Clock(_) => {
                self.clocks.remove(&record.boot);
                return Ok(impossible_clock(reader, self.journal, record, now_ms())?.map(Why::Clock));
            }
            fact => match fact.job() {
                Some(job) => return self.is_over(reader, job, utc_ms),
                None => None,
            },
        };
        self.closed.clear();
        Ok(of_the_lens_or_job)
    }

    fn is_over(
        &mut self,
        reader: &Reader,
        job: JobId,
        utc_ms: Option<i64>,
    ) -> Result<Option<Why>, WorkError> {
        let closed = match self.closed.get(&job) {
            Some(known) => *known,
            None => *self.closed.entry(job).or_insert(closed(reader, job)?),
        };
        let logged_at = utc_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok());
        Ok(closed
            .filter(|closed| !matches!((logged_at, closed.at), (Some(logged), Some(at)) if logged < at))
            .map(|closed| Why::Closed(closed.number)))
    }
}

fn undoes(reader: &Reader, target: RecordId) -> Result<Option<Why>, WorkError> {
    const NONE: RecordId = RecordId { journal: JournalId(0), seq: 0 };
    const VOID: u8 = Bench::Void(Void { job: None, target: NONE }).kind();
    Ok(reader.entry(target)?.and_then(|entry| match entry.kind {
        VOID => Some(Why::UndoesVoid(target)),
        FIRST_DESK_KIND.. => Some(Why::UndoesTheDesk(target)),
        _ => None,
    }))
}

/// How many lenses in a row may have been begun by records that a keypad lost.
const LOST: u8 = 4;

/// A lens is begun behind those that the eye has had by any record, also by one that does not hold any more, or by one
/// that was lost.
fn leaves_out(reader: &Reader, lens: LensId) -> Result<Option<Why>, WorkError> {
    let bearing = |id| Holding::of_job_alone(reader, id);
    let owner = bearing(lens.job)?.ledger.owner(lens.job);
    let begun = |line: &Line| match line.told().tells {
        Tells::Bench(Bench::NewLens(NewLens { lens })) | Tells::Remake(lens) => Some(lens),
        _ => None,
    };
    let lines = bearing(owner)?.lines;
    let had = lines.iter().filter_map(begun).filter(|begun| begun.eye == lens.eye).map(|begun| begun.number);
    let had = had.max().unwrap_or(1);
    Ok((lens.number > had.saturating_add(1 + LOST)).then_some(Why::LensLeftOut { lens, had }))
}

/// Whether the order to which a job belongs is over.
fn closed(reader: &Reader, id: JobId) -> Result<Option<Closed>, WorkError> {
    let holding = Holding::of_job_alone(reader, id)?;
    let owner = holding.ledger.owner(id);
    let job = if owner == id { Job::of(id, holding) } else { job_of(reader, owner) };
    let job = match job {
        Ok(job) if job.closed.is_some() => job,
        // A job without an order is closed by nobody.
        Ok(_) | Err(WorkError::Damaged { .. }) => return Ok(None),
        Err(other) => return Err(other),
    };
    Ok(Some(Closed { number: job.order.number, at: job.closed_at() }))
}
