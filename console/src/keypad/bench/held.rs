//! Which cards the keypad has, and what is to be sent or dropped next.

use super::Note;
use super::jobs::OpenJobs;
use crate::keypad::by_book::begin_words;
use bevelbook_core::link::{HeldCard, HostSession, Reason};
use bevelbook_core::record::JobId;
use std::collections::BTreeMap;

/// How many cards are on their way at once.
const ON_THE_WAY: usize = 3;

/// What the keypad is asked to do with a job's card: to drop it, or to keep this revision.
type Asked = Option<u32>;

/// The keypad's cards, as far as they are known.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// Whether the keypad has told all that it holds.
    listed: bool,
    cards: BTreeMap<JobId, u32>,
    on_the_way: BTreeMap<JobId, Asked>,
    /// What it did not do.
    refused: BTreeMap<JobId, Asked>,
}

impl Held {
    pub(super) fn list(&mut self, held: &[HeldCard], more: bool) {
        self.cards.extend(held.iter().map(|card| (card.job, card.revision)));
        self.listed |= !more;
    }

    pub(super) fn stored(&mut self, job: JobId, revision: u32, jobs: &OpenJobs) -> Option<Note> {
        self.on_the_way.remove(&job);
        self.refused.remove(&job);
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

    pub(super) fn not_taken(&mut self, job: JobId, reason: Reason, jobs: &OpenJobs) -> Option<Note> {
        // It is tried again once there is something new to say of the job, as there may be since it was sent.
        let asked = self.on_the_way.remove(&job)?;
        self.refused.insert(job, asked);
        // What was undone there is in the book at once, and makes the card anew.
        (reason != Reason::Undone).then(|| Note::JobNotTaken { job: jobs.words(job), why: reason })
    }

    /// Queues what is to be sent or dropped next: drops before cards, for the room.
    pub(super) fn queue(&mut self, host: &mut HostSession, jobs: &OpenJobs) {
        if !self.listed {
            return;
        }
        let idle = |held: &Self, job: &JobId| !held.on_the_way.contains_key(job);
        // A revision above ours was made from another book: it is dropped, or the keypad would refuse ours.
        let unwanted =
            |job: &JobId, revision: u32| jobs.wanted.get(job).is_none_or(|card| card.revision < revision);
        let drops: Vec<JobId> = self
            .cards
            .iter()
            .filter(|(job, revision)| {
                unwanted(job, **revision) && idle(self, job) && self.refused.get(job) != Some(&None)
            })
            .map(|(job, _)| *job)
            .collect();
        for job in drops {
            if self.on_the_way.len() < ON_THE_WAY && host.drop_card(job).is_ok() {
                self.on_the_way.insert(job, None);
            }
        }
        let mut wanted: Vec<_> = jobs.wanted.iter().collect();
        wanted.sort_unstable_by_key(|(_, card)| card.number);
        for (job, card) in wanted {
            let behind = self.cards.get(job).is_none_or(|held| *held < card.revision);
            let refused = self.refused.get(job).is_some_and(|refused| *refused >= Some(card.revision));
            if behind
                && !refused
                && idle(self, job)
                && self.on_the_way.len() < ON_THE_WAY
                && host.send_card(card).is_ok()
            {
                self.on_the_way.insert(*job, Some(card.revision));
            }
        }
    }
}
