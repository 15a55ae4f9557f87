//! The open jobs as one keypad should have them, followed through whatever any console writes.
//!
//! A job is folded when its card is made and when something was written of it, and at no other time: which of thousands
//! of open jobs come first is told by their ranks, which are kept.

use crate::keypad::by_book::ByBook;
use crate::keypad::snapshot::Ring;
use crate::work::{Due, Job, Known, Line, Whose, Work, WorkError};
use bevelbook_core::link::Card;
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_core::sizing::Advice;
use jiff::civil::Date;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Bound;

/// The place of a job among those that want a card: those last worked on at this keypad, then those that are due soonest,
/// then by number; a job of a keypad has none.
type Rank = (Reverse<Option<u32>>, bool, Option<Date>, Option<u32>);

/// The jobs of the book and the cards of those that are open.
#[derive(Debug, Default)]
pub struct OpenJobs {
    /// The keypad that the ranks and cards are for.
    journal: Option<JournalId>,
    /// The position up to which the book was looked through.
    seen: i64,
    /// The position of the newest record that bears on every card.
    stated: i64,
    by_book: ByBook,
    known: BTreeMap<JobId, Known>,
    /// Jobs of a keypad, and the order that each is filed under.
    filed: BTreeMap<JobId, JobId>,
    ranks: BTreeMap<JobId, Rank>,
    ranked: BTreeSet<(Rank, JobId)>,
    /// The cards wanted on the keypad.
    pub wanted: BTreeMap<JobId, Card>,
    /// The number that the keypad's journal comes to before the card of a job may be made anew with no record of the job.
    until: BTreeMap<JobId, u32>,
    /// The numbers of open jobs that it has no room for.
    pub no_room: Vec<u32>,
    /// Whether the last refresh found nothing that bears on the station.
    pub station_stands: bool,
}

impl OpenJobs {
    /// A job in a few words.
    pub(super) fn words(&self, id: JobId) -> String {
        match self.known(id) {
            Some(known) => format!("job {}", known.number),
            None => format!("walk-in {:04x}", id.0 >> 48),
        }
    }

    /// The job that comes first of all that want a card.
    pub(super) fn first(&self) -> Option<JobId> {
        self.ranked.first().map(|(_, id)| *id)
    }

    pub(super) fn known(&self, id: JobId) -> Option<&Known> {
        self.known.get(self.filed.get(&id).unwrap_or(&id))
    }

