//! Facts of the bench, typed at the console.

use super::append::append_bench;
use super::change::{job_then, write, write_about};
use super::desk::open;
use super::holding::{Fact, Holding, Line};
use super::station::dial_of;
use super::stations::{Stations, here};
use super::{Job, Work, WorkError, readable};
use crate::desk::Desk;
use crate::settings::Settings;
use crate::store::{Reader, Tx};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::{
    Bench, CentreDistance, CheckItem, JobId, LensId, PairId, Pass, Possible, Reading, RecordId, Stage,
    StationEvent, StationId, Subject, Void,
};
use bevelbook_core::sizing::{Advice, Outcome};
use bevelbook_core::units::Length;

/// A pass as it is typed in.
#[derive(Clone, Copy, Debug)]
pub struct PassEntry {
    /// Which eye.
    pub eye: Eye,
    /// The figure on the dial.
    pub amount: Length,
    /// What the hand felt.
    pub outcome: Outcome,
    /// Whether to insist past the guard.
    pub insist: bool,
}

/// A record that was voided.
#[derive(Clone, Debug)]
pub struct Voided {
    /// The void's own identity.
    pub id: RecordId,
    /// The record that does not hold any more.
    pub undone: Line,
    /// The job it told of, if it told of one.
    pub owner: Option<JobId>,
    /// That job without it, if it has an order.
    pub job: Option<Job>,
}

/// A fact that was logged, and the job before and after it.
#[derive(Clone, Debug)]
pub struct Logging {
    /// Its identity.
    pub id: RecordId,
    /// The fact.
    pub fact: Bench,
    /// The job before it.
    pub before: Job,
    /// The job with it.
    pub after: Job,
}

impl Work {
    /// Logs a fact about the present lens of one eye.
    ///
    /// # Errors
    /// The job is closed, no lens is made for that eye, or the book refuses.
    pub fn log_lens(
        &mut self,
        id: JobId,
        eye: Eye,
        fact: impl Fn(LensId) -> Bench,
    ) -> Result<Logging, WorkError> {
        self.log(id, |_| (), |_, _, job| Ok(fact(job.pair().lens(eye))))
    }

    /// Logs a fact about the present pair.
    ///
    /// # Errors
    /// The job is closed, the fact is of one eye where that is not the only one that a lens is made for, or the book refuses.
    pub fn log_pair(&mut self, id: JobId, fact: impl Fn(PairId) -> Bench) -> Result<Logging, WorkError> {
        self.log(id, |_| (), |_, _, job| Ok(fact(job.pair())))
    }

    /// Logs several facts of one look at a pair: all of them or none.
    ///
    /// # Errors
    /// The job is closed; a lens would be finished that was not cut, or told of that is not made; or the book refuses.
    pub fn log_all(
        &mut self,
        id: JobId,
        facts: impl Fn(PairId) -> Vec<Bench>,
    ) -> Result<Vec<Logging>, WorkError> {
        self.change_of(id, |tx| {
            let job = open(tx, id)?;
            let facts = facts(job.pair());
            facts.iter().try_for_each(|fact| tells_of_what_is_made(&job, fact))?;
            let uncut: Vec<Eye> = Eye::BOTH
                .into_iter()
                .filter(|eye| facts.iter().any(|fact| finishes_uncut(&job, *eye, fact)))
                .collect();
            if !uncut.is_empty() {
                return Err(WorkError::NotCut { number: job.order.number, eyes: uncut });
            }
            let mut before = job;
            let mut logged = Vec::new();
            for fact in facts {
                let logging = append(tx, before, fact)?;
                before = logging.after.clone();
                logged.push(logging);
            }
            Ok(logged)
        })
    }

    /// Logs a sizing pass. The guard is asked on the state that the pass joins; `past` is recorded when it was
    /// insisted on and needed to be. What was advised there is recorded beside what was dialled.
    ///
    /// # Errors
    /// No lens is made, the station has not stated its dial, the figure is not on it, or the guard holds and is not
    /// insisted past.
    pub fn log_pass(&mut self, id: JobId, entry: &PassEntry) -> Result<Logging, WorkError> {
        self.log_advised(id, entry, None)
    }

    /// The same where the book told so much of the frame.
    ///
    /// # Errors
    /// As [`Work::log_pass`].
    pub fn log_advised(
        &mut self,
        id: JobId,
        entry: &PassEntry,
        advice: Option<&Advice>,
    ) -> Result<Logging, WorkError> {
        let ask = |reader: &Reader| drop(reader.entries_of_no_job());
        self.log(id, ask, |reader, settings, job| {
            let lens = job.made(entry.eye)?;
            let dial = dial_of(reader, settings)?;
            let dialled = dial.dial(entry.amount)?;
            let known = job.state.known(entry.eye).by_book(advice);
            let refusal = known.shown.guard(known.sizing, &dialled).err();
            match refusal {
                Some(refusal) if !entry.insist => Err(WorkError::Guard { refusal }),
                refusal => {
                    let past = refusal.is_some();
                    let advised = settings.sizing.next_dialled(job.order.frame.rim, &dial, &known);
                    let advised = advised.map(|advised| advised.amount).filter(|amount| {
                        // An advice that goes on for long leaves what a dial can say.
                        Possible::dialled(dial.counting).holds(amount.milli())
                    });
                    Ok(Bench::Pass(Pass { advised, lens, dialled, outcome: entry.outcome, past }))
                }
            }
        })
    }

