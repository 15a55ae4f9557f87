//! How much of a keypad's own records a card's state includes.
//!
//! The keypad lays its own records behind [`Snapshot::includes_upto`] over the card's state, and it can undo those. So
//! the newest few are left out of the state ([`UNDOABLE`]), as many as leave the keypad with the same state as the
//! console:
//!
//! - They are the last facts of the job in the order of commits: the keypad knows no other order than behind.
//! - They are recent ([`AGE`]): the keypad overwrites old records once it has no room left.
//! - Laid over the state they do give the console's. They would not where one of them voids what the state includes,
//!   where the console voided one of them, or where one tells of a lens that was begun twice.
//!
//! The revision is that of the newest record in the book that bears on the card, so it only grows.

use crate::work::{Due, Line, Work, WorkError, facts_of, revision, state_of};
use bevelbook_core::record::{JobId, JobState, JournalId, RecordId, Tells};

/// The most own records of a job that stay out of its card's state.
pub(super) const UNDOABLE: usize = 8;

/// Own records that so many later ones follow are included whatever happens. A journal of some 300 pages may take
/// that many records more before it overwrites one that stayed out, less these.
pub(super) const AGE: u32 = 64;

/// The state of a job for one keypad.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Snapshot {
    /// The job's state without the keypad's own records behind `includes_upto`.
    pub(super) state: JobState,
    /// The number up to which the state includes the keypad's own records.
    pub(super) includes_upto: u32,
    /// Grows with every record that bears on the card.
    pub(super) revision: u32,
}

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

    /// The number that the journal comes to when the next of a job's own records comes of age: until then its snapshot
    /// changes with the job's records alone.
    pub(super) fn until(&self, lines: &[Line]) -> u32 {
        let of_age = |line: &Line| line.id.seq.saturating_add(AGE);
        let own = lines.iter().filter(|line| self.wrote(line));
        own.map(of_age).filter(|at| *at > self.last).min().unwrap_or(u32::MAX)
    }

    pub(super) fn wrote(&self, line: &Line) -> bool {
        line.id.journal == self.journal
    }

    /// The position of the record that made the newest of the job's own records come of age that has.
    fn aged(&self, lines: &[Line]) -> Result<Option<i64>, WorkError> {
        let of_age = |seq: &u32| seq.checked_add(AGE).is_some_and(|by| by <= self.last);
        let own = lines.iter().filter(|line| self.wrote(line)).map(|line| line.id.seq);
        let Some(newest) = own.filter(of_age).max() else { return Ok(None) };
        self.work.first_position(self.journal, newest + AGE..=newest.saturating_add(2 * AGE))
    }
}

impl Snapshot {
    /// Of job `id`, which has these records and this state, for one keypad; `others` is the position of the newest record of
    /// another job that bears on its card.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn of(
        id: JobId,
        lines: &[Line],
        whole: &JobState,
        ring: &Ring<'_>,
        others: i64,
    ) -> Result<Self, WorkError> {
        let own = || lines.iter().filter(|line| ring.wrote(line));
        let mut left_out = candidates(id, lines, ring);
        let state = loop {
            let (out, inside): (Vec<&Line>, Vec<&Line>) =
                lines.iter().partition(|line| left_out.contains(&line.id));
            let state = state_of(id, inside.iter().copied());
            let behind = inside.iter().filter(|line| ring.wrote(line)).map(|line| line.id.seq).max();
            let in_order = left_out.first().is_none_or(|first| behind < Some(first.seq));
            if left_out.is_empty() || in_order && laid_over(state, id, &out) == *whole {
                break state;
            }
            left_out.remove(0);
        };
        let all = own().map(|line| line.id.seq).max().unwrap_or(0);
        let positions = lines.iter().map(|line| line.position);
        let newest = positions.chain([ring.stated, others]).chain(ring.aged(lines)?).max();
        Ok(Self {
            state,
            includes_upto: left_out.first().map_or(all, |first| first.seq - 1),
            revision: revision(ring.own, newest.unwrap_or(0)),
        })
    }
}

/// `state` as the keypad sees it with its own records over it.
fn laid_over(mut state: JobState, id: JobId, own: &[&Line]) -> JobState {
    facts_of(id, own.iter().copied()).iter().for_each(|logged| state.apply(&logged.fact));
    state
}

/// The newest own records, oldest first, as many as may be left out.
fn candidates(id: JobId, lines: &[Line], ring: &Ring<'_>) -> Vec<RecordId> {
    let oldest = ring.last.saturating_sub(AGE);
    let telling = lines.iter().rev().filter(|line| line.told().tells != Tells::Other);
    let mut out: Vec<RecordId> = Vec::new();
    for line in telling.take(UNDOABLE) {
        // A fact that came under this job by filing is not undone as one of this job.
        let own = ring.wrote(line) && line.job == Some(id) && line.id.seq > oldest;
        if !own || out.last().is_some_and(|later| line.id.seq >= later.seq) {
            break;
        }
        out.push(line.id);
    }
    out.reverse();
    out
}

#[cfg(test)]
mod tests;
