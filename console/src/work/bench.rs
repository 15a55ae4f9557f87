//! Facts of the bench, typed at the console.

use super::desk::open;
use super::{Job, Work, WorkError, append_bench, job_of, logged, station_of};
use crate::store::{Reader, Tx};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, FIRST_DESK_KIND, JobId, LensId, PairId, RecordId, StationEvent, Void, is_voided,
};
use bevelbook_core::sizing::{Outcome, Pass};
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
    /// The job is closed, or the book refuses.
    pub fn log_lens(
        &mut self,
        id: JobId,
        eye: Eye,
        fact: impl FnOnce(LensId) -> Bench,
    ) -> Result<Logging, WorkError> {
        self.log(id, |_, job| Ok(fact(job.pair().lens(eye))))
    }

    /// Logs a fact about the present pair.
    ///
    /// # Errors
    /// The job is closed, or the book refuses.
    pub fn log_pair(&mut self, id: JobId, fact: impl FnOnce(PairId) -> Bench) -> Result<Logging, WorkError> {
        self.log(id, |_, job| Ok(fact(job.pair())))
    }

    /// Logs several facts of one look at a pair: all of them or none.
    ///
    /// # Errors
    /// The job is closed, or the book refuses.
    pub fn log_all(
        &mut self,
        id: JobId,
        facts: impl FnOnce(PairId) -> Vec<Bench>,
    ) -> Result<Vec<Logging>, WorkError> {
        self.change(|tx| {
            let job = open(tx, id)?;
            facts(job.pair()).into_iter().map(|fact| append(tx, job_of(tx, id)?, fact)).collect()
        })
    }

    /// Logs a sizing pass. The guard is asked on the state that the pass joins; `past` is recorded when it was
    /// insisted on and needed to be.
    ///
    /// # Errors
    /// The station has not stated its dial, the figure is not on it, or the guard holds and is not insisted past.
    pub fn log_pass(&mut self, id: JobId, entry: &PassEntry) -> Result<Logging, WorkError> {
        self.log(id, |reader, job| {
            let dial = station_of(reader)?.ok_or(WorkError::NoStation)?;
            let dialled = dial.dial(entry.amount)?;
            let refusal = job.state.lens(entry.eye).sizing.guard(&dialled).err();
            match refusal {
                Some(refusal) if !entry.insist => Err(WorkError::Guard { refusal }),
                refusal => {
                    let lens = job.pair().lens(entry.eye);
                    let past = refusal.is_some();
                    Ok(Bench::Pass(Pass { lens, dialled, outcome: entry.outcome, past }))
                }
            }
        })
    }

    /// Something happened to the station.
    ///
    /// # Errors
    /// The book refuses.
    pub fn log_station(&mut self, event: StationEvent) -> Result<RecordId, WorkError> {
        self.change(|tx| append_bench(tx, &Bench::Station(event)))
    }

    /// Voids a record. Returns the job it belonged to, as it stands now.
    ///
    /// # Errors
    /// There is no such record, it is void already, or it is of a kind that is undone in another way.
    pub fn void(&mut self, target: RecordId) -> Result<(RecordId, Option<Job>), WorkError> {
        self.change(|tx| {
            let entry = tx.entry(target)?.ok_or_else(|| WorkError::NoRecord(target.to_string()))?;
            let refuse = |why| Err(WorkError::NotVoidable { id: target, why });
            let job = entry.job.map(JobId);
            let others = match entry.job {
                Some(job) => tx.entries_of_job(job)?,
                None => tx.entries_of_no_job()?,
            };
            if is_voided(target, others.iter().filter_map(logged)) {
                return refuse("it is void already");
            }
            if logged(&entry).is_some_and(|record| matches!(record.fact, Bench::Void(_))) {
                return refuse("it is itself a void; log the fact again instead");
            }
            if entry.kind == FIRST_DESK_KIND {
                return refuse("it opened the job; close the job instead");
            }
            let id = append_bench(tx, &Bench::Void(Void { job, target }))?;
            Ok((id, job.map(|job| job_of(tx, job)).transpose()?))
        })
    }

    /// Logs what `fact` makes of the book and the job as they stand in the transaction.
    fn log(
        &mut self,
        id: JobId,
        fact: impl FnOnce(&Reader, &Job) -> Result<Bench, WorkError>,
    ) -> Result<Logging, WorkError> {
        self.change(|tx| {
            let before = open(tx, id)?;
            let fact = fact(tx, &before)?;
            append(tx, before, fact)
        })
    }
}

fn append(tx: &mut Tx<'_>, before: Job, fact: Bench) -> Result<Logging, WorkError> {
    let id = append_bench(tx, &fact)?;
    let after = job_of(tx, before.id)?;
    Ok(Logging { id, fact, before, after })
}
