//! From records to the state of a job.

use super::{Bench, CentreDistance, Check, CheckItem, Checks, GirthOf, JobId, LensId, Mark, NewLens, PairId};
use super::{Reading, RecordId, Stage, StationEvent, Subject, Void};
use crate::prescription::Eye;
use crate::sizing::{Dial, Sizing};
use crate::units::Length;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// A bench record with its identity, in the order in which it was committed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Logged {
    /// Its identity.
    pub id: RecordId,
    /// What it says.
    pub fact: Bench,
}

/// What is known of one lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct LensState {
    /// Its number for its eye.
    pub number: u8,
    /// How it was last marked.
    pub mark: Option<Mark>,
    /// The account of its size.
    pub sizing: Sizing,
    /// Its latest reading before blocking.
    pub uncut: Option<Reading>,
    /// Its latest reading in the frame.
    pub mounted: Option<Reading>,
    /// Its girth, as last measured.
    pub girth: Option<Length>,
    /// The girth of its rim, as last measured.
    pub rim_girth: Option<Length>,
    /// What was looked at.
    pub checks: Checks,
}

/// What is known of a job's work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct JobState {
    /// The lenses that the job is at.
    pub pair: PairId,
    /// Right and left.
    pub lenses: [LensState; 2],
    /// The centres of this pair, as last measured.
    pub centres: Option<CentreDistance>,
    /// What was looked at on this pair.
    pub checks: Checks,
}

impl JobState {
    /// A job with nothing done yet.
    #[must_use]
    pub const fn new(pair: PairId) -> Self {
        let [right, left] = pair.numbers;
        let lenses = [LensState::new(right), LensState::new(left)];
        Self { pair, lenses, centres: None, checks: Checks::new() }
    }

    /// The lens of one eye.
    #[must_use]
    pub const fn lens(&self, eye: Eye) -> &LensState {
        &self.lenses[eye.index()]
    }

    /// Takes one fact into account. Facts of other jobs, of earlier lenses and of earlier pairs change nothing.
    pub fn apply(&mut self, fact: &Bench) {
        if let Bench::NewLens(NewLens { lens }) = fact {
            self.go_on_with(*lens);
        } else if let Some(lens) = fact.lens() {
            if lens == self.pair.lens(lens.eye) {
                self.lenses[lens.eye.index()].apply(fact);
            }
        } else if fact.pair() == Some(self.pair) {
            match fact {
                Bench::CentreDistance(distance) => self.centres = Some(*distance),
                Bench::Check(Check { item, good, .. }) => self.checks.set(*item, *good),
                _ => {}
            }
        }
    }
}

impl JobState {
    /// Goes on with a new lens: it starts anew, and so does what was measured on the pair. An earlier lens, or one
    /// of another job, changes nothing.
    pub fn go_on_with(&mut self, lens: LensId) {
        let at = lens.eye.index();
        if lens.job == self.pair.job && lens.number > self.pair.numbers[at] {
            self.pair.numbers[at] = lens.number;
            self.lenses[at] = LensState::new(lens.number);
            self.centres = None;
            self.checks = Checks::default();
        }
    }
}

impl LensState {
    /// A lens with nothing done yet.
    const fn new(number: u8) -> Self {
        Self {
            number,
            mark: None,
            sizing: Sizing::new(),
            uncut: None,
            mounted: None,
            girth: None,
            rim_girth: None,
            checks: Checks::new(),
        }
    }

    fn apply(&mut self, fact: &Bench) {
        match fact {
            Bench::Mark(mark) => self.mark = Some(*mark),
            Bench::Pass(pass) => {
                self.sizing.apply(pass);
                // What was said of its seat held for the size before.
                self.checks.reset(CheckItem::Firm);
                self.checks.reset(CheckItem::Strain);
            }
            Bench::Reading(reading) => match reading.stage {
                Stage::Uncut => self.uncut = Some(*reading),
                Stage::Mounted => self.mounted = Some(*reading),
            },
            Bench::Girth(girth) => match girth.of {
                GirthOf::Lens => self.girth = Some(girth.girth),
                GirthOf::Rim => self.rim_girth = Some(girth.girth),
            },
            Bench::Check(Check { of: Subject::Lens(_), item, good }) => {
                self.checks.set(*item, *good);
                if *item == CheckItem::Strain && !good {
                    self.sizing.reopen();
                }
            }
            _ => {}
        }
    }
}

/// Whether any of `records` voids the record `id`. A void itself cannot be voided: what it undid is logged again.
pub fn is_voided(id: RecordId, mut records: impl Iterator<Item = Logged>) -> bool {
    records.any(|record| matches!(record.fact, Bench::Void(Void { target, .. }) if target == id))
}

/// The state of a job after `records`, beginning with the pair of lenses `pair`; a record of a new lens moves on from it.
/// The records come in commit order and may hold other jobs.
///
/// Looks through the records once for each record that could be voided: quadratic, without memory.
#[must_use]
pub fn fold<I>(pair: PairId, records: &I) -> JobState
where
    I: Iterator<Item = Logged> + Clone,
{
    let mut state = JobState::new(pair);
    for record in records.clone() {
        if record.fact.job() == Some(pair.job) && !is_voided(record.id, records.clone()) {
            state.apply(&record.fact);
        }
    }
    state
}

/// The dial that the station last stated, if it was stated and not voided.
#[must_use]
pub fn station_dial<I>(records: &I) -> Option<Dial>
where
    I: Iterator<Item = Logged> + Clone,
{
    let mut dial = None;
    for record in records.clone() {
        if let Bench::Station(StationEvent::Dial(stated)) = record.fact
            && !is_voided(record.id, records.clone())
        {
            dial = Some(stated);
        }
    }
    dial
}

