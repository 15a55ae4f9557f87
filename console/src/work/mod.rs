//! Where records meet the book: the one module that both writes facts and folds them back into jobs.
//!
//! Every change is one transaction that first folds what is there: a guard or a number is therefore decided on the
//! same state that the new record joins, however many consoles write.

mod append;
mod bench;
mod beside;
mod change;
mod clock_said;
mod conflicts;
mod daily;
mod day;
mod describe;
mod desk;
mod ending;
mod entered;
mod error;
mod filing;
mod find;
mod follow;
mod frames;
mod gate;
mod holding;
mod job;
mod job_code;
mod judged;
mod keypads;
mod lately;
mod many;
mod near;
mod orders;
mod overtaken;
mod placing;
mod refused;
mod search;
mod sets;
mod settled;
mod sized;
mod spoiled;
mod starts;
mod station;
mod stations;
mod status;
#[cfg(test)]
mod tests;
mod uncaused;
mod when;
mod whose;
mod words;

pub use crate::store::{Imported, Place};
pub use bench::{Logging, PassEntry, Voided};
pub use beside::Beside;
pub use conflicts::Conflict;
pub use day::LastBackup;
pub use describe::{dial_words, heights_words};
pub use desk::Remade;
pub use entered::{HowEntered, LEAST_READING_MS};
pub use error::WorkError;
pub use filing::Unfiled;
pub use frames::{FrameKey, KnownFrame};
pub use holding::{Between, Fact, Line};
pub(crate) use holding::{facts_of, state_of};
pub use job::Job;
pub use job_code::job_code;
pub use keypads::Held;
pub use lately::SizedPair;
pub use many::Jobs;
pub(crate) use near::nearest;
pub use orders::{NewOrder, acceptable, reviewed};
pub use overtaken::Overtaken;
pub use search::Sought;
pub use sets::Sets;
pub use sized::{SizedJob, SizedLens, SizedPass};
pub use spoiled::Spoiled;
pub use station::{Epoch, revision};
pub use stations::Stations;
pub use status::{Ended, JobStatus};
pub use uncaused::Uncaused;
pub(crate) use when::{TimeStyle, When};
pub use whose::{Due, Known, Whose};

use crate::settings::Settings;
use crate::store::{self, Book, Health, Patience, Reader};
use bevelbook_core::record::{JobId, JournalId, RecordId};
use holding::Holding;
use std::cell::Cell;

/// An open book with the shop's settings.
#[derive(Debug)]
pub struct Work {
    book: Book,
    settings: Settings,
    /// Whether a newer program gave the book its words.
    outdated: bool,
    /// The version that was asked for last.
    version: Cell<Option<i64>>,
}

impl Work {
    /// Opens the book at `place` to look into it: nothing is changed, and whatever would change it fails.
    ///
    /// # Errors
    /// As [`Book::look`].
    pub fn look(place: impl Into<Place>, settings: Settings) -> Result<Self, WorkError> {
        let work = Self { book: Book::look(place)?, settings, outdated: false, version: Cell::new(None) };
        if !follow::are_whole(&work.book)? {
            follow::in_memory(&work.book)?;
        }
        Ok(work)
    }

    /// Begins a book at `place`, where a first fact begins one; `false` where something is there already.
    ///
    /// # Errors
    /// As [`Book::begin_with_a_fact`].
    pub fn begin(place: &Place) -> Result<bool, WorkError> {
        Ok(Book::begin_with_a_fact(place)?)
    }

    /// Opens the book at `place`, or begins it.
    ///
    /// # Errors
    /// As [`Book::open_or_begin`].
    pub fn open(place: impl Into<Place>, settings: Settings) -> Result<Self, WorkError> {
        Self::of(Book::open_or_begin(place)?, settings)
    }

