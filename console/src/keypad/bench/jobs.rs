//! The open jobs as one keypad should have them, followed through whatever any console writes.

use crate::keypad::snapshot::Ring;
use crate::work::{Job, Line, Work, WorkError};
use bevelbook_core::link::Card;
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_core::sizing::Rim;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// A job as it is talked of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) number: u32,
    pub(super) rim: Rim,
}

/// The jobs of the book and the cards of those that are open.
#[derive(Debug, Default)]
pub struct Jobs {
    /// The position up to which the book was looked through.
    seen: i64,
    known: BTreeMap<JobId, Known>,
    /// Jobs of a keypad, and the order that each is filed under.
    filed: BTreeMap<JobId, JobId>,
    open: BTreeSet<JobId>,
    /// The cards wanted on the keypad.
    pub wanted: BTreeMap<JobId, Card>,
    /// The numbers of open jobs that it has no room for.
    pub no_room: Vec<u32>,
}

impl Jobs {
    /// A job in a few words.
    pub(super) fn words(&self, id: JobId) -> String {
        match self.known(id) {
            Some(known) => format!("job {}", known.number),
            None => format!("own job {:04x}", id.0 >> 48),
        }
    }

    pub(super) fn known(&self, id: JobId) -> Option<&Known> {
        self.known.get(self.filed.get(&id).unwrap_or(&id))
    }

    /// Looks for what was written since, and makes the cards for the keypad that writes `journal` and holds
    /// `room` of them. The jobs that were last worked on at this keypad come first, then those that are due soonest. A job that
    /// was opened at it has a card only where somebody else wrote about it.
    ///
    /// # Errors
    /// The book cannot be read. A job whose records are damaged is left out.
    pub(super) fn refresh(&mut self, work: &Work, journal: JournalId, room: usize) -> Result<(), WorkError> {
        let changed = work.changed_since(self.seen)?;
        self.seen = changed.upto;
        changed.jobs.iter().for_each(|job| self.note(job));
        for id in changed.unreadable {
            self.open.remove(&id);
        }
        let ring = Ring::of(work, journal)?;
        let worked = |lines: &[Line]| {
            Reverse(lines.iter().filter(|line| ring.wrote(line)).map(|line| line.id.seq).max())
        };
        let mut cards = Vec::new();
        for id in &self.open {
            let (job, card) = ring.card(*id)?;
            let due = job.order.due;
            cards.extend(card.map(|card| ((worked(&job.lines), due.is_none(), due, card.number), card)));
        }
        for own in work.opened()? {
            let card = ring.card_of_own(&own)?;
            cards.extend(card.map(|card| ((worked(&own.lines), true, None, u32::MAX), card)));
        }
        cards.sort_by_key(|(rank, _)| *rank);
        self.no_room =
            cards.iter().skip(room).map(|(_, card)| card.number).filter(|number| *number > 0).collect();
        self.wanted = cards.into_iter().take(room).map(|(_, card)| (card.job, card)).collect();
        Ok(())
    }

    fn note(&mut self, job: &Job) {
        self.filed.retain(|_, under| *under != job.id);
        self.filed.extend(job.filed.iter().map(|from| (*from, job.id)));
        self.known.insert(job.id, Known { number: job.order.number, rim: job.order.frame.rim });
        match job.closed {
            Some(_) => self.open.remove(&job.id),
            None => self.open.insert(job.id),
        };
    }
}
