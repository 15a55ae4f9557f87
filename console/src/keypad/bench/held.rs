//! Which cards the keypad has, and what is to be sent or dropped next.

use super::Note;
use super::jobs::OpenJobs;
use crate::keypad::by_book::begin_words;
use bevelbook_core::link::{HeldCard, HostSession, Reason};
use bevelbook_core::record::JobId;
use std::collections::{BTreeMap, BTreeSet};

/// How many cards are on their way at once.
const ON_THE_WAY: usize = 3;

/// The keypad's cards, as far as they are known.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// Whether the keypad has told all that it holds.
    listed: bool,
    cards: BTreeMap<JobId, u32>,
    on_the_way: BTreeSet<JobId>,
    /// Revisions that it did not take.
    refused: BTreeMap<JobId, u32>,
}

impl Held {
    pub(super) fn list(&mut self, held: &[HeldCard], more: bool) {
        self.cards.extend(held.iter().map(|card| (card.job, card.revision)));
        self.listed |= !more;
    }

    pub(super) fn stored(&mut self, job: JobId, revision: u32, jobs: &OpenJobs) -> Option<Note> {
        self.on_the_way.remove(&job);
        let new = self.cards.insert(job, revision).is_none();
        let card = jobs.wanted.get(&job).filter(|_| new)?;
        let untouched = card.state.lenses.iter().all(|lens| lens.sizing.passes == 0);
        let by_book = card.advice.as_ref().filter(|_| untouched).and_then(begin_words);
        Some(Note::JobSent { job: card.number, label: card.label.as_str().into(), by_book })
    }

    pub(super) fn dropped(&mut self, job: JobId, jobs: &OpenJobs) -> Option<Note> {
        self.on_the_way.remove(&job);
        self.cards.remove(&job)?;
        (!jobs.wanted.contains_key(&job)).then(|| Note::JobDropped { job: jobs.words(job) })
    }

    pub(super) fn not_taken(&mut self, job: JobId, reason: Reason, jobs: &OpenJobs) -> Note {
        self.on_the_way.remove(&job);
        // It is tried again once there is something new to say of the job.
        self.refused.insert(job, jobs.wanted.get(&job).map_or(0, |card| card.revision));
        Note::JobNotTaken { job: jobs.words(job), why: reason }
    }

    /// Queues what is to be sent or dropped next: drops before cards, for the room.
    pub(super) fn queue(&mut self, host: &mut HostSession, jobs: &OpenJobs) {
        if !self.listed {
            return;
        }
        let idle = |held: &Self, job: &JobId| !held.on_the_way.contains(job);
        // A revision above ours was made from another book: it is dropped, or the keypad would refuse ours.
        let unwanted =
            |job: &JobId, revision: u32| jobs.wanted.get(job).is_none_or(|card| card.revision < revision);
        let drops: Vec<JobId> = self
            .cards
            .iter()
            .filter(|(job, revision)| {
                unwanted(job, **revision) && idle(self, job) && !self.refused.contains_key(job)
            })
            .map(|(job, _)| *job)
            .collect();
        for job in drops {
            if self.on_the_way.len() < ON_THE_WAY && host.drop_card(job).is_ok() {
                self.on_the_way.insert(job);
            }
        }
        let mut wanted: Vec<_> = jobs.wanted.iter().collect();
        wanted.sort_unstable_by_key(|(_, card)| card.number);
        for (job, card) in wanted {
            let behind = self.cards.get(job).is_none_or(|held| *held < card.revision);
            let refused = self.refused.get(job).is_some_and(|refused| *refused >= card.revision);
            if behind
                && !refused
                && idle(self, job)
                && self.on_the_way.len() < ON_THE_WAY
                && host.send_card(card).is_ok()
            {
                self.on_the_way.insert(*job);
            }
        }
    }
}
