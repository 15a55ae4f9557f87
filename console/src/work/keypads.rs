//! Keypads: which journals are this shop's, and taking in what they send.

use super::{Work, WorkError, append_desk_of_no_job};
use crate::desk::{Adoption, Desk, Habit};
use crate::store::{Entry, Imported, Received};
use bevelbook_core::record::{Bench, FIRST_DESK_KIND, JournalId, RecordId};

/// The habit that an entry puts down, if it does.
fn habit_in(entry: &Entry) -> Option<Habit> {
    match Desk::decode(entry.kind, &entry.payload) {
        Ok(Desk::Habit(habit)) => Some(habit),
        _ => None,
    }
}

/// Whether what a keypad holds of every job is made anew after it: a fact of the station, or another habit.
pub(crate) fn bears_on_every_card(entry: &Entry) -> bool {
    entry.kind < FIRST_DESK_KIND || habit_in(entry).is_some()
}

impl Work {
    /// The keypads of this shop, oldest first; a later adoption of the same journal renames it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn keypads(&self) -> Result<Vec<Adoption>, WorkError> {
        let mut keypads: Vec<Adoption> = Vec::new();
        for entry in self.book.entries_of_no_job()? {
            let Ok(Desk::Adoption(adoption)) = Desk::decode(entry.kind, &entry.payload) else { continue };
            match keypads.iter_mut().find(|known| known.journal == adoption.journal) {
                Some(known) => *known = adoption,
                None => keypads.push(adoption),
            }
        }
        Ok(keypads)
    }

    /// Puts down the sizing habit of the settings where it differs from the one put down last: what keypads hold was
    /// advised by that one, and is made anew.
    ///
    /// # Errors
    /// The book refuses.
    pub fn note_habit(&mut self) -> Result<(), WorkError> {
        let habit = Habit::from(&self.settings.sizing);
        self.change(|tx| {
            let before = tx.entries_of_no_job()?.iter().rev().find_map(habit_in);
            if before != Some(habit) {
                append_desk_of_no_job(tx, &Desk::Habit(habit))?;
            }
            Ok(())
        })
    }

    /// Makes the keypad that writes `journal` one of this shop's.
    ///
    /// # Errors
    /// The book refuses.
    pub fn adopt(&mut self, journal: JournalId, name: &str) -> Result<RecordId, WorkError> {
        self.change(|tx| append_desk_of_no_job(tx, &Desk::Adoption(Adoption { journal, name: name.into() })))
    }

    /// Takes in records of a keypad's journal; when this returns they are on the disk. Each is filed under the job
    /// that it names; a kind that this version does not know is kept as it came.
    ///
    /// # Errors
    /// The book refuses; nothing was taken in.
    pub fn take_in(
        &mut self,
        journal: JournalId,
        mut received: Vec<Received>,
    ) -> Result<Imported, WorkError> {
        for record in &mut received {
            let fact = Bench::decode(record.kind, &record.payload).ok();
            record.job = fact.and_then(|fact| fact.job()).map(|job| job.0);
        }
        Ok(self.book.import(journal, &received)?)
    }
}
