//! What holds of the records.
//!
//! Records are never changed: what was logged by mistake, or filed under the wrong order, stands in its journal for
//! good. What *holds* is worked out here and nowhere else. Keypad, console, snapshot, history, station and log ask a
//! ledger, and nothing else looks into a [`Void`](super::Void).
//!
//! - **Voids.** A record holds unless a void names it: from whatever journal, sooner or later. Two kinds always hold: a
//!   void, since what it undid is logged again instead, and an order, whose job is closed instead.
//! - **Filings.** A job that was opened at the bench belongs to the order that the first filing that holds puts it
//!   under. Its facts, those that come later too, then stand as that job's own.
//! - **Order.** Within a journal its numbers; between journals the commits of the book. Records are handed over so.
//! - **Lenses.** An eye goes on with a new lens when a record that holds says so. What is said of a lens that was not
//!   begun then tells nothing; what comes late of an earlier one tells of that one.
//! - **The station.** The newest statement that holds, wherever it was made.
//!
//! Nothing is folded before all voids and filings are known, so the records are gone through twice and no more often.
//! What is kept in mind in between is its owner's ([`Notes`]): a bit for each page on a keypad, sets on a host.

use super::{Bench, JobId, JobState, LensId, LensState, NewLens, PairId, RecordId, StationEvent};
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
    /// What it tells.
    pub tells: Tells,
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
    /// Anything else.
    Other,
}

impl From<Logged> for Told {
    fn from(Logged { id, fact }: Logged) -> Self {
        Self { id, tells: Tells::Bench(fact) }
    }
}

/// What a ledger keeps in mind. A keypad's is bounded by its pages and knows no filings.
pub trait Notes {
    /// A void names this record.
    fn note_void(&mut self, target: RecordId);

    /// Whether a void was noted that names it.
    fn is_void(&self, id: RecordId) -> bool;

    /// A job opened at the bench belongs to another one, unless it belongs to one already.
    fn note_filing(&mut self, from: JobId, under: JobId);

    /// The job that this one belongs to.
    fn filed_under(&self, job: JobId) -> Option<JobId>;
}

/// Which records hold, and as whose.
#[derive(Clone, Debug, Default)]
pub struct Ledger<N> {
    notes: N,
}

/// A ledger may borrow what it keeps in mind.
impl<N: Notes> Notes for &mut N {
    fn note_void(&mut self, target: RecordId) {
        N::note_void(self, target);
    }

    fn is_void(&self, id: RecordId) -> bool {
        N::is_void(self, id)
    }

    fn note_filing(&mut self, from: JobId, under: JobId) {
        N::note_filing(self, from, under);
    }

    fn filed_under(&self, job: JobId) -> Option<JobId> {
        N::filed_under(self, job)
    }
}

impl<N: Notes> Ledger<N> {
    /// With what is in mind already.
    pub const fn new(notes: N) -> Self {
        Self { notes }
    }

    /// Over `records`, in their order, with nothing in mind yet.
    pub fn over(records: impl Iterator<Item = Told> + Clone, notes: N) -> Self {
        let mut ledger = Self { notes };
        for told in records.clone() {
            if let Tells::Bench(fact) = told.tells {
                ledger.note(&fact);
            }
        }
        for told in records.filter(|told| matches!(told.tells, Tells::Filing { .. })) {
            if let (true, Tells::Filing { from, under }) = (ledger.holds(&told), told.tells) {
                ledger.notes.note_filing(from, under);
            }
        }
        ledger
    }

    /// One more record of the bench, where they are noted one by one.
    pub fn note(&mut self, fact: &Bench) {
        if let Bench::Void(void) = fact {
            self.notes.note_void(void.target);
        }
    }

    /// Whether a record holds.
    pub fn holds(&self, told: &Told) -> bool {
        match told.tells {
            Tells::Order | Tells::Bench(Bench::Void(_)) => true,
            _ => !self.notes.is_void(told.id),
        }
    }

    /// The job as whose own the facts of `job` stand: itself, unless it is filed.
    pub fn owner(&self, job: JobId) -> JobId {
        self.notes.filed_under(job).unwrap_or(job)
    }

