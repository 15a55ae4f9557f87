//! How much of a keypad's own records a card's state includes, and when it is made anew.
//!
//! The keypad lays its own records behind [`Snapshot::includes_upto`] over the card's state, by the same ledger, and keeps
//! their pages for that. So a card need not follow what the keypad itself logs; each one that did would cost it seven page
//! writes. A card is made anew where something bears on it that the keypad does not know or cannot lay over it:
//!
//! - somebody else wrote about the job: the desk, another keypad, or this one about a job that is filed under it;
//! - an own record was kept apart: the keypad would lay it over the card all the same;
//! - an own record tells something else on the card than behind it: a void of what the card includes, a record that was
//!   void before it came, a lens that was begun twice, a number that came late;
//! - a void, and a lens that came to an end while the other eye waits for its size: what the book advises goes by it;
//! - the job is put away, that is, the keypad logged something else since, and whether it is done is no more what the card
//!   says. While it is in hand the keypad knows that by itself;
//! - an own record is so old ([`LEFT_OUT`]) that its page will be wanted.
//!
//! What the keypad logs of the job in hand stays out and can be undone there, its newest once it is old.
//! Of a job that is put away all is included when its card is made anew.
//!
//! **The same records give the same card.** All of this is told by a walk over the records in the order of commits, each
//! decision by those before it alone. So a card's revision, that of the record that made it, only grows; a console that is
//! started again, or another one, says what was said before; and where the revision is the same, the card is.

mod walk;

pub use walk::{Bearing, Showing, Snapshot};

use crate::desk::Desk;
use crate::work::{Due, Fact, Line, Work, WorkError, revision};
use bevelbook_core::link::LEFT_OUT;
use bevelbook_core::record::{JobId, JobState, JournalId, RecordId, Tells, Told};

/// What of a keypad's journal and of the shop bears on its cards.
#[derive(Debug)]
pub(super) struct Ring<'w> {
    pub(super) work: &'w Work,
    journal: JournalId,
    /// The console's own journal.
    own: JournalId,
    /// The highest number in the book.
    pub(super) last: u32,
    /// The position of the newest record that bears on every card.
    stated: i64,
}

impl<'w> Ring<'w> {
    /// For the keypad that writes `journal`, from the book as it is now, where the shop last stated something at `stated`.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn of(work: &'w Work, journal: JournalId, stated: i64) -> Result<Self, WorkError> {
        let (own, last) = (work.own_journal()?, work.last_of(journal)?);
        Ok(Self { work, journal, own, last, stated })
    }

    /// The open jobs, and the highest number of the keypad's among the records of each itself.
    pub(super) fn due(&self) -> Result<Vec<(Due, Option<u32>)>, WorkError> {
        self.work.due_and_worked(self.journal)
    }

    pub(super) fn wrote(&self, line: &Line) -> bool {
        line.id.journal == self.journal
    }

    /// The snapshot of job `id`, of which the book has these records, and its revision; `others` is the position of the
    /// newest record of another job that bears on its card, and `shown` what the card shows of a state.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn snapshot(
        &self,
        id: JobId,
        lines: &[Line],
        others: i64,
        shown: impl Fn(&JobState) -> Showing,
    ) -> Result<(Snapshot, u32), WorkError> {
        let bears = |line: &Line| Bearing {
            position: line.position,
            told: line.told(),
            // A fact that came under this job by filing is not undone as one of this job.
            own: self.wrote(line) && line.job == Some(id),
        };
        // As of something that nobody undoes and that tells nothing of the work.
        let apart = |(position, seq)| {
            let (id, tells) = (RecordId { journal: self.journal, seq }, Tells::Order);
            Bearing { position, told: Told { id, at_console: false, tells }, own: false }
        };
        let apart = self.work.apart_of(id, self.journal)?.into_iter().map(apart);
        let mut bearing: Vec<Bearing> =
            lines.iter().filter(|line| is_told(line)).map(bears).chain(apart).collect();
        bearing.sort_by_key(|record| record.position);
        // What the journal has not come to yet has no place.
        let first_from = |seq: u32| match seq {
            _ if seq > self.last => Ok(None),
            _ => self.work.first_position(self.journal, seq..=seq.saturating_add(LEFT_OUT)),
        };
        let snapshot = Snapshot::of(id, self.journal, &bearing, shown, first_from)?;
        let newest = snapshot.position.max(self.stated).max(others);
        Ok((snapshot, revision(self.own, newest)))
    }
}

/// Whether a card tells anything of what the desk says in a record, or of what follows from it.
const fn is_told(line: &Line) -> bool {
    let Fact::Desk(desk) = &line.fact else { return true };
    !matches!(desk, Desk::Arrival(_) | Desk::Note(_) | Desk::SignOff(_) | Desk::Making(_) | Desk::Segments(_))
}

#[cfg(test)]
mod tests;
