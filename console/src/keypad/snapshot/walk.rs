//! The walk over a job's records that tells what its card includes and which record made it.

use crate::work::{facts_of, state_of};
use bevelbook_core::link::LEFT_OUT;
use bevelbook_core::record::{Bench, JobId, JobState, JournalId, Tells, Told};
use bevelbook_core::sizing::Size;

/// The most own records that stay out of the card of the job in hand once the oldest of them is old.
const UNDOABLE: usize = 8;

/// A record of the job, or of one filed under it.
#[derive(Clone, Copy, Debug)]
pub struct Bearing {
    /// Its place in the order of commits.
    pub position: i64,
    /// What the ledger sees of it.
    pub told: Told,
    /// The keypad wrote it for this job itself.
    pub own: bool,
}

/// What a card shows of a state beside the state itself.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Showing {
    /// Nothing is left to be done.
    pub done: bool,
    /// What the book's advice for an eye that waits for its size goes by: the lenses, where they fit, which are scrap.
    /// `None` where none waits or nothing is advised.
    pub ends: Option<[(u8, Option<Size>, bool); 2]>,
}

/// The state of a job for one keypad.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    /// The job's state without the keypad's own records behind `includes_upto`.
    pub state: JobState,
    /// The number up to which the state includes the keypad's own records.
    pub includes_upto: u32,
    /// The position of the record of the job, or of the keypad, that made it.
    pub position: i64,
    /// The number that the keypad's journal comes to before it may be made anew with no record of the job.
    pub until: u32,
}

/// What a walk has come to.
struct Walk<'r> {
    id: JobId,
    journal: JournalId,
    /// The records up to here, the state with all of them, and what a card shows of that.
    seen: &'r [Bearing],
    whole: JobState,
    shows: Showing,
    /// The place of what made the card, the state in it, the number up to which that includes own records, and what else it
    /// shows.
    position: i64,
    state: JobState,
    includes: u32,
    told: Showing,
    /// The highest number of the keypad's among them.
    last: u32,
}

impl Snapshot {
    /// Of job `id` for the keypad that writes `journal`: by its records in the order of commits, what a card shows of a state,
    /// and the position of the first record of the keypad's that has a number or a somewhat higher one.
    ///
    /// # Errors
    /// `first_from` fails.
    pub fn of<E>(
        id: JobId,
        journal: JournalId,
        records: &[Bearing],
        shown: impl Fn(&JobState) -> Showing,
        first_from: impl Fn(u32) -> Result<Option<i64>, E>,
    ) -> Result<Self, E> {
        let whole = state_of(id, std::iter::empty());
        let (shows, told) = (shown(&whole), Showing::default());
        let mut walk = Walk {
            id,
            journal,
            seen: &[],
            whole,
            shows,
            position: 0,
            state: whole,
            includes: 0,
            told,
            last: 0,
        };
        for (before, record) in records.iter().enumerate() {
            walk.between(&first_from, record.position)?;
            walk.seen = &records[..=before];
            walk.whole = state_of(id, walk.seen.iter().map(|record| record.told));
            walk.shows = shown(&walk.whole);
            walk.take(record);
        }
        walk.between(&first_from, i64::MAX)?;
        let until = walk.until();
        let Walk { state, includes: includes_upto, position, .. } = walk;
        Ok(Self { state, includes_upto, position, until })
    }
}

impl Walk<'_> {
    /// One more record of the job.
    fn take(&mut self, record: &Bearing) {
        let (seq, before) = (record.told.id.seq, self.last);
        if record.told.id.journal == self.journal {
            self.last = before.max(seq);
        }
        let bench = matches!(record.told.tells, Tells::Bench(_));
        if !record.own || !bench {
            // What tells nothing of the state leaves standing what is laid over it.
            let tells = record.told.tells != Tells::Other;
            let includes = if tells { self.last } else { self.includes };
            return self.make(record.position, includes);
        }
        let old = self.oldest_left_out().is_some_and(|oldest| is_old(oldest, seq));
        let void = matches!(record.told.tells, Tells::Bench(Bench::Void(_)));
        if old {
            self.make(record.position, self.undoable_behind());
        } else if void || self.shows_other_ends() {
            self.make(record.position, self.includes);
        }
        if seq <= before || self.parts_a_void() || self.laid_over() != self.whole {
            self.make(record.position, self.last);
        }
    }

    /// What the keypad logged of anything else before `until`: with that the job is put away.
    fn between<E>(
        &mut self,
        first_from: impl Fn(u32) -> Result<Option<i64>, E>,
        until: i64,
    ) -> Result<(), E> {
        let (put_away, old) = self.awaits();
        let mut made = None;
        for seq in [put_away, old].into_iter().flatten() {
            let at = first_from(seq)?.filter(|at| *at < until);
            made = made.into_iter().chain(at).min();
        }
        if let Some(position) = made {
            self.make(position, self.last);
        }
        Ok(())
    }

    /// The numbers of the keypad's at which its card is made anew with no record of the job: where it is put away, and where
    /// what it leaves out is old.
    fn awaits(&self) -> (Option<u32>, Option<u32>) {
        let behind = self.shows.done != self.told.done;
        let put_away = (self.last > 0 && behind).then(|| self.last.saturating_add(1));
        (put_away, self.oldest_left_out().map(|oldest| oldest.saturating_add(LEFT_OUT)))
    }

    fn until(&self) -> u32 {
        let (put_away, old) = self.awaits();
        put_away.into_iter().chain(old).min().unwrap_or(u32::MAX)
    }

    /// The card is made anew.
    fn make(&mut self, position: i64, includes: u32) {
        self.told = Showing { ends: self.shows.ends.or(self.told.ends), ..self.shows };
        (self.position, self.includes) = (self.position.max(position), includes);
        let inside = self.seen.iter().filter(|record| !self.is_left_out(record));
        self.state = state_of(self.id, inside.map(|record| record.told));
    }

    fn shows_other_ends(&self) -> bool {
        let ends = self.shows.ends;
        ends.is_some() && ends != self.told.ends
    }

    fn is_left_out(&self, record: &Bearing) -> bool {
        record.own && record.told.id.seq > self.includes && matches!(record.told.tells, Tells::Bench(_))
    }

    fn left_out(&self) -> impl Iterator<Item = &Bearing> + Clone {
        self.seen.iter().filter(|record| self.is_left_out(record))
    }

    /// Whether a void is left out whose record is included: such a card no keypad takes, even where both tell the same.
    fn parts_a_void(&self) -> bool {
        self.left_out().any(|record| {
            let Tells::Bench(Bench::Void(void)) = record.told.tells else { return false };
            void.target.journal == self.journal && void.target.seq <= self.includes
        })
    }

    fn oldest_left_out(&self) -> Option<u32> {
        self.left_out().map(|record| record.told.id.seq).min()
    }

    /// The number behind which the newest own records are that may stay out.
    fn undoable_behind(&self) -> u32 {
        let mut numbers: Vec<u32> = self.left_out().map(|record| record.told.id.seq).collect();
        numbers.sort_unstable();
        numbers.len().checked_sub(UNDOABLE + 1).map_or(self.includes, |newest| numbers[newest])
    }

    /// What the keypad makes of the card and its own records behind it.
    fn laid_over(&self) -> JobState {
        let mut state = self.state;
        let own = facts_of(self.id, self.left_out().map(|record| record.told));
        own.iter().for_each(|logged| state.apply(&logged.fact));
        state
    }
}

const fn is_old(oldest: u32, newest: u32) -> bool {
    newest.saturating_sub(oldest) >= LEFT_OUT
}
