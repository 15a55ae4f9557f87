//! Whatever records, cards and statements a memory holds, and whatever keys are pressed: there is no panic.

use super::{CENTRE, JOB, OWN, Pages, card, layout, nothing_done};
use crate::app::App;
use crate::keys::{Key, Press};
use crate::memory::{Consent, Memory, Urgency};
use crate::screen::Canvas;
use crate::screen::graphics::draw;
use crate::screen::text::render;
use bevelbook_core::link::Station;
use bevelbook_core::prescription::{Eye, SphereCylinder, Wanted};
use bevelbook_core::record::{Bench, Flow, JobState};
use bevelbook_core::sizing::{Advice, Basis, Dial, Habit, Ladder, RUNGS, Rung};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Length, Prism};
use std::string::ToString;
use std::vec::Vec;

const WANTED: [Wanted; 5] = [
    Wanted::Lens,
    Wanted::Balance { known: false },
    Wanted::Balance { known: true },
    Wanted::Nothing { known: false },
    Wanted::Nothing { known: true },
];

pub(super) struct Random(pub(super) u64);

impl Random {
    pub(super) fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }

    pub(super) fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len() as u64) as usize]
    }

    fn number(&mut self, bytes: &mut Vec<u8>) {
        // Lengths, powers, prisms and axes at their ends, a little inside, and small.
        const ENDS: [i32; 8] = [1_000_000, 40_000, 64_000, 180_000, 99_999, 500, 50, 1];
        let value = self.one_of(&ENDS) - self.one_of(&[0, 0, 1]);
        let value = if self.below(2) == 0 { value } else { -value };
        varint(u64::from(((value << 1) ^ (value >> 31)) as u32), bytes);
    }

    /// A fact of any kind with anything in it that its bytes can say; most are about the job.
    fn fact(&mut self) -> Bench {
        loop {
            let kind = 1 + self.below(11) as u8;
            let mut bytes = Vec::new();
            if self.below(6) > 0 {
                if kind == 7 {
                    bytes.push(1);
                }
                varint(JOB.0, &mut bytes);
            }
            while bytes.len() < 40 {
                match self.below(3) {
                    0 => bytes.push(self.below(3) as u8),
                    1 => bytes.push(self.one_of(&[0, 1, 2, 3, 127])),
                    _ => self.number(&mut bytes),
                }
            }
            if let Ok(fact) = Bench::decode(kind, &bytes) {
                return fact;
            }
        }
    }

    fn length(&mut self) -> Length {
        Length::from_milli(self.one_of(&[0, 1, -1, 10, 50, 400, -400, 1_000_000, -1_000_000]))
    }

    fn prism(&mut self) -> Prism {
        Prism::from_milli(self.one_of(&[0, 0, 1, -2000, 12_750, -99_999, 100_000, -100_000]))
    }

    fn dial(&mut self) -> Dial {
        loop {
            if let Bench::Pass(pass) = self.fact() {
                let step = self.length();
                return Dial { basis: pass.dialled.basis, counting: pass.dialled.counting, step };
            }
        }
    }
}

fn varint(mut value: u64, bytes: &mut Vec<u8>) {
    while value >= 0x80 {
        bytes.push(value as u8 | 0x80);
        value >>= 7;
    }
    bytes.push(value as u8);
}

/// A memory with a card, a statement and records, none of which makes sense.
fn memory(random: &mut Random) -> Memory<Pages> {
    let (mut memory, _) = Memory::begin(Pages::blank(), layout(), OWN, Consent::KeepRecords).unwrap();
    let habit = Habit {
        first: core::array::from_fn(|_| random.length()),
        step_far: random.length(),
        step_just: random.length(),
        ..Habit::COMMON
    };
    let dial = (random.below(4) > 0).then(|| random.dial());
    memory.store_station(Station { revision: 1, includes_upto: 0, dial, habit, flow: Flow::COMMON }).unwrap();
    if random.below(4) > 0 {
        let mut state: JobState = nothing_done();
        (0..random.below(60)).for_each(|_| state.apply(&random.fact()));
        let mut card = card(1, 0, state);
        for eye in Eye::BOTH {
            let order = &mut card.eyes[eye.index()];
            order.wanted = random.one_of(&WANTED);
            (order.prism.base_in, order.prism.base_up) = (random.prism(), random.prism());
            card.prescribed[eye.index()] = (random.below(2) == 0).then_some(SphereCylinder::PLANO);
        }
        card.thinning.prism = random.prism();
        card.design = random.one_of(&Design::ALL);
        let [first, second] = [0, 0].map(|_| {
            let rungs = random.below(1 + RUNGS as u64);
            let mut size = || random.length();
            Ladder::new((0..rungs).map(|_| Rung { at: size(), far: size(), just: size() }))
        });
        card.advice = (random.below(2) == 0).then(|| Advice {
            basis: random.one_of(&Basis::ALL),
            first,
            second,
            second_from_fit: random.below(2) == 0,
            lenses: random.below(256) as u8,
            fitted: (random.below(2) == 0).then(|| [random.length(), random.length()]),
            tenths: [0; 2],
        });
        card.heights = (random.below(2) == 0).then(|| [random.length(), random.length()]);
        memory.store_card(JOB, 1, 0, &card.encode()).unwrap();
    }
    for n in 0..random.below(60) as u32 {
        if random.below(8) == 0 {
            let bytes: Vec<u8> = (0..random.below(48)).map(|_| random.below(256) as u8).collect();
            memory.append(random.below(256) as u8, &bytes, n, Urgency::FinishLens).unwrap();
        } else {
            memory.append_fact(&random.fact(), n, Urgency::FinishLens).unwrap();
        }
    }
    memory
}

fn look(app: &App<Pages>, now_ms: u64) {
    let screen = app.screen(now_ms);
    render(&screen).to_string();
    draw(&screen, &mut Canvas::in_shades());
}

#[test]
fn no_content_of_the_memory_makes_the_keypad_panic() {
    let mut sized = 0;
    for seed in 0..400 {
        let random = &mut Random(seed);
        let mut app = App::new(memory(random), "test");
        let _ = app.open(JOB);
        let mut now_ms = 1000;
        for _ in 0..60 {
            now_ms += 400;
            let key = random.one_of(&Key::ALL);
            match random.below(12) {
                0 => app.press(Press::long(key), now_ms),
                // On to the next step, past what only asks to be seen.
                1 | 2 => app.press(CENTRE, now_ms),
                _ => app.press(Press::short(key), now_ms),
            }
            sized += u32::from(matches!(app.entry, crate::app::entry::Entry::Sizing(_)));
            if random.below(8) == 0 {
                look(&app, now_ms);
            } else {
                render(&app.screen(now_ms)).to_string();
            }
        }
    }
    assert!(sized > 1000, "{sized}");
}
