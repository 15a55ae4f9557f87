//! The shop of every run: its journals, two jobs that are sized next, and the keypad's memory in the morning.

use crate::chip::{LAYOUT, Memory as Chip, RING};
use crate::script::Start;
use bevelbook::keypad::Showing;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::Card;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{
    Bench, JobId, JobState, JournalId, LensId, MAX_ENCODED, Pass, StationEvent, Stored,
};
use bevelbook_core::sizing::{Advice, Basis, Counting, Dial, Ladder, Outcome, Rim, Rung};
use bevelbook_core::units::{Length, Power};
use bevelbook_keypad::memory::{Consent, Memory, Urgency};
use std::sync::OnceLock;

/// The console's journal.
pub(crate) const OWN: JournalId = JournalId(0x5e4f_0001);
/// The journals of the two keypads; what is begun on them later counts up from there.
pub(crate) const KEYPADS: [JournalId; 2] = [JournalId(0xb_0a4d_0001), JournalId(0xc_1b5e_0001)];
/// Of a keypad that answers anything.
pub(crate) const STRANGER: JournalId = JournalId(0x0bad);

/// Both jobs.
pub(crate) const JOBS: [JobId; 2] = [JobId(0x4a0b_0000_0000_0001), JobId(0x4a0b_0000_0000_0002)];

pub(crate) const DIAL: Dial =
    Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };

/// What was typed at the console before the day begins: the dial, and a first pass of each lens.
pub(crate) fn typed_before() -> Vec<Bench> {
    let passes =
        JOBS.into_iter().flat_map(|job| Eye::BOTH.map(|eye| pass(job, eye, 600, Outcome::FarTooBig)));
    [Bench::Station(StationEvent::Dial(DIAL))].into_iter().chain(passes).collect()
}

/// A pass of a first lens.
pub(crate) fn pass(job: JobId, eye: Eye, milli: i32, outcome: Outcome) -> Bench {
    let dialled = DIAL.leaving(Length::from_milli(milli), None);
    Bench::Pass(Pass { advised: None, lens: LensId { job, eye, number: 1 }, dialled, outcome, past: false })
}

/// A fact as a record.
pub(crate) fn stored(fact: &Bench, seq: u32) -> Stored {
    let data = fact.encode(&mut [0; MAX_ENCODED]).ok().and_then(|data| heapless::Vec::from_slice(data).ok());
    Stored { seq, boot: 0, ticks: 0, kind: fact.kind(), data: data.unwrap_or_default() }
}

/// The card of a job, as far as it does not change.
pub(crate) fn card(job: JobId) -> Card {
    let eye = EyeOrder::single_vision(SphereCylinder::sphere(Power::from_milli(-2000)));
    Card {
        number: (job.0 & 0xff) as u32,
        label: "Skerry 3".try_into().unwrap_or_default(),
        eyes: [eye; 2],
        pd: PupillaryDistance::Binocular(Length::from_milli(62_000)),
        rim: Rim::Metal,
        ..Card::blank(job)
    }
}

/// The other job: its frame is of the same model.
pub(crate) fn alike(job: JobId) -> JobId {
    if job == JOBS[0] { JOBS[1] } else { JOBS[0] }
}

/// What a card of the model's shows of a state: a pair is done when both of its lenses fit.
pub(crate) fn shown(state: &JobState) -> Showing {
    Showing { done: state.lenses.iter().all(|lens| lens.sizing.is_done()), ends: None }
}

/// What the model's book tells of a job where the other one stands so: begin a step above what fitted, and then there.
pub(crate) fn advice(other: &JobState) -> Option<Advice> {
    let mm = Length::from_milli;
    let fits = || other.lenses.iter().filter_map(|lens| Some(lens.sizing.fits?.on(DIAL.basis)));
    let (least, most) = (fits().min()?, fits().max()?);
    let rung = |at: Length| Rung { at, far: at - mm(100), just: at - mm(100) };
    let ladder = Ladder::new([rung(most + mm(100)), rung(most)]);
    Some(Advice {
        basis: DIAL.basis,
        first: ladder.clone(),
        second: ladder,
        second_from_fit: false,
        lenses: fits().count() as u8,
        fitted: Some([least, most]),
        tenths: [20; 2],
    })
}

/// How many numbers are left where they end.
const LEFT: u32 = 24;
/// How many starts are left where those end.
const BOOTS_LEFT: u16 = 4;

/// A keypad in the morning: its memory, its records that the book has, and those that wait for a console.
#[derive(Clone)]
pub(crate) struct Morning {
    pub(crate) chip: Chip,
    pub(crate) in_book: Vec<Stored>,
    pub(crate) waiting: Vec<Stored>,
}

/// A keypad in the morning; each is made once.
pub(crate) fn morning(start: Start, keypad: usize) -> Morning {
    static MORNINGS: OnceLock<Vec<[Morning; 2]>> = OnceLock::new();
    let made = MORNINGS.get_or_init(|| {
        let of = |(_, start): &(&str, Start)| KEYPADS.map(|journal| make(*start, journal));
        Start::ALL.iter().map(of).collect()
    });
    let at = Start::ALL.iter().position(|(_, known)| *known == start).unwrap_or(0);
    made[at][keypad].clone()
}

/// So many numbers are free in a memory that is nearly full.
const FREE: u32 = 24;

fn make(start: Start, journal: JournalId) -> Morning {
    let (in_book, waiting) = (Vec::new(), Vec::new());
    let late = |acknowledged, boot| Chip::begun_late(LAYOUT, journal, acknowledged, boot);
    let chip = match start {
        Start::LastNumbers => late(u32::MAX - LEFT, 8),
        Start::LastBoots => late(7, u16::MAX - BOOTS_LEFT),
        Start::Usual | Start::New => begun(journal).into_pages(),
        Start::ThirdLap => return filled(journal, 2 * RING + 5, 0),
        Start::Filled => return filled(journal, RING / 2, RING - FREE),
    };
    Morning { chip, in_book, waiting }
}

/// So many records are of the second job where a memory is filled, and the ones before of a job without a card.
const OF_JOB: u32 = 40;
const ELSE: JobId = JobId(0x4a0b_0000_0000_0003);

fn begun(journal: JournalId) -> Memory<Chip> {
    match Memory::begin(Chip::blank(), LAYOUT, journal, Consent::KeepRecords) {
        Ok((memory, _)) => memory,
        Err(error) => unreachable!("on blank pages: {error:?}"),
    }
}

/// With so many records that the book has, and behind them so many that it has not.
fn filled(journal: JournalId, in_book: u32, waiting: u32) -> Morning {
    let (mut memory, mut records) = (begun(journal), Vec::new());
    for n in 0..in_book + waiting {
        // The newest are of a job with a card.
        let job = if n + OF_JOB < in_book + waiting { ELSE } else { JOBS[1] };
        let fact = pass(job, Eye::Right, 500, Outcome::JustTooBig);
        // Nothing is in the way on pages without faults.
        let seq = memory.append_fact(&fact, n, Urgency::FinishLens).unwrap_or(0);
        if n < in_book {
            let _ = memory.acknowledge(seq);
        }
        let boot = memory.boot().into();
        records.push(Stored { boot, ticks: n, ..stored(&fact, seq) });
    }
    let waiting = records.split_off(in_book as usize);
    Morning { chip: memory.into_pages(), in_book: records, waiting }
}
