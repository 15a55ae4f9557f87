//! What holds of the records.
//!
//! Records are never changed: what was logged by mistake, or filed under the wrong order, stands in its journal for
//! good. What *holds* is worked out here and nowhere else. Keypad, console, snapshot, history, station and log ask a
//! ledger, and nothing else looks into a [`Void`](super::Void).
//!
//! - **Voids.** A record holds unless a void names it: from whatever journal, sooner or later. Two kinds always hold: a
//!   void, since what it undid is logged again instead, and an order, whose job is closed instead. What was said at a
//!   desk is undone at a desk alone: a void from a keypad bears on facts of the bench and on nothing else.
//! - **Filings.** A job that was opened at the bench belongs to the order that the first filing that holds puts it
//!   under. Its facts, those that come later too, then stand as that job's own.
//! - **Order.** Within a journal its numbers; between journals the commits of the book. Records are handed over so.
//! - **Lenses.** An eye goes on with a new lens when a record that holds says so. What is said of a lens that was not
//!   begun then tells nothing; what comes late of an earlier one tells of that one.
//! - **Stations.** A record speaks for the station at which its number was placed by the newest [`Placed`] that holds, and for
//!   the first one where none was. A station's dial is the newest statement that holds of those that speak for it.
//!
//! Nothing is folded before all voids are known and then all filings, so the records are gone through three times and no
//! more often. What is kept in mind meanwhile is its owner's ([`Notes`]): a bit for each page on a keypad, sets on a host.

use super::{
    Bench, JobId, JobState, JournalId, LensId, LensState, NewLens, PairId, RecordId, StationEvent, StationId,
};
use crate::sizing::Dial;

/// A bench record with its identity, in the order in which it was committed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Logged {
    /// Its identity.
    pub id: RecordId,
    /// What it says.
    pub fact: Bench,
}

/// A record as the ledger sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Told {
    /// Its identity.
    pub id: RecordId,
    /// Whether it was written at a console; else at a keypad.
    pub at_console: bool,
    /// What it tells.
    pub tells: Tells,
}

/// Records of one journal that speak for a station, by their numbers; what is still to come among them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The journal.
    pub journal: JournalId,
    /// The first of them.
    pub from: u32,
    /// The last of them.
    pub upto: u32,
    /// For which station.
    pub station: StationId,
}

impl Placed {
    /// Whether a record is one of them.
    pub fn has(&self, id: RecordId) -> bool {
        id.journal == self.journal && (self.from..=self.upto).contains(&id.seq)
    }
}

/// What of a record bears on what holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tells {
    /// A fact of the bench.
    Bench(Bench),
    /// The job `from`, opened at the bench, belongs to the order of `under`.
    Filing {
        /// As the bench opened it.
        from: JobId,
        /// The order's job.
        under: JobId,
    },
    /// A job was ordered.
    Order,
    /// An eye goes on with a new lens, as the desk says.
    Remake(LensId),
    /// Records of a journal speak for a station.
    Placed(Placed),
    /// Anything else that a desk says.
    Other,
}

impl From<Logged> for Told {
    fn from(Logged { id, fact }: Logged) -> Self {
        Self { id, at_console: false, tells: Tells::Bench(fact) }
    }
}

/// What a ledger keeps in mind. A keypad's is bounded by its pages and knows no filings, and of one station.
pub trait Notes {
    /// A void names this record.
    fn note_void(&mut self, target: RecordId);

    /// Whether a void was noted that names it.
    fn is_void(&self, id: RecordId) -> bool;

    /// A void that was written at a console names this record. A keypad knows of none.
    fn note_void_at_console(&mut self, _target: RecordId) {}

    /// Whether such a void was noted that names it.
    fn is_void_at_console(&self, _id: RecordId) -> bool {
        false
    }

    /// A job opened at the bench belongs to another one, unless it belongs to one already.
    fn note_filing(&mut self, from: JobId, under: JobId);

    /// The job that this one belongs to.
    fn filed_under(&self, job: JobId) -> Option<JobId>;

    /// Records speak for a station, whatever was noted of them before.
    fn note_placed(&mut self, _placed: Placed) {}

    /// The station that a record was noted last to speak for.
    fn placed(&self, _id: RecordId) -> Option<StationId> {
        None
    }

    /// One more record of the bench, where they are noted one by one.
    fn note(&mut self, fact: &Bench) {
        if let Bench::Void(void) = fact {
            self.note_void(void.target);
        }
    }

