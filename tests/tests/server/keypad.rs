//! A keypad in this process at a bench of its own: the application over its pages, the bench over the book, and a line between
//! them. Somebody presses its keys, whatever it shows.

use crate::shop;
use bevelbook::keypad::{Bench, LAYOUT, Note, Now, PAGES, PipeEnd, pipe};
use bevelbook::work::{Work, WorkError};
use bevelbook_core::link::pump;
use bevelbook_core::record::{JournalId, Stored};
use bevelbook_keypad::app::App;
use bevelbook_keypad::keys::{Key, Press};
use bevelbook_keypad::memory::faults::FaultyPages;
use bevelbook_keypad::memory::{Consent, Memory};

/// What is pressed while a job is in hand: mostly what logs a pass at the step of sizing, the rest undoes, asks and goes on.
const PRESSES: [Press; 12] = [
    Press::long(Key::Up),
    Press::long(Key::Up),
    Press::long(Key::Up),
    Press::long(Key::Up),
    Press::long(Key::Up),
    Press::short(Key::Up),
    Press::short(Key::Up),
    Press::short(Key::Right),
    Press::short(Key::Right),
    Press::short(Key::Centre),
    Press::short(Key::Centre),
    Press::long(Key::Left),
];

/// Numbers that look like chance and are the same in every run (Marsaglia's xorshift, 64 bits).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub(crate) fn below(&mut self, many: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as usize % many
    }
}

/// The keypad and its bench.
pub(crate) struct Keypad {
    app: Box<App<FaultyPages<{ PAGES as usize }>>>,
    bench: Bench,
    near: PipeEnd,
    far: PipeEnd,
    chance: Chance,
    press_ms: u64,
    /// When something is to be done on the line, if nobody presses before.
    turn_ms: u64,
    /// How far down the list the job is that it begins with.
    downs: u64,
    /// What the bench told.
    pub(crate) notes: Vec<Note>,
}

impl Keypad {
    /// A new one, plugged into a bench on the book of `work`.
    pub(crate) fn new(work: Work, seed: u64, now: Now) -> Result<Self, WorkError> {
        let journal = JournalId(0x6b70_0000_0000_0000 | seed);
        let (memory, _) = Memory::begin(FaultyPages::blank(), LAYOUT, journal, Consent::KeepRecords).unwrap();
        let ((near, far), bench) = (pipe(), Bench::new(work, now)?);
        let (app, chance) = (Box::new(App::new(memory, "crowd")), Chance::new(seed));
        let downs = seed % shop::SIZED;
        Ok(Self { app, bench, near, far, chance, press_ms: 0, turn_ms: 0, downs, notes: Vec::new() })
    }

    pub(crate) fn journal(&self) -> JournalId {
        self.app.memory().journal()
    }

    /// The number of the last record that it saved.
    pub(crate) fn saved(&self) -> u32 {
        self.app.memory().next() - 1
    }

    /// The number up to which the console told it that the book has everything.
    pub(crate) fn acknowledged(&self) -> u32 {
        self.app.memory().acknowledged()
    }

    /// Presses any key, unless it was pressed less than `pace_ms` ago.
    pub(crate) fn press_any(&mut self, now: Now, pace_ms: u64) {
        if now.ms >= self.press_ms {
            // Not all of them at once.
            self.press_ms = now.ms + pace_ms / 2 + self.chance.below(pace_ms as usize) as u64;
            let press = match self.app.in_hand() {
                Some(_) => PRESSES[self.chance.below(PRESSES.len())],
                // Each begins with one of the jobs to be sized, as soon as there is a list of them.
                None if self.app.memory().cards().count() == 0 => return,
                None if self.downs > 0 => Press::short(Key::Down),
                None => Press::short(Key::Centre),
            };
            self.downs = self.downs.saturating_sub(1);
            self.app.press(press, now.ms);
            self.turn_ms = now.ms;
        }
    }

    /// Presses one key.
    pub(crate) fn press(&mut self, key: Key, now: Now) {
        self.app.press(Press::short(key), now.ms);
        self.turn_ms = now.ms;
    }

    /// Moves bytes, and lets the bench do what they call for, if it is time. When it is again.
    pub(crate) fn turn(&mut self, now: Now) -> u64 {
        if now.ms < self.turn_ms {
            return self.turn_ms;
        }
        let told = pump(&mut self.near, &mut *self.app, now.ms).unwrap();
        let heard = self.bench.turn(&mut self.far, now).unwrap();
        self.notes.extend(std::iter::from_fn(|| self.bench.take_note()));
        if let Some(journal) = self.bench.asking().map(|ack| ack.journal) {
            self.bench.adopt(&journal.to_string(), now);
        }
        let next = self.app.next_deadline(now.ms).unwrap_or(u64::MAX).min(self.bench.next_deadline(now));
        self.turn_ms = if told || heard { now.ms } else { next };
        self.turn_ms
    }

    /// Everything in its memory, in its own order.
    pub(crate) fn records(&mut self) -> Vec<Stored> {
        let upto = self.saved();
        (1..=upto).map(|seq| self.app.record_at(seq).unwrap().unwrap()).collect()
    }
}