    /// What the book tells of the frame of a job that has no card, by what the shop taught so far.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn advice(&self, work: &Work, job: &Job) -> Result<Option<Advice>, WorkError> {
        self.by_book.advice(work, job)
    }

    /// Learns what the shop's lenses teach, at first at once, then beside the line as more of them come.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn go_on(&mut self, work: &Work) -> Result<(), WorkError> {
        self.by_book.go_on(work)
    }

    /// Looks up what a job is called that is talked of next.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn learn(&mut self, work: &Work, id: JobId) -> Result<(), WorkError> {
        if self.known(id).is_none()
            && let Some((order, known)) = work.called(id)?
        {
            self.known.insert(order, known);
            self.filed.extend((order != id).then_some((id, order)));
        }
        Ok(())
    }

    /// Looks for what was written since, and makes the cards for the keypad that writes `journal` and holds
    /// `room` of them. The jobs that were last worked on at this keypad come first, then those that are due soonest. A job that
    /// was opened at it has a card only where somebody else wrote about it.
    ///
    /// # Errors
    /// The book cannot be read. A job whose records are damaged is left out.
    pub(super) fn refresh(&mut self, work: &Work, journal: JournalId, room: usize) -> Result<(), WorkError> {
        let begins = self.journal != Some(journal);
        if begins {
            let Self { known, filed, mut by_book, .. } = std::mem::take(self);
            by_book.forget();
            *self = Self { seen: work.last_position()?, known, filed, by_book, ..Self::default() };
        }
        let changed = work.changed_since(self.seen)?;
        self.station_stands = !begins && !changed.shop;
        if !self.station_stands {
            self.stated = work.stated_position()?;
            self.by_book.at(work.station_of(journal)?);
            self.by_book.stated(work, self.stated)?;
            self.until.clear();
        }
        let ring = Ring::of(work, journal, self.stated)?;
        let mut folded = BTreeMap::new();
        if begins {
            self.begin(&ring)?;
        }
        for id in changed.jobs {
            let whose = self.look(&ring, id)?;
            for other in self.by_book.wrote(id, &whose, self.seen) {
                self.until.remove(&other);
            }
            folded.insert(id, whose);
        }
        while !self.choose(&ring, room, &mut folded)? {}
        (self.journal, self.seen) = (Some(journal), changed.upto);
        Ok(())
    }

    /// Ranks the jobs that may want a card without folding them.
    fn begin(&mut self, ring: &Ring<'_>) -> Result<(), WorkError> {
        for (Due { id, due, number, filed }, worked) in ring.due()? {
            if filed {
                // What was done of it before it was filed counts too.
                self.look(ring, id)?;
            } else {
                self.rank(id, Some((Reverse(worked), due.is_none(), due, Some(number))));
            }
        }
        for own in ring.work.unfiled_or_gone()? {
            let id = own.id;
            self.rank(id, rank_of(ring, &Whose::Own(Box::new(own))));
        }
        Ok(())
    }

    /// Folds a job and ranks it anew.
    fn look(&mut self, ring: &Ring<'_>, id: JobId) -> Result<Whose, WorkError> {
        let whose = ring.work.whose(id)?;
        if let Whose::Ordered(job) = &whose {
            self.note(job);
        }
        self.rank(id, rank_of(ring, &whose));
        self.until.remove(&id);
        Ok(whose)
    }

    fn rank(&mut self, id: JobId, rank: Option<Rank>) {
        let before = match rank {
            Some(rank) => self.ranks.insert(id, rank),
            None => self.ranks.remove(&id),
        };
        if let Some(before) = before {
            self.ranked.remove(&(before, id));
        }
        self.ranked.extend(rank.map(|rank| (rank, id)));
    }

    fn note(&mut self, job: &Job) {
        self.filed.retain(|_, under| *under != job.id);
        self.filed.extend(job.filed.iter().map(|from| (*from, job.id)));
        self.known.insert(job.id, Known { number: job.order.number, rim: job.order.frame.rim });
    }

    /// Makes the cards of the first `room` jobs; `false` where a rank was not as it should be, which it then is.
    fn choose(
        &mut self,
        ring: &Ring<'_>,
        room: usize,
        folded: &mut BTreeMap<JobId, Whose>,
    ) -> Result<bool, WorkError> {
        let first: Vec<(Rank, JobId)> = self.ranked.iter().take(room).copied().collect();
        for (rank, id) in &first {
            if self.wanted.contains_key(id) && self.until.get(id).is_some_and(|until| ring.last < *until) {
                continue;
            }
            let whose = match folded.remove(id) {
                Some(whose) => whose,
                None => self.look(ring, *id)?,
            };
            let card = ring.card_of(&whose, &mut self.by_book)?;
            if self.ranks.get(id) != Some(rank) || card.is_none() {
                self.rank(*id, rank_of(ring, &whose).filter(|_| card.is_some()));
                return Ok(false);
            }
            if let Some((card, until)) = card {
                self.wanted.insert(*id, card);
                self.until.insert(*id, until);
            }
        }
        let chosen: BTreeSet<JobId> = first.iter().map(|(_, id)| *id).collect();
        self.wanted.retain(|id, _| chosen.contains(id));
        self.until.retain(|id, _| chosen.contains(id));
        let last = first.last().map_or(Bound::Unbounded, |last| Bound::Excluded(*last));
        let behind = self.ranked.range((last, Bound::Unbounded));
        self.no_room = behind.filter_map(|((.., number), _)| *number).collect();
        Ok(true)
    }
}

fn rank_of(ring: &Ring<'_>, whose: &Whose) -> Option<Rank> {
    let worked =
        |lines: &[Line]| Reverse(lines.iter().filter(|line| ring.wrote(line)).map(|line| line.id.seq).max());
    match whose {
        Whose::Ordered(job) if job.closed.is_none() => {
            let (due, number) = (job.order.due, job.order.number);
            Some((worked(&job.lines), due.is_none(), due, Some(number)))
        }
        Whose::Own(own) if ring.wants_card(own) => Some((worked(&own.lines), true, None, None)),
        _ => None,
    }
}
