//! What holds, whatever was undone or filed.

use super::*;
use crate::frame::PupillaryDistance;
use crate::prescription::Eye;
use crate::record::test_facts::{self, JOB, every_kind, logged, pass_at, reading};
use crate::record::{
    CentreDistance, Check, CheckItem, Entered, JournalId, Mark, Opened, Reading, Stage, Subject, Void,
};
use crate::sizing::{Outcome, Rim, Size};
use crate::units::{Axis, Length, PrismPair};
use std::collections::{HashMap, HashSet};
use std::vec::Vec;

/// Voids, filings, voids written at a console, placings.
#[derive(Default)]
struct Sets(HashSet<RecordId>, HashMap<JobId, JobId>, HashSet<RecordId>, Vec<Placed>);

impl Notes for Sets {
    fn note_void(&mut self, target: RecordId) {
        self.0.insert(target);
    }

    fn is_void(&self, id: RecordId) -> bool {
        self.0.contains(&id)
    }

    fn note_void_at_console(&mut self, target: RecordId) {
        self.2.insert(target);
    }

    fn is_void_at_console(&self, id: RecordId) -> bool {
        self.2.contains(&id)
    }

    fn note_filing(&mut self, from: JobId, under: JobId) {
        self.1.entry(from).or_insert(under);
    }

    fn filed_under(&self, job: JobId) -> Option<JobId> {
        self.1.get(&job).copied()
    }

    fn note_placed(&mut self, placed: Placed) {
        self.3.push(placed);
    }

