//! Where records meet the book: the one module that both writes facts and folds them back into jobs.
//!
//! Every change is one transaction that first folds what is there: a guard or a number is therefore decided on the
//! same state that the new record joins, however many consoles write.

mod bench;
mod describe;
mod desk;
mod error;
mod filing;
mod find;
mod history;
mod holding;
mod job;
mod keypads;
mod station;
#[cfg(test)]
mod tests;

pub use crate::store::Imported;
pub use bench::{Logging, PassEntry, Voided};
pub use describe::dial_words;
pub use desk::Remade;
pub use error::WorkError;
pub use filing::Unfiled;
pub use holding::{Fact, Line};
pub(crate) use holding::{facts_of, state_of};
pub use job::Job;
pub use keypads::Held;
pub(crate) use station::revision;

use crate::desk::{Desk, Order};
use crate::settings::Settings;
use crate::store::{Book, Entry, Health, NewEntry, Reader, Tx};
use bevelbook_core::record::{Bench, FIRST_DESK_KIND, JobId, JournalId, MAX_ENCODED, RecordId};
use holding::{Filings, Holding};
use std::collections::BTreeSet;
use std::path::Path;

/// Every job of a book.
#[derive(Debug, Default)]
pub struct Jobs {
    /// Those that can be read, in the order in which they were opened.
    pub whole: Vec<Job>,
    /// What is wrong with each of the others.
    pub damaged: Vec<WorkError>,
}

/// What was written since some position.
#[derive(Debug)]
pub struct Changed {
    /// The position up to which the book was looked through.
    pub upto: i64,
    /// The jobs that it bears on, as they are now.
    pub jobs: Vec<Job>,
    /// Jobs whose records are damaged.
    pub unreadable: Vec<JobId>,
}

/// An open book with the shop's settings.
#[derive(Debug)]
pub struct Work {
    book: Book,
    settings: Settings,
}

impl Work {
    /// Opens the book at `path`, or begins it.
    ///
    /// # Errors
    /// As [`Book::open_or_begin`].
    pub fn open(path: &Path, settings: Settings) -> Result<Self, WorkError> {
        Ok(Self { book: Book::open_or_begin(path)?, settings })
    }

    /// Opens the book at `path` again; where it vanished, none is begun in its place.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn reopen(path: &Path, settings: Settings) -> Result<Self, WorkError> {
        Ok(Self { book: Book::open(path)?, settings })
    }

    /// The shop's settings.
    #[must_use]
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Where the book is.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.book.path()
    }

    /// The journal that this console writes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn own_journal(&self) -> Result<JournalId, WorkError> {
        Ok(self.book.own_journal()?)
    }

    /// A number that differs from the last one asked for when another console has written in between.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn version(&self) -> Result<i64, WorkError> {
        Ok(self.book.data_version()?)
    }

    /// Whether the book hangs together.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn check(&self) -> Result<Health, WorkError> {
        Ok(self.book.check()?)
    }

    /// The job with this identity.
    ///
    /// # Errors
    /// There is none, or its records are damaged.
    pub fn job(&self, id: JobId) -> Result<Job, WorkError> {
        job_of(&self.book, id)
    }

    /// Every job, in the order in which they were opened. A job whose records are damaged does not hide the others.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn jobs(&self) -> Result<Jobs, WorkError> {
        let filings = Filings::of(&self.book)?;
        let mut jobs = Jobs::default();
        for entry in self.book.entries_of_kind(FIRST_DESK_KIND)? {
            let Some(id) = entry.job.map(JobId) else { continue };
            match Job::of(id, Holding::of_job(&self.book, &filings, id)?) {
                Ok(job) => jobs.whole.push(job),
                Err(damaged @ WorkError::Damaged { .. }) => jobs.damaged.push(damaged),
                Err(other) => return Err(other),
            }
        }
        Ok(jobs)
    }

    /// The jobs with an order that anything behind `position` bears on.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn changed_since(&self, position: i64) -> Result<Changed, WorkError> {
        let (mut upto, mut touched) = (position, BTreeSet::new());
        for entry in self.book.entries_after(position)? {
            upto = upto.max(entry.position);
            touched.extend(entry.job.map(JobId));
        }
        // Read after what was touched, so that no filing among it is missed.
        let filings = Filings::of(&self.book)?;
        let bears: BTreeSet<JobId> = touched.into_iter().flat_map(|id| filings.bearing_on(id)).collect();
        let mut changed = Changed { upto, jobs: Vec::new(), unreadable: Vec::new() };
        for id in bears {
            match ordered(&self.book, &filings, id) {
                Ok(job) => changed.jobs.extend(job),
                Err(WorkError::Damaged { .. }) => changed.unreadable.push(id),
                Err(other) => return Err(other),
            }
        }
        Ok(changed)
    }

    /// The name that belongs to a customer's reference.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn customer_name(&self, reference: &str) -> Result<Option<String>, WorkError> {
        Ok(self.book.person(reference)?)
    }

    /// Changes the book in one transaction; all or nothing.
    fn change<T>(
        &mut self,
        change: impl FnOnce(&mut Tx<'_>) -> Result<T, WorkError>,
    ) -> Result<T, WorkError> {
        self.book.write(change)
    }
}

