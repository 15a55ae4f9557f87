//! How the bench stands with what is on its line, for whoever shows it.

use super::{Bench, BenchBook, Gone};
use crate::work::{Job, Work, WorkError};
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_core::sizing::Advice;
use jiff::Timestamp;

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
    /// The book is being opened for the first time.
    Opening,
    /// The server that keeps the book is away; nothing is taken in until it is back.
    Away {
        /// Since when.
        since: Timestamp,
        /// How many records wait on the keypad, as far as it told; none where none is there.
        waiting: Option<u32>,
    },
    /// The book failed; nothing is taken in until it is open again.
    NoBook,
}

impl<B: BenchBook> Bench<B> {
    /// How the line stands.
    pub fn link(&self) -> Link {
        if self.shelf.book().is_none() {
            return match self.shelf.gone() {
                None => Link::Opening,
                Some(Gone { away: Some(since), .. }) => {
                    Link::Away { since: *since, waiting: self.held_back() }
                }
                Some(Gone { away: None, .. }) => Link::NoBook,
            };
        }
        match (&self.keypad, &self.asking) {
            (Some(keypad), _) => {
                Link::Connected { keypad: keypad.name.clone(), waiting: self.host.waiting() }
            }
            (None, Some(_)) => Link::New,
            (None, None) => Link::Waiting,
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

    /// The journal of the keypad that is connected.
    pub fn journal(&self) -> Option<JournalId> {
        self.keypad.as_ref().map(|keypad| keypad.journal)
    }

    /// The job that the keypad worked on last, else the one that is due soonest; none before a keypad was there.
    pub fn in_hand(&self) -> Option<JobId> {
        self.jobs.first()
    }
}