    fn placed(&self, id: RecordId) -> Option<StationId> {
        self.3.iter().rfind(|placed| placed.has(id)).map(|placed| placed.station)
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

fn at_console(seq: u32, tells: Tells) -> Told {
    Told { id: logged(seq, every_kind()[0]).id, at_console: true, tells }
}

fn filing(seq: u32) -> Told {
    at_console(seq, Tells::Filing { from: OWN, under: JOB })
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
    let voided = [pass, void(2, 1), void(3, 2)];
    assert_eq!(state(JOB, &voided).lens(Eye::Left).sizing.passes, 0);
    let ledger = Ledger::over(voided.into_iter(), Sets::default());
    assert_eq!(voided.map(|told| ledger.holds(&told)), [false, true, true]);
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
    let back: Vec<Told> = records.into_iter().chain([Told { at_console: true, ..void(5, 3) }]).collect();
    assert_eq!(state(JOB, &back), JobState::new(PairId::first(JOB)));
    assert!(state(OWN, &back).lens(Eye::Right).sizing.is_done());
}

#[test]
fn an_order_always_holds() {
    let order = at_console(1, Tells::Order);
    for at_console in [false, true] {
        let void = Told { at_console, ..void(2, 1) };
        let ledger = Ledger::over([order, void].into_iter(), Sets::default());
        assert!(ledger.holds(&order));
    }
}

#[test]
fn what_was_said_at_a_desk_is_undone_at_a_desk_alone() {
    let second = LensId { number: 2, ..PairId::first(JOB).lens(Eye::Left) };
    let pass = Told { at_console: true, ..told(4, pass_at(Eye::Right, 1, 200, Outcome::Fits)) };
    let records = [at_console(1, Tells::Other), filing(2), at_console(3, Tells::Remake(second)), pass];
    for (by_console, holding) in [(false, [true, true, true, false]), (true, [false; 4])] {
        let voids = (1..=4).map(|target| Told { at_console: by_console, ..void(4 + target, target) });
        // It may come before what it names.
        for records in
            [records.into_iter().chain(voids.clone()).collect::<Vec<_>>(), voids.chain(records).collect()]
        {
            let ledger = Ledger::over(records.iter().copied(), Sets::default());
            let held: Vec<bool> =
                records.iter().filter(|told| told.id.seq <= 4).map(|told| ledger.holds(told)).collect();
            assert_eq!(held, holding, "{by_console}");
            let state = ledger.job(JOB, records.iter().copied());
            assert_eq!(state.pair.numbers, [1, if by_console { 1 } else { 2 }]);
        }
    }
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
    let mark = Mark { entered: Entered::READ, lens, axis: Axis::VERTICAL, prism: PrismPair::NONE };
    let records = [new(1), told(2, Bench::Mark(mark)), void(3, 1), new(4)];
    assert!(state(JOB, &records).lens(Eye::Right).mark.is_none());
    let ledger = Ledger::over(records.iter().copied(), Sets::default());
    assert!(ledger.lens(lens, records.iter().copied()).mark.is_none());
}

#[test]
fn a_strained_lens_reopens_its_sizing() {
    let lens = PairId::first(JOB).lens(Eye::Right);
    let strain = Bench::Check(Check {
        entered: Entered::READ,
        of: Subject::Lens(lens),
        item: CheckItem::Strain,
        good: false,
    });
    let records = [told(1, pass_at(Eye::Right, 1, 200, Outcome::Fits)), told(2, strain)];
    let sizing = state(JOB, &records).lens(Eye::Right).sizing;
    assert!(!sizing.is_done() && sizing.fits.is_none());
    let at = Size { basis: crate::sizing::Basis::Diameter, offset: Length::from_milli(200) };
    assert_eq!(sizing.too_big, Some(at));
}

#[test]
fn a_pass_leaves_nothing_standing_of_what_was_said_of_the_seat() {
    let lens = PairId::first(JOB).lens(Eye::Right);
    let check = |seq, item, good| {
        told(seq, Bench::Check(Check { entered: Entered::READ, of: Subject::Lens(lens), item, good }))
    };
    let seated = [
        told(1, pass_at(Eye::Right, 1, 200, Outcome::Fits)),
        check(2, CheckItem::Firm, true),
        check(3, CheckItem::Strain, true),
        check(4, CheckItem::Surfaces, true),
    ];
    let seen = |records: &[Told]| {
        let checks = state(JOB, records).lens(Eye::Right).checks;
        [CheckItem::Firm, CheckItem::Strain, CheckItem::Surfaces].map(|item| checks.get(item))
    };
    assert_eq!(seen(&seated), [Some(true); 3]);
    // Ground again, it may be loose now; its surfaces are as they were, and so is the other lens.
    let ground = |eye| [&seated[..], &[told(5, pass_at(eye, 1, 150, Outcome::Fits))]].concat();
    assert_eq!(seen(&ground(Eye::Right)), [None, None, Some(true)]);
    assert_eq!(seen(&ground(Eye::Left)), [Some(true); 3]);
    assert_eq!(seen(&[&ground(Eye::Right)[..], &[void(6, 5)]].concat()), [Some(true); 3]);
}

#[test]
fn a_new_lens_leaves_nothing_standing_of_what_was_measured_on_the_pair() {
    let pair = PairId::first(JOB);
    let centres = PupillaryDistance::Binocular(Length::from_milli(61_000));
    let measured = CentreDistance { entered: Entered::READ, pair, centres, heights: None };
    let aligned =
        Check { entered: Entered::READ, of: Subject::Pair(pair), item: CheckItem::Alignment, good: true };
    let records = [told(1, Bench::CentreDistance(measured)), told(2, Bench::Check(aligned))];
    let seen = |records: &[Told]| {
        let state = state(JOB, records);
        (state.centres, state.checks.get(CheckItem::Alignment), state.measured().pd)
    };
    assert_eq!(seen(&records), (Some(measured), Some(true), Some(centres)));
    for eye in Eye::BOTH {
        let new = told(3, Bench::NewLens(NewLens { lens: LensId { number: 2, ..pair.lens(eye) } }));
        assert_eq!(seen(&[records[0], records[1], new]), (None, None, None), "{eye}");
        // Measured late, on the pair that is no more.
        assert_eq!(seen(&[new, records[0], records[1]]), (None, None, None), "{eye}");
        let back = [records[0], records[1], new, void(4, 3)];
        assert_eq!(seen(&back), (Some(measured), Some(true), Some(centres)), "{eye}");
    }
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
        Ledger::over(records.iter().copied(), Sets::default()).dial(StationId::FIRST, records.iter().copied())
    };
    let records = [stated(1, 50), stated(2, 25)];
    assert_eq!(dial(&records), Some((records[1].id, test_facts::dial(25))));
    assert_eq!(dial(&[records[0], records[1], void(3, 2)]), Some((records[0].id, test_facts::dial(50))));
}

#[test]
fn a_record_speaks_for_the_station_at_which_its_number_was_placed_last() {
    const EDGE: StationId = StationId(7);
    let stated = |seq, step| told(seq, Bench::Station(StationEvent::Dial(test_facts::dial(step))));
    let placed = |seq, from, upto, station| {
        at_console(seq, Tells::Placed(Placed { journal: JournalId(5), from, upto, station }))
    };
    // Number 3 was said at the other station; from 6 on all is.
    let records = [
        stated(1, 50),
        placed(2, 3, 3, EDGE),
        stated(3, 25),
        stated(4, 20),
        placed(5, 6, u32::MAX, EDGE),
        stated(6, 10),
        stated(7, 5),
    ];
    let of = |records: &[Told]| {
        let ledger = Ledger::over(records.iter().copied(), Sets::default());
        let step = |station| ledger.dial(station, records.iter().copied()).map(|(_, dial)| dial.step.milli());
        (
            [1, 3, 4, 9].map(|seq| ledger.station(told(seq, every_kind()[0]).id)),
            step(StationId::FIRST),
            step(EDGE),
        )
    };
    let first = StationId::FIRST;
    assert_eq!(of(&records), ([first, EDGE, first, EDGE], Some(20), Some(5)));
    // Whatever order they come in: the numbers say it.
    let mut late = records.to_vec();
    late.rotate_left(5);
    assert_eq!(of(&late).0, [first, EDGE, first, EDGE]);
    // A placing is undone at a desk alone, and what it took away is the first one's again.
    let undone = |at_console| [&records[..], &[Told { at_console, ..void(8, 5) }]].concat();
    assert_eq!(of(&undone(true)), ([first, EDGE, first, first], Some(5), Some(25)));
    assert_eq!(of(&undone(false)), of(&records));
    let other = RecordId { journal: JournalId(6), seq: 3 };
    assert_eq!(Ledger::over(records.iter().copied(), Sets::default()).station(other), first);
}
