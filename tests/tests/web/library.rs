//! The library's device in virtual time.

use crate::orders::Giver;
use crate::ram::Ram;
use bevelbook_keypad::device::{Device, LAYOUT};
use bevelbook_keypad::keys::Key;
use bevelbook_keypad::screen::text::render;
use bevelbook_keypad::screen::{Canvas, Shade};
use bevelbook_tests::emulator::Picture;

/// How often it is run, in milliseconds.
const TURN_MS: u64 = 8;

/// After so long nothing that a press did moves on the screen by itself.
const CALM_MS: u64 = 1500;

/// After so long a console that left does not count as there any more.
const GONE_MS: u64 = 5000;

/// A keypad with a blank memory.
pub(crate) struct Library {
    chip: Ram,
    device: Device<Ram>,
    canvas: Box<Canvas>,
    now_ms: u64,
}

impl Library {
    pub(crate) fn start() -> Self {
        let chip = Ram::holding(&[]);
        let device = Device::start(chip.clone(), LAYOUT, "library", 1);
        let canvas = Box::new(Canvas::black_and_white());
        let mut library = Self { chip, device, canvas, now_ms: 0 };
        library.run(CALM_MS);
        library
    }

    /// Starts it again on what its memory holds.
    pub(crate) fn cut_power(&mut self) {
        self.device = Device::start(self.chip.clone(), LAYOUT, "library", 2);
        self.now_ms = 0;
        self.run(CALM_MS);
    }

    fn run(&mut self, ms: u64) {
        for _ in 0..ms.div_ceil(TURN_MS) {
            if self.device.redraw(self.now_ms) {
                self.device.draw(&mut self.canvas);
            }
            self.now_ms += TURN_MS;
        }
    }

    /// Presses `key` for so long, and lets all calm down.
    pub(crate) fn press(&mut self, key: Key, ms: u64) {
        for (levels, ms) in [(1 << key as u8, ms), (0, 80)] {
            for _ in 0..ms.div_ceil(TURN_MS) {
                self.device.keys(levels, self.now_ms);
                self.run(TURN_MS);
            }
        }
        self.run(CALM_MS);
    }

    /// Takes the demo orders.
    pub(crate) fn order(&mut self) {
        let mut giver = Giver::new(1, self.now_ms);
        while !giver.turn(&mut self.device, self.now_ms) {
            self.now_ms += TURN_MS;
        }
        self.run(GONE_MS);
    }

    pub(crate) fn picture(&self) -> Picture {
        Picture::of(|x, y| self.canvas.shade(x, y) != Shade::Off)
    }

    /// What shows, in letters.
    pub(crate) fn letters(&self) -> String {
        render(&self.device.screen(self.now_ms)).to_string()
    }
}
