//! Whose a job is, and which of them may want a card: what the bench at the keypad asks of the book.

use super::filing::{Unfiled, unfiled_of};
use super::holding::{Filings, Holding, Line};
use super::words::{FILING, OPEN, by_filing, due_in};
use super::{Job, Work, WorkError, readable};
use crate::desk::Desk;
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_core::sizing::Rim;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// What was written since some position.
#[derive(Debug, Default)]
pub struct Changed {
    /// The position up to which the book was looked through.
    pub upto: i64,
    /// The jobs that it bears on.
    pub jobs: BTreeSet<JobId>,
    /// Whether it bears on the shop: its station, its choices, its keypads.
    pub shop: bool,
}

/// Whose a job is.
#[derive(Debug)]
pub enum Whose {
    /// It was ordered.
    Ordered(Box<Job>),
    /// It was opened at the bench and belongs to no order.
    Own(Box<Unfiled>),
    /// It is filed under an order, or nothing that can be read says what it is.
    Nobody,
}

impl Whose {
    /// Every record of it, oldest first.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        match self {
            Self::Ordered(job) => &job.lines,
            Self::Own(own) => &own.lines,
            Self::Nobody => &[],
        }
    }
}

/// An open job, as far as it is known without its records.
#[derive(Clone, Copy, Debug)]
pub struct Due {
    /// Its identity.
    pub id: JobId,
    /// When it is promised.
    pub due: Option<Date>,
    /// Its number.
    pub number: u32,
    /// Whether other jobs were ever filed under it.
    pub filed: bool,
}

/// A job as it is talked of.
#[derive(Clone, Copy, Debug)]
pub struct Known {
    /// Its number.
    pub number: u32,
    /// What holds its lenses.
    pub rim: Rim,
}

impl Work {
    /// The position of the last record.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn last_position(&self) -> Result<i64, WorkError> {
        Ok(self.book.last_position()?)
    }

    /// What anything behind `position` bears on.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn changed_since(&self, position: i64) -> Result<Changed, WorkError> {
        let newer = self.book.newer(position, Desk::FILING)?;
        let mut changed =
            Changed { upto: newer.last.unwrap_or(position), shop: newer.of_no_job, ..Changed::default() };
        if changed.upto == position {
            return Ok(changed);
        }
        // Read after what was touched, so that no filing among it is missed.
        for id in newer.jobs.into_iter().map(JobId) {
            changed.jobs.append(&mut Filings::near(&self.book, &[id])?.bearing_on(id));
        }
        changed.jobs.extend(self.book.jobs_apart_after(position)?.into_iter().map(JobId));
        Ok(changed)
    }

    /// The positions and numbers of a journal's records of a job that are kept apart, in the order of commits.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn apart_of(&self, id: JobId, journal: JournalId) -> Result<Vec<(i64, u32)>, WorkError> {
        Ok(self.book.apart_of_job(id.0, journal)?)
    }

    /// Whose a job is, as it is now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn whose(&self, id: JobId) -> Result<Whose, WorkError> {
        if let Some(job) = readable(&self.book, id)? {
            return Ok(Whose::Ordered(Box::new(job)));
        }
        let holding = Holding::of_job_alone(&self.book, id)?;
        Ok(unfiled_of(id, holding).map_or(Whose::Nobody, |own| Whose::Own(Box::new(own))))
    }

    /// The open jobs, the soonest due first.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn due(&self) -> Result<Vec<Due>, WorkError> {
        let filings = self.book.found_by_beginning(FILING)?;
        let under: BTreeSet<u64> = filings.into_iter().map(|(_, under)| under).collect();
        let due = |(word, id): (String, u64)| {
            let (due, number) = due_in(&word)?;
            Some(Due { id: JobId(id), due, number, filed: under.contains(&id) })
        };
        Ok(self.book.found_by_beginning(OPEN)?.into_iter().filter_map(due).collect())
    }

    /// The same, each with the highest number of a journal among its own records, not among those filed under it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn due_and_worked(&self, journal: JournalId) -> Result<Vec<(Due, Option<u32>)>, WorkError> {
        self.book.at_one_moment(|| {
            let worked = |due: Due| Ok((due, self.book.last_seq_of_job(due.id.0, journal)?));
            self.due()?.into_iter().map(worked).collect()
        })
    }

    /// What a job is called, and the order that it belongs to: it itself, or the one that it is filed under.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn called(&self, id: JobId) -> Result<Option<(JobId, Known)>, WorkError> {
        let unders = self.book.found_by(&by_filing(id))?.into_iter().map(JobId);
        for under in [id].into_iter().chain(unders) {
            let job = readable(&self.book, under)?.filter(|job| under == id || job.filed.contains(&id));
            if let Some(job) = job {
                return Ok(Some((under, Known { number: job.order.number, rim: job.order.frame.rim })));
            }
        }
        Ok(None)
    }
}
