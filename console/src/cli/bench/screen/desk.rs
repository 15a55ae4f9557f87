//! The book as the screen looks at it: which pair is shown, and what became of it.

use super::pair::{Advised, Pair};
use crate::cli::paint::{Said, Tone};
use crate::keypad::{Bench, BenchBook, Gone, Now, Shelf, since_words};
use crate::settings::{Settings, Tolerances};
use crate::work::{Whose, Work, WorkError};
use bevelbook_core::record::{JobId, RecordId};

/// How often is looked for what was written, in milliseconds.
const LOOK_MS: u64 = 250;

/// The book, looked into again whenever anybody wrote; one that is gone is waited for.
pub(super) struct Desk {
    /// What is shown.
    pub(super) pair: Pair,
    shelf: Shelf<Work>,
    settings: Settings,
    standard: Tolerances,
    seen: Option<Seen>,
    again_ms: u64,
    /// The job that is looked at instead of the one in hand.
    aside: Option<JobId>,
}

/// Who wrote last, for which job the pair was made, and which card of it the bench had.
type Seen = (i64, Option<JobId>, Option<u32>);

impl Desk {
    pub(super) fn new(place: <Work as BenchBook>::Place) -> Result<Self, WorkError> {
        let settings = place.1.clone();
        let standard = settings.tolerances()?;
        let (pair, shelf) = (Pair::default(), Shelf::at(place));
        Ok(Self { pair, shelf, settings, standard, seen: None, again_ms: 0, aside: None })
    }

    /// Whether another job is looked at than the one in hand.
    pub(super) const fn is_aside(&self) -> bool {
        self.aside.is_some()
    }

    /// Looks at the open job so many further on, or at the one in hand again.
    pub(super) fn look(&mut self, in_hand: Option<JobId>, further: Option<isize>) {
        let aside = further.and_then(|further| {
            let open: Vec<JobId> = self.shelf.book()?.due().ok()?.into_iter().map(|due| due.id).collect();
            let at = self.aside.or(in_hand).and_then(|now| open.iter().position(|id| *id == now));
            let at = at.map_or(0, |at| at as isize + further).rem_euclid(open.len().max(1) as isize);
            open.get(at as usize).copied()
        });
        (self.aside, self.seen) = (aside, None);
    }

    /// Makes the pair anew where it may have changed; advised as the keypad at this bench is.
    pub(super) fn renew(&mut self, in_hand: Option<JobId>, bench: Option<&Bench>, now: Now) {
        if self.shelf.turn(now) {
            self.seen = None;
        }
        if self.seen.is_none() || now.ms >= self.again_ms {
            self.again_ms = now.ms + LOOK_MS;
            let Self { settings, standard, seen, aside, .. } = self;
            let id = aside.or(in_hand);
            let looked = |work: &mut Work| looked(work, (settings, standard), *seen, id, bench);
            if let Some(looked) = self.shelf.with(now, looked) {
                self.shelf.settle();
                if let Some((found, now)) = looked {
                    (self.pair, self.seen) = (found, Some(now));
                }
            }
        }
        let news = self.shelf.take_news();
        news.iter().for_each(|gone| without_book(&mut self.pair, gone));
    }

    /// Undoes a record; else why not.
    pub(super) fn undo(&mut self, record: RecordId) -> Result<(), String> {
        self.seen = None;
        let work =
            self.shelf.book_mut().ok_or("nothing was undone: the book is not open; try again when it is")?;
        work.void(record).map(drop).map_err(|error| error.to_string())
    }
}

/// The pair of a job, or of the one that is due first, unless it is as it was `seen`.
fn looked(
    work: &Work,
    (settings, standard): (&Settings, &Tolerances),
    seen: Option<Seen>,
    id: Option<JobId>,
    bench: Option<&Bench>,
) -> Result<Option<(Pair, Seen)>, WorkError> {
    let card = |id| bench.and_then(|bench| bench.revision(id));
    let now = (work.version()?, id, id.and_then(card));
    if seen == Some(now) {
        return Ok(None);
    }
    let due = || Ok::<_, WorkError>(work.due()?.first().map(|due| due.id));
    let shown = match id {
        Some(id) => Some(id),
        None => due()?,
    };
    let pair = match shown.map(|id| work.whose(id)).transpose()? {
        Some(Whose::Ordered(job)) => {
            let dial = match bench.and_then(Bench::journal) {
                Some(keypad) => work.dial(work.station_of(keypad)?)?,
                None => work.station()?,
            };
            let book = bench.map(|bench| bench.advice(work, &job)).transpose()?.flatten();
            let (habit, dial, book) = (&settings.sizing, dial.as_ref(), book.as_ref());
            Pair::of(&job, standard, &Advised { habit, dial, book })
        }
        Some(Whose::Own(own)) => Pair::of_walk_in(&own),
        Some(Whose::Nobody) | None => {
            Pair::none("no job is open", Said::plain("next: open one: bevelbook job new --help"))
        }
    };
    Ok(Some((pair, now)))
}

/// What stands in the place of a pair of which nothing new is heard. One that was there stays while a server is away: what is
/// ordered is worked by, and the keypad goes on.
pub(super) fn without_book(pair: &mut Pair, gone: &Gone) {
    match gone.away.map(since_words) {
        Some(since) if !pair.heading.is_empty() => {
            pair.next = Said::new(Tone::Bad, format!("as it stood at {since}: the server is away"));
        }
        Some(_) => *pair = Pair::none("waiting for the server", Said::new(Tone::Look, &gone.why)),
        None => *pair = Pair::none("the book cannot be read", Said::new(Tone::Bad, &gone.why)),
    }
}
