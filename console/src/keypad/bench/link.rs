//! How the bench stands with what is on its line, for whoever shows it.

use super::{Bench, BenchBook, Shelf};
use bevelbook_core::record::JobId;

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

    /// The job that the keypad worked on last, else the one that is due soonest; none before a keypad was there.
    pub fn in_hand(&self) -> Option<JobId> {
        self.jobs.first()
    }
}
