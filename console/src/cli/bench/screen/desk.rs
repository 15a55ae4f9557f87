//! The book as the screen looks at it: which pair is shown, and what became of it.

use super::pair::{Advised, Pair};
use crate::cli::paint::{Said, Tone};
use crate::keypad::Bench;
use crate::settings::{Settings, Tolerances};
use crate::work::Place;
use crate::work::{Whose, Work, WorkError};
use bevelbook_core::record::{JobId, RecordId};
use std::time::{Duration, Instant};

/// How often is looked for what was written.
const LOOK: Duration = Duration::from_millis(250);

/// The book, looked into again whenever anybody wrote.
pub(super) struct Desk {
    /// Open; a book that failed is opened again.
    work: Option<Work>,
    place: Place,
    settings: Settings,
    standard: Tolerances,
    /// Who wrote last, for which job the pair was made, and which card of it the bench had.
    seen: Option<(i64, Option<JobId>, Option<u32>)>,
    again: Instant,
    /// The job that is looked at instead of the one in hand.
    aside: Option<JobId>,
}

impl Desk {
    pub(super) fn new(work: Work) -> Result<Self, WorkError> {
        let (place, settings) = (work.place().clone(), work.settings().clone());
        let standard = settings.tolerances()?;
        Ok(Self {
            work: Some(work),
            place,
            settings,
            standard,
            seen: None,
            again: Instant::now(),
            aside: None,
        })
    }

    /// Whether another job is looked at than the one in hand.
    pub(super) const fn is_aside(&self) -> bool {
        self.aside.is_some()
    }

    /// Looks at the open job so many further on, or at the one in hand again.
    pub(super) fn look(&mut self, in_hand: Option<JobId>, further: Option<isize>) {
        let aside = further.and_then(|further| {
            let open: Vec<JobId> = self.work.as_ref()?.due().ok()?.into_iter().map(|due| due.id).collect();
            let at = self.aside.or(in_hand).and_then(|now| open.iter().position(|id| *id == now));
            let at = at.map_or(0, |at| at as isize + further).rem_euclid(open.len().max(1) as isize);
            open.get(at as usize).copied()
        });
        (self.aside, self.seen) = (aside, None);
    }

    /// The pair, where it may have changed; advised as the keypad at this bench is.
    pub(super) fn pair(&mut self, in_hand: Option<JobId>, bench: Option<&Bench>) -> Option<Pair> {
        if self.seen.is_some() && Instant::now() < self.again {
            return None;
        }
        self.again = Instant::now() + LOOK;
        match self.looked(in_hand, bench) {
            Ok(pair) => pair,
            Err(error) => {
                (self.work, self.seen) = (None, None);
                Some(Pair::none("the book cannot be read", Said::new(Tone::Bad, error.to_string())))
            }
        }
    }

    fn looked(&mut self, in_hand: Option<JobId>, bench: Option<&Bench>) -> Result<Option<Pair>, WorkError> {
        let work = match self.work.take() {
            Some(work) => work,
            None => Work::reopen(&self.place, self.settings.clone())?,
        };
        let work = self.work.insert(work);
        let id = self.aside.or(in_hand);
        let card = |id| bench.and_then(|bench| bench.revision(id));
        let now = (work.version()?, id, id.and_then(card));
        if self.seen == Some(now) {
            return Ok(None);
        }
        let due = || Ok::<_, WorkError>(work.due()?.first().map(|due| due.id));
        let shown = match id {
            Some(id) => Some(id),
            None => due()?,
        };
        let pair = match shown.map(|id| work.whose(id)).transpose()? {
            Some(Whose::Ordered(job)) => {
                let dial = work.station()?;
                let book = bench.map(|bench| bench.advice(work, &job)).transpose()?.flatten();
                let (habit, dial, book) = (&self.settings.sizing, dial.as_ref(), book.as_ref());
                Pair::of(&job, &self.standard, &Advised { habit, dial, book })
            }
            Some(Whose::Own(own)) => Pair::of_walk_in(&own),
            Some(Whose::Nobody) | None => {
                Pair::none("no job is open", Said::plain("next: open one: bevelbook job new --help"))
            }
        };
        self.seen = Some(now);
        Ok(Some(pair))
    }

    /// What the shop's keypads are called.
    pub(super) fn keypads(&self) -> Vec<String> {
        let keypads = self.work.as_ref().and_then(|work| work.keypads().ok()).unwrap_or_default();
        keypads.into_iter().map(|keypad| keypad.name).collect()
    }

    /// Undoes a record.
    pub(super) fn undo(&mut self, record: RecordId) -> Result<(), WorkError> {
        // What was asked about was shown, so that the book is open.
        self.seen = None;
        self.work.as_mut().map_or(Ok(()), |work| work.void(record).map(drop))
    }
}
