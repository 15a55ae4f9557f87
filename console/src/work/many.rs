//! Many jobs at once.

use super::holding::{Filings, Holding};
use super::words::{DAMAGED, NUMBER, OPEN};
use super::{Job, Work, WorkError};
use crate::store::Reader;
use bevelbook_core::record::{FIRST_DESK_KIND, JobId};

/// Jobs of a book, or what was made of each.
#[derive(Debug)]
pub struct Jobs<T = Job> {
    /// Those that can be read, in the order in which they were opened.
    pub whole: Vec<T>,
    /// What is wrong with each of the others.
    pub damaged: Vec<WorkError>,
}

impl Work {
    /// Every job, in the order in which they were opened. A job whose records are damaged does not hide the others.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn jobs(&self) -> Result<Jobs, WorkError> {
        self.all_jobs(|job| job)
    }

    /// What `make` makes of every job, in the order in which they were opened; no more than some hundred are read at a time.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn all_jobs<T>(&self, mut make: impl FnMut(Job) -> T) -> Result<Jobs<T>, WorkError> {
        self.book.at_one_moment(|| {
            let ids = self.book.jobs_of_kind(FIRST_DESK_KIND)?;
            self.fold_all(ids.into_iter().map(JobId), |job| Some(make(job)))
        })
    }

    /// The same of the open jobs, and of those of which that cannot be told.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn open_jobs<T>(&self, make: impl Fn(Job) -> T) -> Result<Jobs<T>, WorkError> {
        let made = |job: Job| job.closed.is_none().then(|| (job.opened_at(), make(job)));
        let Jobs { mut whole, damaged } = self.book.at_one_moment(|| {
            self.book.ahead(|book| {
                drop((book.found_by_beginning(OPEN), book.found_by(DAMAGED), Filings::all(book)));
            })?;
            let open = self.book.found_by_beginning(OPEN)?.into_iter().map(|(_, id)| JobId(id));
            let damaged = self.book.found_by(DAMAGED)?.into_iter().map(JobId);
            self.fold_all(open.chain(damaged), made)
        })?;
        whole.sort_by_key(|(at, _)| *at);
        Ok(Jobs { whole: whole.into_iter().map(|(_, made)| made).collect(), damaged })
    }

    fn fold_all<T>(
        &self,
        ids: impl Iterator<Item = JobId>,
        mut make: impl FnMut(Job) -> Option<T>,
    ) -> Result<Jobs<T>, WorkError> {
        let filings = Filings::all(&self.book)?;
        let mut jobs = Jobs { whole: Vec::new(), damaged: Vec::new() };
        let ids: Vec<JobId> = ids.collect();
        for some in ids.chunks(Reader::AT_ONCE) {
            let entries = filings.entries(&self.book, some)?;
            for id in some {
                match Job::of(*id, Holding::among(&entries, &filings, *id)) {
                    Ok(job) => jobs.whole.extend(make(job)),
                    Err(damaged @ WorkError::Damaged { .. }) => jobs.damaged.push(damaged),
                    Err(other) => return Err(other),
                }
            }
        }
        Ok(jobs)
    }

    /// How many jobs were ordered that are neither open nor damaged.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn closed(&self) -> Result<usize, WorkError> {
        let many = |beginning| self.book.found_by_beginning(beginning).map(|found| found.len());
        Ok(many(NUMBER)?.saturating_sub(many(OPEN)? + many(DAMAGED)?))
    }
}
