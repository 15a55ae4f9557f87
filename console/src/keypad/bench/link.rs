//! How the bench stands with what is on its line, for whoever shows it.

use super::{Bench, BenchBook, Shelf};
use crate::work::{Job, Work, WorkError};
use bevelbook_core::record::JobId;
use bevelbook_core::sizing::Advice;

/// What is at the other end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Link {
    /// Nothing answers.
    Waiting,
    /// A keypad that is not this shop's.
    New,
    /// A keypad of this shop.
    Connected {
        /// What the shop calls it.
        keypad: String,
        /// How many of its records are not in the book yet, as far as it told.
        waiting: u32,
    },
    /// The book failed; nothing is taken in until it is open again.
    NoBook,
}

impl<B: BenchBook> Bench<B> {
    /// How the line stands.
    pub fn link(&self) -> Link {
        match (&self.shelf, &self.keypad, &self.asking) {
            (Shelf::Failed { .. }, ..) => Link::NoBook,
            (_, Some(keypad), _) => {
                Link::Connected { keypad: keypad.name.clone(), waiting: self.host.waiting() }
            }
            (_, None, Some(_)) => Link::New,
            (_, None, None) => Link::Waiting,
        }
    }

    /// The revision of its card of a job.
    pub fn revision(&self, id: JobId) -> Option<u32> {
        self.jobs.wanted.get(&id).map(|card| card.revision)
    }

    /// What the book tells of the frame of a job: what its card says, and where it has none, what the shop taught by now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn advice(&self, work: &Work, job: &Job) -> Result<Option<Advice>, WorkError> {
        match self.jobs.wanted.get(&job.id) {
            Some(card) => Ok(card.advice.clone()),
            None => self.jobs.advice(work, job),
        }
    }

    /// The job that the keypad worked on last, else the one that is due soonest; none before a keypad was there.
    pub fn in_hand(&self) -> Option<JobId> {
        self.jobs.first()
    }
}