    /// The facts that hold of a job and of those filed under it, as its own.
    pub fn facts(&self, job: JobId, records: impl Iterator<Item = Told>) -> impl Iterator<Item = Logged> {
        records.filter_map(move |told| {
            let Tells::Bench(fact) = told.tells else { return None };
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

    /// The dial that the station last stated, and the record that did.
    pub fn dial(&self, records: impl Iterator<Item = Told>) -> Option<(RecordId, Dial)> {
        let stated = records.filter(|told| self.holds(told)).filter_map(|told| match told.tells {
            Tells::Bench(Bench::Station(StationEvent::Dial(dial))) => Some((told.id, dial)),
            _ => None,
        });
        stated.last()
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::{self, JOB, every_kind, logged, pass_at, reading};
    use super::super::{Check, CheckItem, JournalId, Mark, Opened, Reading, Stage, Subject, Void};
    use super::*;
    use crate::prescription::Eye;
    use crate::sizing::{Outcome, Rim, Size};
    use crate::units::{Axis, Length, PrismPair};
    use std::collections::{HashMap, HashSet};
    use std::vec::Vec;

    #[derive(Default)]
    struct Sets(HashSet<RecordId>, HashMap<JobId, JobId>);

    impl Notes for Sets {
        fn note_void(&mut self, target: RecordId) {
            self.0.insert(target);
        }

        fn is_void(&self, id: RecordId) -> bool {
            self.0.contains(&id)
        }

        fn note_filing(&mut self, from: JobId, under: JobId) {
            self.1.entry(from).or_insert(under);
        }

        fn filed_under(&self, job: JobId) -> Option<JobId> {
            self.1.get(&job).copied()
        }
    }

    const OWN: JobId = JobId(77);

    fn state(job: JobId, records: &[Told]) -> JobState {
        Ledger::over(records.iter().copied(), Sets::default()).job(job, records.iter().copied())
    }

    fn told(seq: u32, fact: Bench) -> Told {
        logged(seq, fact).into()
    }

    fn void(seq: u32, target: u32) -> Told {
        let target = RecordId { journal: JournalId(5), seq: target };
        told(seq, Bench::Void(Void { job: Some(JOB), target }))
    }

    fn filing(seq: u32) -> Told {
        Told { id: logged(seq, every_kind()[0]).id, tells: Tells::Filing { from: OWN, under: JOB } }
    }

    #[test]
    fn a_voided_pass_never_happened_whenever_the_void_comes() {
        let passes = [
            told(1, pass_at(Eye::Right, 1, 400, Outcome::FarTooBig)),
            told(2, pass_at(Eye::Right, 1, 200, Outcome::Fits)),
        ];
        assert!(state(JOB, &passes).lens(Eye::Right).sizing.is_done());
        let after = state(JOB, &[passes[0], passes[1], void(3, 2)]);
        assert_eq!(after, state(JOB, &passes[..1]));
        assert_eq!(after.lens(Eye::Right).sizing.passes, 1);
        // A void of another journal may be committed first.
        assert_eq!(after, state(JOB, &[void(3, 2), passes[0], passes[1]]));
    }

    #[test]
    fn a_void_names_its_journal_and_cannot_be_voided() {
        let pass = told(1, pass_at(Eye::Left, 1, 200, Outcome::Fits));
        let elsewhere = RecordId { journal: JournalId(99), seq: 1 };
        let other = told(2, Bench::Void(Void { job: Some(JOB), target: elsewhere }));
        assert!(state(JOB, &[pass, other]).lens(Eye::Left).sizing.is_done());
        assert_eq!(state(JOB, &[pass, void(2, 1), void(3, 2)]).lens(Eye::Left).sizing.passes, 0);
    }

    #[test]
    fn a_filing_that_holds_moves_the_facts_and_its_void_moves_them_back() {
        let own = |seq, fact: Bench| told(seq, fact.filed_under(OWN));
        let records = [
            own(1, Bench::Opened(Opened { job: OWN, rim: Rim::Metal })),
            own(2, pass_at(Eye::Right, 1, 200, Outcome::Fits)),
            filing(3),
            own(4, reading(Eye::Right, Stage::Mounted, -1000)),
        ];
        let filed = state(JOB, &records);
        assert_eq!((filed.lens(Eye::Right).sizing.passes, filed.job()), (1, JOB));
        assert!(filed.lens(Eye::Right).mounted.is_some(), "what comes later belongs there too");
        assert_eq!(state(OWN, &records), JobState::new(PairId::first(OWN)));
        let back: Vec<Told> = records.into_iter().chain([void(5, 3)]).collect();
        assert_eq!(state(JOB, &back), JobState::new(PairId::first(JOB)));
        assert!(state(OWN, &back).lens(Eye::Right).sizing.is_done());
    }

    #[test]
    fn an_order_always_holds() {
        let order = Told { id: logged(1, every_kind()[0]).id, tells: Tells::Order };
        let ledger = Ledger::over([order, void(2, 1)].into_iter(), Sets::default());
        assert!(ledger.holds(&order));
    }

    #[test]
    fn a_new_lens_starts_anew_and_may_itself_be_voided() {
        let lens = LensId { job: JOB, eye: Eye::Left, number: 2 };
        let records = [
            told(1, pass_at(Eye::Left, 1, 100, Outcome::Loose)),
            told(2, Bench::NewLens(NewLens { lens })),
            told(3, pass_at(Eye::Left, 2, 300, Outcome::Fits)),
            // The keypad had not heard of the new lens yet.
            told(4, reading(Eye::Left, Stage::Uncut, -1000)),
        ];
        let present = state(JOB, &records);
        assert_eq!(present.pair.numbers, [1, 2]);
        assert!(present.lens(Eye::Left).sizing.is_done() && present.lens(Eye::Left).uncut.is_none());
        let ledger = Ledger::over(records.iter().copied(), Sets::default());
        let of = |number| ledger.lens(LensId { number, ..lens }, records.iter().copied());
        assert!(of(1).sizing.is_scrap() && of(1).uncut.is_some());
        assert_eq!(&of(2), present.lens(Eye::Left));
        let before: Vec<Told> = records.into_iter().chain([void(5, 2)]).collect();
        let before = state(JOB, &before);
        assert_eq!(before.pair.numbers, [1, 1]);
        assert!(before.lens(Eye::Left).sizing.is_scrap());
    }

    #[test]
    fn what_was_logged_of_a_lens_that_was_not_begun_tells_nothing() {
        let lens = LensId { job: JOB, eye: Eye::Right, number: 2 };
        let new = |seq| told(seq, Bench::NewLens(NewLens { lens }));
        let mark = Mark { lens, axis: Axis::VERTICAL, prism: PrismPair::NONE };
        let records = [new(1), told(2, Bench::Mark(mark)), void(3, 1), new(4)];
        assert!(state(JOB, &records).lens(Eye::Right).mark.is_none());
        let ledger = Ledger::over(records.iter().copied(), Sets::default());
        assert!(ledger.lens(lens, records.iter().copied()).mark.is_none());
    }

    #[test]
    fn a_strained_lens_reopens_its_sizing() {
        let lens = PairId::first(JOB).lens(Eye::Right);
        let strain = Bench::Check(Check { of: Subject::Lens(lens), item: CheckItem::Strain, good: false });
        let records = [told(1, pass_at(Eye::Right, 1, 200, Outcome::Fits)), told(2, strain)];
        let sizing = state(JOB, &records).lens(Eye::Right).sizing;
        assert!(!sizing.is_done() && sizing.fits.is_none());
        let at = Size { basis: crate::sizing::Basis::Diameter, offset: Length::from_milli(200) };
        assert_eq!(sizing.too_big, Some(at));
    }

    #[test]
    fn the_latest_reading_of_each_stage_counts() {
        let records = [
            told(1, reading(Eye::Left, Stage::Uncut, -1000)),
            told(2, reading(Eye::Left, Stage::Mounted, -1250)),
            told(3, reading(Eye::Left, Stage::Uncut, -1125)),
        ];
        let lens = *state(JOB, &records).lens(Eye::Left);
        let sphere = |reading: Option<Reading>| reading.unwrap().read.power().sphere.milli();
        assert_eq!((sphere(lens.uncut), sphere(lens.mounted)), (-1125, -1250));
    }

    #[test]
    fn the_station_counts_as_it_last_said_and_as_that_holds() {
        let stated = |seq, step| told(seq, Bench::Station(StationEvent::Dial(test_facts::dial(step))));
        let dial = |records: &[Told]| {
            Ledger::over(records.iter().copied(), Sets::default()).dial(records.iter().copied())
        };
        let records = [stated(1, 50), stated(2, 25)];
        assert_eq!(dial(&records), Some((records[1].id, test_facts::dial(25))));
        assert_eq!(dial(&[records[0], records[1], void(3, 2)]), Some((records[0].id, test_facts::dial(50))));
    }
}