    /// Something happened to the station that is here.
    ///
    /// # Errors
    /// There are several, and none was said; or the book refuses.
    pub fn log_station(&mut self, event: StationEvent) -> Result<RecordId, WorkError> {
        let Self { settings, book, .. } = self;
        write(book, settings, |tx| {
            here(tx, &Stations::in_book(tx)?, settings)?;
            append_bench(tx, &Bench::Station(event))
        })
    }

    /// Voids a record.
    ///
    /// # Errors
    /// There is no such record, it is void already, or it is of a kind that is undone in another way.
    pub fn void(&mut self, target: RecordId) -> Result<Voided, WorkError> {
        self.change(|tx| void_in(tx, target))
    }

    /// Logs what `fact` makes of the book and the job as they stand in the transaction.
    fn log(
        &mut self,
        id: JobId,
        ask: impl Fn(&Reader),
        fact: impl Fn(&Reader, &Settings, &Job) -> Result<Bench, WorkError>,
    ) -> Result<Logging, WorkError> {
        let Self { settings, book, .. } = self;
        write_about(book, settings, Some(id), ask, |tx| {
            let before = open(tx, id)?;
            let fact = fact(tx, settings, &before)?;
            tells_of_what_is_made(&before, &fact)?;
            append(tx, before, fact)
        })
    }
}

/// Voids a record inside a write.
pub(super) fn void_in(tx: &mut Tx<'_>, target: RecordId) -> Result<Voided, WorkError> {
    let no_record = || WorkError::NoRecord(target.to_string());
    let entry = tx.entry(target)?.ok_or_else(no_record)?;
    let refuse = |why| Err(WorkError::NotVoidable { id: target, why });
    if entry.apart.is_some() {
        return refuse("it was kept apart and never counted");
    }
    let Holding { ledger, lines } = Holding::of_record(tx, &entry)?;
    let standing: Vec<StationId> = lines.iter().filter(|line| !line.void).filter_map(stands_at).collect();
    let undone = lines.into_iter().find(|line| line.id == target).ok_or_else(no_record)?;
    match &undone.fact {
        _ if undone.void => return Err(WorkError::AlreadyVoid(target)),
        Fact::Bench(Bench::Void(_)) => {
            return refuse("it is itself a void; log the fact again instead");
        }
        Fact::Desk(Desk::Order(_)) => return refuse("it opened the job; close the job instead"),
        Fact::Desk(Desk::Met(_)) | Fact::Bench(Bench::Clock(_)) => {
            return refuse("what was logged is dated by it");
        }
        Fact::Desk(Desk::Naming(naming)) if standing.contains(&naming.station) => {
            return refuse(
                "keypads or consoles stand at that station; name it anew instead: bevelbook station name",
            );
        }
        Fact::Desk(Desk::Settlement(_)) => {
            return refuse("what it decided stays; void what is wrong and log what is right");
        }
        _ => {}
    }
    let job = undone.job;
    let id = append_bench(tx, &Bench::Void(Void { job, target }))?;
    let owner = job.map(|job| ledger.owner(job));
    let job = owner.map(|owner| readable(tx, owner)).transpose()?.flatten();
    Ok(Voided { id, undone, owner, job })
}

/// The station at which a record says that a journal stands.
const fn stands_at(line: &Line) -> Option<StationId> {
    match &line.fact {
        Fact::Desk(Desk::Placement(placement)) => Some(placement.station),
        _ => None,
    }
}

/// Whether a fact says that the lens of `eye` is finished where nothing says that it was cut: no pass of it was logged,
/// and it was not read in the frame.
fn finishes_uncut(job: &Job, eye: Eye, fact: &Bench) -> bool {
    let lens = job.state.lens(eye);
    let of = Subject::Lens(job.pair().lens(eye));
    let finished = matches!(fact, Bench::Check(check) if check.of == of && check.good && CheckItem::FINISH.contains(&check.item));
    finished && lens.sizing.passes == 0 && lens.mounted.is_none()
}

/// Whether a fact tells of what is made. A lens that stays in the frame is read there, for the prism between the eyes.
fn tells_of_what_is_made(job: &Job, fact: &Bench) -> Result<(), WorkError> {
    let stays = |eye| job.order.eye(eye).wanted == Wanted::Nothing { known: true };
    match fact {
        Bench::Reading(Reading { lens, stage: Stage::Mounted, .. }) if stays(lens.eye) => Ok(()),
        Bench::CentreDistance(CentreDistance { centres: PupillaryDistance::OneEye { eye, .. }, .. }) => {
            let pair = job.made(*eye).is_ok() && job.made(eye.other()).is_ok();
            let (number, measured) = (job.order.number, job.state.centres.map(|measured| measured.centres));
            job.made(*eye)?;
            match measured.filter(|measured| measured.whole().is_some()) {
                _ if pair => Err(WorkError::HalfPd { number }),
                Some(measured) if stays(eye.other()) => Err(WorkError::HalfOfWhole { number, measured }),
                _ => Ok(()),
            }
        }
        fact => fact.lens().map_or(Ok(()), |lens| job.made(lens.eye).map(drop)),
    }
}

fn append(tx: &mut Tx<'_>, before: Job, fact: Bench) -> Result<Logging, WorkError> {
    let id = append_bench(tx, &fact)?;
    let after = job_then(tx, before.id)?;
    Ok(Logging { id, fact, before, after })
}