    /// Opens the book at `place`; where there is none, none is begun.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn reopen(place: impl Into<Place>, settings: Settings) -> Result<Self, WorkError> {
        Self::of(Book::open(place)?, settings)
    }

    /// With a book, whose jobs are found by what its records give from now on.
    fn of(book: Book, settings: Settings) -> Result<Self, WorkError> {
        let mut work = Self { book, settings, outdated: false, version: Cell::new(None) };
        if !follow::are_whole(&work.book)? {
            work.outdated = follow::are_newer(&work.book)?;
            match work.outdated {
                true => follow::in_memory(&work.book)?,
                false => work.change(|_| Ok(()))?,
            }
        }
        Ok(work)
    }

    /// Waits for a server as a bench does from now on.
    #[must_use]
    pub(crate) fn at_bench(self) -> Self {
        self.book.wait_as(Patience::Bench);
        self
    }

    /// The shop's settings.
    #[must_use]
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Where the book is.
    #[must_use]
    pub fn place(&self) -> &Place {
        self.book.place()
    }

    /// What is to be told of who keeps the book, a sentence each.
    pub fn warnings(&self) -> impl Iterator<Item = &str> {
        self.book.warnings().iter().map(String::as_str).chain(self.outdated.then_some(OUTDATED))
    }

    /// The journal that this console writes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn own_journal(&self) -> Result<JournalId, WorkError> {
        Ok(self.book.own_journal()?)
    }

    /// Whether a record is of the journal that this console writes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn is_own(&self, id: RecordId) -> Result<bool, WorkError> {
        Ok(self.book.home()? == Some(id.journal))
    }

    /// A number that differs from the last one asked for when another console has written in between.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn version(&self) -> Result<i64, WorkError> {
        let version = self.book.data_version()?;
        if self.version.replace(Some(version)) != Some(version) {
            follow::keep_up(&self.book)?;
        }
        Ok(version)
    }

    /// Whether the book at `place` hangs together, and jobs are found by what its records give. Nothing is changed.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn check(place: impl Into<Place>) -> Result<Health, WorkError> {
        let book = Book::look(place)?;
        // What others write between two looks would stand in the one and not in the other.
        book.at_one_moment(|| {
            let mut health = book.check()?;
            health.unsettled = u32::try_from(settled::unsettled(&book)?.len()).unwrap_or(u32::MAX);
            // Words that do not follow all records are made anew by whoever opens the book.
            if follow::are_whole(&book)? {
                health.problems.extend(follow::compared(&book)?);
            }
            Ok(health)
        })
    }

    /// How what jobs are found by differs from what their records give, a sentence each; nothing, as long as nobody else
    /// changed it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn astray(&self) -> Result<Vec<String>, WorkError> {
        follow::compared(&self.book)
    }

    /// Makes anew what jobs are found by.
    ///
    /// # Errors
    /// The book refuses.
    pub fn renew(&mut self) -> Result<(), WorkError> {
        self.book.wait_as(Patience::WholeBook);
        self.change(|tx| Ok(tx.words().forget()?))
    }

    /// Reads many things as they are at one moment.
    ///
    /// # Errors
    /// Those of `read`, or the book cannot be read.
    pub fn at_one_moment<T, E: From<WorkError>>(&self, read: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
        let read = self.book.at_one_moment(|| Ok::<_, store::Error>(read()));
        read.map_err(WorkError::from)?
    }

    /// Within one moment: what `ask` asks will be asked soon; where a server keeps the book, it answers all of it at once. What
    /// `ask` is told meanwhile may be that there is nothing.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn ahead(&self, ask: impl FnOnce(&Self)) -> Result<(), WorkError> {
        Ok(self.book.ahead(|_| ask(self))?)
    }

    /// The job with this identity.
    ///
    /// # Errors
    /// There is none, or its records are damaged.
    pub fn job(&self, id: JobId) -> Result<Job, WorkError> {
        let mut job = job_of(&self.book, id)?;
        starts::tell(&self.book, &mut job.lines)?;
        Ok(job)
    }

    /// The name that belongs to a customer's reference.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn customer_name(&self, reference: &str) -> Result<Option<String>, WorkError> {
        Ok(self.book.person(reference)?)
    }

    /// The role that asks, where it may not read names of people: there are none for it.
    #[must_use]
    pub fn nameless(&self) -> Option<&str> {
        self.book.nameless()
    }

    /// That names may be set and forgotten.
    ///
    /// # Errors
    /// The role may not.
    pub fn may_set_names(&self) -> Result<(), WorkError> {
        Ok(self.book.may_set_names()?)
    }
}

/// What is told whoever works with a program of before.
const OUTDATED: &str = "a newer bevelbook gave this book what jobs are found by; this one leaves that as it is and makes its own \
     in memory at each start, which takes its time in a large book: bring it up to date";

fn job_of(reader: &Reader, id: JobId) -> Result<Job, WorkError> {
    Job::of(id, Holding::of_job_alone(reader, id)?)
}

/// The job, if it was ordered and can be read: a job of the bench has no order.
fn readable(reader: &Reader, id: JobId) -> Result<Option<Job>, WorkError> {
    match job_of(reader, id) {
        Ok(job) => Ok(Some(job)),
        Err(WorkError::Damaged { .. }) => Ok(None),
        Err(other) => Err(other),
    }
}