fn job_of(reader: &Reader, id: JobId) -> Result<Job, WorkError> {
    Job::of(id, Holding::of_job(reader, &Filings::of(reader)?, id)?)
}

/// The job, if it was ordered: a job of the bench has no order.
fn ordered(reader: &Reader, filings: &Filings, id: JobId) -> Result<Option<Job>, WorkError> {
    let holding = Holding::of_job(reader, filings, id)?;
    let is_order = |line: &Line| line.job == Some(id) && matches!(line.fact, Fact::Desk(Desk::Order(_)));
    holding.lines.iter().any(is_order).then(|| Job::of(id, holding)).transpose()
}

/// Every order that can be read as it was first written, with its job, oldest first: what is asked of all jobs without
/// folding them.
fn orders_of(reader: &Reader) -> Result<Vec<(JobId, Order)>, WorkError> {
    let order = |entry: Entry| match Desk::decode(entry.kind, &entry.payload) {
        Ok(Desk::Order(order)) => Some((JobId(entry.job?), *order)),
        _ => None,
    };
    Ok(reader.entries_of_kind(FIRST_DESK_KIND)?.into_iter().filter_map(order).collect())
}

/// A number that no order has: above every order's, and above their count, in case the last cannot be read.
fn next_number(reader: &Reader, orders: &[(JobId, Order)]) -> Result<u32, WorkError> {
    let count = u32::try_from(reader.entries_of_kind(FIRST_DESK_KIND)?.len()).unwrap_or(u32::MAX);
    let highest = orders.iter().map(|(_, order)| order.number).max().unwrap_or(0);
    Ok(highest.max(count).saturating_add(1))
}

fn append_bench(tx: &mut Tx<'_>, fact: &Bench) -> Result<RecordId, WorkError> {
    let mut buffer = [0; MAX_ENCODED];
    let payload = fact.encode(&mut buffer).map_err(WorkError::Encode)?.to_vec();
    let job = fact.job().map(|job| job.0);
    Ok(tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(now_ms()) })?)
}

fn append_desk(tx: &mut Tx<'_>, job: JobId, fact: &Desk) -> Result<RecordId, WorkError> {
    append_desk_entry(tx, Some(job.0), fact)
}

fn append_desk_of_no_job(tx: &mut Tx<'_>, fact: &Desk) -> Result<RecordId, WorkError> {
    append_desk_entry(tx, None, fact)
}

fn append_desk_entry(tx: &mut Tx<'_>, job: Option<u64>, fact: &Desk) -> Result<RecordId, WorkError> {
    let payload = fact.encode().map_err(WorkError::EncodeDesk)?;
    Ok(tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(now_ms()) })?)
}

fn now_ms() -> i64 {
    jiff::Timestamp::now().as_millisecond()
}