    /// Whether a record holds.
    fn holds(&self, told: &Told) -> bool {
        match told.tells {
            Tells::Order | Tells::Bench(Bench::Void(_)) => true,
            Tells::Bench(_) => !self.is_void(told.id),
            Tells::Filing { .. } | Tells::Remake(_) | Tells::Placed(_) | Tells::Other => {
                !self.is_void_at_console(told.id)
            }
        }
    }
}

/// Which records hold, and as whose.
#[derive(Clone, Debug, Default)]
pub struct Ledger<N> {
    notes: N,
}

impl<N: Notes> Ledger<N> {
    /// Over `records`, in their order, with nothing in mind yet.
    pub fn over(records: impl Iterator<Item = Told> + Clone, notes: N) -> Self {
        let mut ledger = Self { notes };
        for told in records.clone() {
            if let Tells::Bench(fact) = told.tells {
                ledger.notes.note(&fact);
                if let (Bench::Void(void), true) = (fact, told.at_console) {
                    ledger.notes.note_void_at_console(void.target);
                }
            }
        }
        for told in records {
            match told.tells {
                Tells::Filing { from, under } if ledger.holds(&told) => ledger.notes.note_filing(from, under),
                Tells::Placed(placed) if ledger.holds(&told) => ledger.notes.note_placed(placed),
                _ => {}
            }
        }
        ledger
    }

    /// Whether a record holds.
    pub fn holds(&self, told: &Told) -> bool {
        self.notes.holds(told)
    }

    /// The job as whose own the facts of `job` stand: itself, unless it is filed.
    pub fn owner(&self, job: JobId) -> JobId {
        self.notes.filed_under(job).unwrap_or(job)
    }

    /// The facts that hold of a job and of those filed under it, as its own.
    pub fn facts(&self, job: JobId, records: impl Iterator<Item = Told>) -> impl Iterator<Item = Logged> {
        records.filter_map(move |told| {
            let fact = match told.tells {
                Tells::Bench(fact) => fact,
                Tells::Remake(lens) => Bench::NewLens(NewLens { lens }),
                Tells::Filing { .. } | Tells::Placed(_) | Tells::Order | Tells::Other => return None,
            };
            let own = self.owner(fact.job()?) == job && self.holds(&told);
            own.then(|| Logged { id: told.id, fact: fact.filed_under(job) })
        })
    }

    /// The state of a job's work.
    pub fn job(&self, job: JobId, records: impl Iterator<Item = Told>) -> JobState {
        let mut state = JobState::new(PairId::first(job));
        self.facts(job, records).for_each(|logged| state.apply(&logged.fact));
        state
    }

    /// The state of one lens, the present one or an earlier one; as not begun, if it was not.
    pub fn lens(&self, lens: LensId, records: impl Iterator<Item = Told>) -> LensState {
        self.follow(lens, records, |_, _| {})
    }

    /// As [`Ledger::lens`], told of the state after each record that changed it.
    pub fn follow(
        &self,
        lens: LensId,
        records: impl Iterator<Item = Told>,
        mut each: impl FnMut(RecordId, &LensState),
    ) -> LensState {
        let (mut state, mut at) = (LensState::new(lens.number), 1);
        for Logged { id, fact } in self.facts(lens.job, records) {
            match fact {
                Bench::NewLens(NewLens { lens: new }) if new.eye == lens.eye => at = new.number.max(at),
                fact if fact.lens() == Some(lens) && lens.number <= at => {
                    state.apply(&fact);
                    each(id, &state);
                }
                _ => {}
            }
        }
        state
    }

    /// The station that a record was said to speak for.
    pub fn placed(&self, id: RecordId) -> Option<StationId> {
        self.notes.placed(id)
    }

    /// The station that a record speaks for.
    pub fn station(&self, id: RecordId) -> StationId {
        self.placed(id).unwrap_or_default()
    }

    /// The dial that a station last stated, and the record that did.
    pub fn dial(&self, station: StationId, records: impl Iterator<Item = Told>) -> Option<(RecordId, Dial)> {
        let speaks = |told: &Told| self.holds(told) && self.station(told.id) == station;
        let stated = records.filter(speaks).filter_map(|told| match told.tells {
            Tells::Bench(Bench::Station(StationEvent::Dial(dial))) => Some((told.id, dial)),
            _ => None,
        });
        stated.last()
    }
}

#[cfg(test)]
mod tests;
