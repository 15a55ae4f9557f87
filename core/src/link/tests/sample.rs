//! Invented cards, records and messages, and a seeded source of chance.

use crate::frame::PupillaryDistance;
use crate::link::payload::*;
use crate::link::{Card, CardParts, Message, Nak, Reason, RecordRun, Station};
use crate::prescription::{Eye, EyeOrder};
use crate::record::{
    Bench, Entered, Flow, JobId, JobState, JournalId, LensId, MAX_ENCODED, PairId, Pass, Progress, Read,
    Reading, Stage, Stored,
};
use crate::sizing::{Advice, Basis, Counting, Dial, Dialled, Habit, Ladder, Outcome, Rim, Rung};
use crate::tolerance::{Design, Limits, Standard, Thinning, ThinningKnown};
use crate::units::{Axis, Length, Power, Prism, PrismPair};
use heapless::Vec;
use std::vec;

/// Chance that is the same in every run (splitmix64).
#[derive(Clone, Debug)]
pub(in crate::link) struct Chance(pub(in crate::link) u64);

impl Chance {
    pub(in crate::link) fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (bits ^ (bits >> 31)) % limit
    }

    pub(in crate::link) fn one_in(&mut self, count: u64) -> bool {
        self.below(count) == 0
    }
}

fn mm(milli: i32) -> Length {
    Length::from_milli(milli)
}

pub(in crate::link) fn pass(job: JobId, eye: Eye, milli: i32, outcome: Outcome) -> Bench {
    let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount: mm(milli) };
    Bench::Pass(Pass {
        advised: Some(mm(400)),
        lens: LensId { job, eye, number: 1 },
        dialled,
        outcome,
        past: false,
    })
}

pub(in crate::link) fn reading(job: JobId, eye: Eye, stage: Stage) -> Bench {
    let read = Read::Lines {
        first: Power::from_milli(-1250),
        second: Power::from_milli(-2000),
        wheel: Axis::from_degrees(15),
    };
    let lens = LensId { job, eye, number: 1 };
    Bench::Reading(Reading {
        entered: Entered::READ,
        lens,
        stage,
        read,
        prism: Some(PrismPair::NONE),
        add: None,
    })
}

pub(in crate::link) fn recorded(seq: u32, fact: &Bench) -> Stored {
    let mut buffer = [0; MAX_ENCODED];
    let data = Vec::from_slice(fact.encode(&mut buffer).unwrap()).unwrap();
    Stored { seq, boot: 3, ticks: 70_000 + seq * 4000, kind: fact.kind(), data }
}

/// A record whose bytes follow from its number.
pub(in crate::link) fn wire_record(seq: u32) -> Stored {
    let mut chance = Chance(seq.into());
    let length = chance.below(24);
    let data = (0..length).map(|_| chance.below(256) as u8).collect();
    Stored { seq, boot: 3, ticks: seq.wrapping_mul(977), kind: chance.below(256) as u8, data }
}

/// What the book tells where nine lenses fitted.
fn advice() -> Advice {
    let rung = |at, far, just| Rung { at: mm(at), far: mm(far), just: mm(just) };
    Advice {
        basis: Basis::Diameter,
        first: Ladder::new([rung(250, 50, 150), rung(150, 0, 50), rung(50, -50, 0), rung(0, -100, -50)]),
        second: Ladder::new([rung(100, -50, 50), rung(50, -100, 0)]),
        second_from_fit: true,
        lenses: 9,
        fitted: Some([mm(50), mm(150)]),
        tenths: [17, 14],
    }
}

