//! What happened on a day, found without reading what did not.

use super::find::folded;
use super::words::{CLOSED, SPOILED, at};
use super::{Job, Work, WorkError};
use bevelbook_core::record::JournalId;
use jiff::Timestamp;
use jiff::civil::DateTime;
use serde::Serialize;
use std::collections::BTreeSet;
use std::ops::Range;

/// What is known of the newest backup of a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum LastBackup {
    /// None was made yet.
    None,
    /// It was made then, by the clock on the wall, in the book's folder of backups.
    At(DateTime),
    /// A server keeps the book: whoever looks after that makes them, and knows.
    WithServer,
}

impl Work {
    /// The jobs that were closed in that time and are closed still, in the order of their numbers.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn closed_in(&self, time: &Range<Timestamp>) -> Result<Vec<Job>, WorkError> {
        self.happened_in(CLOSED, time, |job| job.closed_at().is_some_and(|at| time.contains(&at)))
    }

    /// The jobs of which a lens was spoiled in that time, in the order of their numbers.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn spoiled_in(&self, time: &Range<Timestamp>) -> Result<Vec<Job>, WorkError> {
        let spoiled = |at: Timestamp| time.contains(&at);
        self.happened_in(SPOILED, time, |job| job.spoiled().any(|lens| lens.at.is_some_and(spoiled)))
    }

    fn happened_in(
        &self,
        what: &str,
        time: &Range<Timestamp>,
        did: impl Fn(&Job) -> bool,
    ) -> Result<Vec<Job>, WorkError> {
        let found = self.book.found_between(&at(what, time.start), &at(what, time.end))?;
        let ids: BTreeSet<u64> = found.into_iter().map(|(_, id)| id).collect();
        let mut jobs = folded(&self.book, ids, did).collect::<Result<Vec<_>, _>>()?;
        jobs.sort_by_key(|job| job.order.number);
        Ok(jobs)
    }

    /// When the last record of a keypad was logged, as far as that is known.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn last_logged(&self, journal: JournalId) -> Result<Option<Timestamp>, WorkError> {
        let last = self.dated(journal)?.last().copied();
        Ok(last.and_then(|(_, _, ms)| Timestamp::from_millisecond(ms).ok()))
    }

    /// What is known of the newest backup.
    ///
    /// # Errors
    /// The book's folder of backups cannot be read.
    pub fn last_backup(&self) -> Result<LastBackup, WorkError> {
        if self.place().as_file().is_none() {
            return Ok(LastBackup::WithServer);
        }
        Ok(self.book.backups()?.pop().map_or(LastBackup::None, |backup| LastBackup::At(backup.at)))
    }
}
