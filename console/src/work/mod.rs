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
mod job;
mod keypads;

pub use bench::{Logging, PassEntry};
pub use describe::dial_words;
pub use error::WorkError;
pub use filing::Unfiled;
pub use job::{Fact, Job, Line};
pub(crate) use keypads::bears_on_every_card;

use crate::desk::{Desk, Order};
use crate::settings::Settings;
use crate::store::{Book, Entry, NewEntry, Reader, Tx};
use bevelbook_core::record::{Bench, FIRST_DESK_KIND, JobId, Logged, MAX_ENCODED, RecordId, station_dial};
use bevelbook_core::sizing::Dial;
use std::path::Path;

/// Every job of a book.
#[derive(Debug, Default)]
pub struct Jobs {
    /// Those that can be read, in the order in which they were opened.
    pub whole: Vec<Job>,
    /// What is wrong with each of the others.
    pub damaged: Vec<WorkError>,
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

    /// The shop's settings.
    #[must_use]
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The book itself, for looking it over.
    #[must_use]
    pub const fn book(&self) -> &Book {
        &self.book
    }

    /// The dial that the station last stated.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station(&self) -> Result<Option<Dial>, WorkError> {
        station_of(&self.book)
    }

    /// The job with this identity.
    ///
    /// # Errors
    /// There is none, or its records are damaged.
    pub fn job(&self, id: JobId) -> Result<Job, WorkError> {
        job_of(&self.book, id)
    }

    /// The records of a job and of those filed under it, in commit order: what [`Job::fold`] takes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn entries_of(&self, id: JobId) -> Result<Vec<Entry>, WorkError> {
        entries_of(&self.book, id)
    }

    /// Every job, in the order in which they were opened. A job whose records are damaged does not hide the others.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn jobs(&self) -> Result<Jobs, WorkError> {
        let mut jobs = Jobs::default();
        for entry in self.book.entries_of_kind(FIRST_DESK_KIND)? {
            let Some(id) = entry.job.map(JobId) else { continue };
            match self.job(id) {
                Ok(job) => jobs.whole.push(job),
                Err(damaged @ WorkError::Damaged { .. }) => jobs.damaged.push(damaged),
                Err(other) => return Err(other),
            }
        }
        Ok(jobs)
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
    Job::fold(id, &entries_of(reader, id)?)
}

/// The records of a job and of those filed under it, in commit order.
fn entries_of(reader: &Reader, id: JobId) -> Result<Vec<Entry>, WorkError> {
    let mut entries = reader.entries_of_job(id.0)?;
    let filed: Vec<JobId> = entries.iter().filter_map(filing::filed_from).collect();
    for from in filed {
        entries.extend(reader.entries_of_job(from.0)?);
    }
    entries.sort_by_key(|entry| entry.position);
    Ok(entries)
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

fn station_of(reader: &Reader) -> Result<Option<Dial>, WorkError> {
    let facts: Vec<Logged> = reader.entries_of_no_job()?.iter().filter_map(logged).collect();
    Ok(station_dial(&facts.iter().copied()))
}

/// The bench fact in an entry, if it holds one that this version knows.
fn logged(entry: &Entry) -> Option<Logged> {
    let fact = Bench::decode(entry.kind, &entry.payload).ok()?;
    Some(Logged { id: entry.id, fact })
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