/// A card of a job nearly done.
pub(in crate::link) fn card(job: u64, revision: u32) -> Card {
    let job = JobId(job);
    let eyes = ["-1.25 -0.75 x 15 add 2.00", "-1.00 -0.50 x 170 prism 1.5 up add 2.00"];
    let mut state = JobState::new(PairId::first(job));
    for eye in Eye::BOTH {
        state.apply(&reading(job, eye, Stage::Uncut));
        state.apply(&pass(job, eye, 400, Outcome::JustTooBig));
        state.apply(&pass(job, eye, 200, Outcome::Fits));
        state.apply(&reading(job, eye, Stage::Mounted));
    }
    let mut card = Card {
        job,
        number: 118,
        revision,
        label: "Invented 210 52/18".try_into().unwrap(),
        tray: "T 14".try_into().unwrap(),
        gone: false,
        due: Some(9_829),
        progress: Progress::InWork,
        eyes: eyes.map(|text| EyeOrder::parse(text).unwrap()),
        prescribed: [Some(EyeOrder::parse("-1.50 -0.75 x 15").unwrap().power), None],
        thinning: Thinning { prism: Prism::from_milli(1200), known: ThinningKnown::Assumed },
        pd: PupillaryDistance::Monocular { right: mm(31_500), left: mm(30_000) },
        heights: Some([mm(18_000); 2]),
        rim: Rim::Metal,
        design: Design::Progressive,
        filed: Vec::from_slice(&[JobId(0x9e37_79b9_7f4a_7c15)]).unwrap(),
        limits: None,
        advice: Some(advice()),
        includes_upto: 41,
        state,
    };
    card.limits = Some(Limits::of(Standard::AnsiZ801_2015, card.design, &card.order()));
    card
}

/// A station that counts on diameter.
pub(in crate::link) const STATION: Station = Station {
    revision: 6,
    includes_upto: 41,
    dial: Some(Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) }),
    habit: Habit::COMMON,
    flow: Flow { left_first: true, ..Flow::COMMON },
};

/// One of each message, in the order of their codes.
pub(in crate::link) fn every_message() -> vec::Vec<Message> {
    let job = JobId(0x0123_4567_89ab_cdef);
    let journal = JournalId(0xfeed_beef_0000_0001);
    let mut records = RecordRun::new();
    assert!(records.push(&recorded(41, &pass(job, Eye::Right, 350, Outcome::JustTooBig))));
    assert!(records.push(&recorded(43, &reading(job, Eye::Left, Stage::Uncut))));
    let held = Vec::from_slice(&[HeldCard { job, revision: 7 }]).unwrap();
    let nak = Nak { of: 0x0e, reason: Reason::UnknownMessage, lowest: 1, highest: 1 };
    vec![
        Message::Hello(Hello { lowest: 1, highest: 1, journal: JournalId(5), utc_ms: 1_790_000_000_000 }),
        Message::Pull(Pull { from: 41 }),
        Message::Ack(Ack { journal, upto: 43 }),
        Message::Time(Time { utc_ms: 1_790_000_000_000 }),
        Message::CardPart(CardParts::new(&card(1, 7)).part(1).unwrap()),
        Message::CardDrop(CardDrop { job }),
        Message::CardList(CardList { from: 14 }),
        Message::Station(STATION),
        Message::HostNak(HostNak(nak)),
        Message::HelloAck(HelloAck {
            protocol: 1,
            journal,
            boot: 3,
            ticks: 70_000,
            oldest: 1,
            next: 44,
            acknowledged: 40,
            name: "bench 1".try_into().unwrap(),
            card_slots: 16,
            firmware: "0.1.0".try_into().unwrap(),
            station: 6,
        }),
        Message::Batch(Batch { journal, from: 41, through: 44, next: 44, records }),
        Message::Acked(Acked { acknowledged: 43 }),
        Message::TimeAck(TimeAck { boot: 3, ticks: 71_000 }),
        Message::CardStored(CardStored { job, revision: 7, part: 1 }),
        Message::CardDropped(CardDropped { job }),
        Message::CardsHeld(CardsHeld { from: 14, through: 16, held }),
        Message::StationStored(StationStored { revision: 6 }),
        Message::Nak(nak),
        Message::Status(Status { unsynced: 3, next: 44, boot: 3, ticks: 72_000 }),
    ]
}
