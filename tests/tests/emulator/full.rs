//! A memory with everything in it: twelve cards as long as they get, and a journal with no room left.

use bevelbook::keypad::{FilePages, LAYOUT};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::{Card, Station};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{
    Bench, CentreDistance, Entered, Flow, JobId, JobState, JournalId, Mark, PairId, Pass, Read, Reading,
    Stage,
};
use bevelbook_core::sizing::{
    Advice, Basis, Counting, Dial, Dialled, Habit, Ladder, Outcome, RUNGS, Rim, Rung,
};
use bevelbook_core::tolerance::{Design, Limits, Standard};
use bevelbook_core::units::{Axis, Length, Power, Prism, PrismPair};
use bevelbook_keypad::memory::{AppendError, Consent, Memory, Urgency};
use std::path::Path;

const JOBS: u64 = 12;

/// The id of job `n`, from 0.
pub(crate) fn job(n: u64) -> JobId {
    JobId((n + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15))
}

pub(crate) const fn dial() -> Dial {
    Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) }
}

const fn prism() -> PrismPair {
    PrismPair { base_in: Prism::from_milli(-1250), base_up: Prism::from_milli(2500) }
}

/// An order for single vision, in 1/1000 D and whole degrees.
pub(crate) fn order(sphere: i32, cylinder: i32, axis: i32) -> EyeOrder {
    let [sphere, cylinder] = [sphere, cylinder].map(Power::from_milli);
    EyeOrder::single_vision(SphereCylinder::new(sphere, cylinder, Axis::from_milli(axis * 1000)))
}

/// An order with everything in it.
fn whole_order(sphere: i32, cylinder: i32, axis: i32) -> EyeOrder {
    EyeOrder { prism: prism(), add: Some(Power::from_milli(2250)), ..order(sphere, cylinder, axis) }
}

/// A station that counts `dial`, if it was stated.
pub(crate) fn station(dial: Option<Dial>) -> Station {
    Station { revision: 3, includes_upto: 0, dial, habit: Habit::COMMON, flow: Flow::COMMON }
}

fn reading(pair: PairId, eye: Eye, stage: Stage) -> Bench {
    let (first, second) = (Power::from_milli(-10_125), Power::from_milli(-12_625));
    let read = Read::Lines { first, second, wheel: Axis::from_milli(167_000) };
    let add = Some(Power::from_milli(2250));
    Bench::Reading(Reading {
        entered: Entered::READ,
        lens: pair.lens(eye),
        stage,
        read,
        prism: Some(prism()),
        add,
    })
}

fn pass(pair: PairId, eye: Eye, um: i32, outcome: Outcome) -> Bench {
    let dialled =
        Dialled { amount: Length::from_milli(um), basis: Basis::Diameter, counting: Counting::Absolute };
    Bench::Pass(Pass { advised: None, lens: pair.lens(eye), dialled, outcome, past: false })
}

/// The state of a pair with nearly everything said of it; its right lens is being sized.
fn state(pair: PairId) -> JobState {
    let mut state = JobState::new(pair);
    for eye in Eye::BOTH {
        state.apply(&reading(pair, eye, Stage::Uncut));
        state.apply(&Bench::Mark(Mark {
            entered: Entered::READ,
            lens: pair.lens(eye),
            axis: Axis::from_milli(167_000),
            prism: prism(),
        }));
    }
    let centres = PupillaryDistance::Binocular(Length::from_milli(62_000));
    state.apply(&Bench::CentreDistance(CentreDistance {
        entered: Entered::READ,
        pair,
        centres,
        heights: None,
    }));
    state
}

/// What the book tells of a frame, with ladders as long as they get.
pub(crate) fn advice() -> Advice {
    let length = Length::from_milli;
    let ladder = |first| {
        let sizes = (0..RUNGS as i32).map(|n| first - 50 * n);
        Ladder::new(sizes.map(|at| Rung { at: length(at), far: length(at - 200), just: length(at - 100) }))
    };
    Advice {
        basis: Basis::Diameter,
        first: ladder(200),
        second: ladder(50),
        second_from_fit: true,
        lenses: 9,
        fitted: Some([length(50), length(150)]),
        tenths: [17, 14],
    }
}

/// The card of job `n`.
fn card(n: u64) -> Card {
    let pair = PairId::first(job(n));
    let mut card = Card {
        number: 4100 + n as u32,
        revision: 7,
        label: "Lindgren 7 Halvorsen 54x".try_into().unwrap(),
        tray: "tray 112".try_into().unwrap(),
        eyes: [whole_order(-10_250, -2500, 167), whole_order(-9750, -3250, 12)],
        pd: PupillaryDistance::Monocular {
            right: Length::from_milli(31_500),
            left: Length::from_milli(30_500),
        },
        heights: Some([Length::from_milli(21_500), Length::from_milli(22_000)]),
        rim: Rim::Metal,
        design: Design::Progressive,
        limits: None,
        advice: Some(advice()),
        filed: heapless::Vec::from_slice(&[job(100 + n), job(200 + n)]).unwrap(),
        state: state(pair),
        ..Card::blank(job(n))
    };
    card.limits = Some(Limits::of(Standard::Iso21987_2017, card.design, &card.order()));
    card
}

/// Fills a blank memory file; how many records it took.
pub(crate) fn fill(path: &Path) -> u32 {
    let pages = FilePages::open(path, None).unwrap();
    let begun = Memory::begin(pages, LAYOUT, JournalId(0xf011), Consent::KeepRecords);
    let (mut memory, _) = begun.map_err(|error| error.to_string()).unwrap();
    assert!(memory.store_station(station(Some(dial()))).unwrap());
    for n in 0..JOBS {
        let card = card(n);
        memory.store_card(card.job, card.revision, card.includes_upto, &card.encode()).map(drop).unwrap();
    }
    let mut records = 0;
    loop {
        // A pair's records one behind the other, job after job.
        let pair = PairId::first(job(u64::from(records) / 24 % JOBS));
        let fact = match records % 3 {
            0 => reading(pair, Eye::Left, Stage::Uncut),
            _ => pass(pair, Eye::Right, 2000 - records as i32, Outcome::FarTooBig),
        };
        match memory.append_fact(&fact, records, Urgency::Ordinary) {
            Ok(_) => records += 1,
            Err(AppendError::Full { .. }) => return records,
            Err(error) => panic!("{error:?}"),
        }
    }
}