impl JobState {
    /// The job it is about.
    #[must_use]
    pub const fn job(&self) -> JobId {
        self.pair.job
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::{self, JOB, every_kind, logged, pass_at, reading};
    use super::super::{JournalId, Void};
    use super::*;
    use crate::sizing::{Basis, Outcome, Size, Span};

    const PAIR: PairId = PairId { job: JOB, numbers: [1, 1] };

    #[test]
    fn a_voided_pass_never_happened() {
        let mut records = std::vec![
            logged(1, pass_at(Eye::Right, 1, 400, Outcome::FarTooBig)),
            logged(2, pass_at(Eye::Right, 1, 200, Outcome::Fits)),
        ];
        let before = fold(PAIR, &records.iter().copied());
        assert!(before.lens(Eye::Right).sizing.is_done());
        let target = records[1].id;
        records.push(logged(3, Bench::Void(Void { job: Some(JOB), target })));
        let after = fold(PAIR, &records.iter().copied());
        assert_eq!(after, fold(PAIR, &records[..1].iter().copied()));
        assert_eq!(after.lens(Eye::Right).sizing.passes, 1);
    }

    #[test]
    fn a_void_names_its_journal_too() {
        let records = std::vec![
            logged(1, pass_at(Eye::Left, 1, 200, Outcome::Fits)),
            logged(
                2,
                Bench::Void(Void { job: Some(JOB), target: RecordId { journal: JournalId(99), seq: 1 } })
            ),
        ];
        assert!(fold(PAIR, &records.iter().copied()).lens(Eye::Left).sizing.is_done());
    }

    #[test]
    fn a_remade_lens_starts_anew_and_its_pair_is_measured_again() {
        let mut records: std::vec::Vec<Logged> =
            (1..).zip(every_kind()).map(|(seq, fact)| logged(seq, fact)).collect();
        let first = fold(PAIR, &records.iter().copied());
        assert!(first.centres.is_some() && first.lens(Eye::Right).sizing.passes > 0);
        let remade = PairId { job: JOB, numbers: [2, 1] };
        let second = fold(remade, &records.iter().copied());
        assert_eq!(second.lens(Eye::Right), &JobState::new(remade).lenses[0]);
        assert_eq!(second.lens(Eye::Left), first.lens(Eye::Left));
        assert_eq!((second.centres, second.checks), (None, Checks::default()));
        records.push(logged(50, pass_at(Eye::Right, 2, 300, Outcome::JustTooBig)));
        let third = fold(remade, &records.iter().copied());
        assert_eq!(
            third.lens(Eye::Right).sizing.size,
            Some((Basis::Diameter, Span::exactly(Length::from_milli(300))))
        );
    }

    #[test]
    fn a_new_lens_moves_the_state_on_and_may_itself_be_voided() {
        let lens = LensId { number: 2, ..PAIR.lens(Eye::Left) };
        let mut records = std::vec![
            logged(1, pass_at(Eye::Left, 1, 100, Outcome::Loose)),
            logged(2, Bench::NewLens(NewLens { lens })),
            logged(3, pass_at(Eye::Left, 2, 300, Outcome::Fits)),
        ];
        let state = fold(PAIR, &records.iter().copied());
        assert_eq!(state.pair.numbers, [1, 2]);
        assert!(state.lens(Eye::Left).sizing.is_done());
        let target = records[1].id;
        records.push(logged(4, Bench::Void(Void { job: Some(JOB), target })));
        let state = fold(PAIR, &records.iter().copied());
        assert_eq!(state.pair.numbers, [1, 1]);
        assert!(state.lens(Eye::Left).sizing.is_scrap());
    }

    #[test]
    fn a_strained_lens_reopens_its_sizing() {
        let lens = PAIR.lens(Eye::Right);
        let check = |item, good| Bench::Check(Check { of: Subject::Lens(lens), item, good });
        let records = std::vec![
            logged(1, pass_at(Eye::Right, 1, 200, Outcome::Fits)),
            logged(2, check(CheckItem::Strain, false)),
        ];
        let sizing = fold(PAIR, &records.iter().copied()).lens(Eye::Right).sizing;
        assert!(!sizing.is_done());
        assert_eq!(sizing.too_big, Some(Size { basis: Basis::Diameter, offset: Length::from_milli(200) }));
    }

    #[test]
    fn the_latest_reading_of_each_stage_counts() {
        let records = std::vec![
            logged(1, reading(Eye::Left, Stage::Uncut, -1000)),
            logged(2, reading(Eye::Left, Stage::Mounted, -1250)),
            logged(3, reading(Eye::Left, Stage::Uncut, -1125)),
        ];
        let state = fold(PAIR, &records.iter().copied());
        let sphere = |reading: Option<Reading>| reading.unwrap().read.power().sphere.milli();
        assert_eq!(sphere(state.lens(Eye::Left).uncut), -1125);
        assert_eq!(sphere(state.lens(Eye::Left).mounted), -1250);
    }

    #[test]
    fn the_station_states_its_dial_until_it_states_another() {
        let dial = test_facts::dial(50);
        let other = test_facts::dial(25);
        let state = |dial| Bench::Station(StationEvent::Dial(dial));
        let mut records = std::vec![logged(1, state(dial)), logged(2, state(other))];
        assert_eq!(station_dial(&records.iter().copied()), Some(other));
        records.push(logged(3, Bench::Void(Void { job: None, target: records[1].id })));
        assert_eq!(station_dial(&records.iter().copied()), Some(dial));
    }
}
