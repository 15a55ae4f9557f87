//! One keypad: the device, its memory, and the demo orders on their way to it.

use crate::orders::Giver;
use crate::ram::Ram;
use bevelbook_core::link::{End, MAX_WIRE};
use bevelbook_keypad::device::sound::Sound;
use bevelbook_keypad::device::{Device, LAYOUT};
use bevelbook_keypad::keys::Key;
use bevelbook_keypad::screen::text::render;
use bevelbook_keypad::screen::{Canvas, Plane};

/// What the console calls it until it is adopted.
const NAME: &str = "browser";

/// The keypad that stands on the page.
pub(crate) struct Keypad {
    device: Device<Ram>,
    memory: Ram,
    picture: Canvas<[Plane; 0]>,
    giver: Option<Giver>,
    entropy: u64,
}

impl Keypad {
    /// A keypad that is plugged in, with `kept` in its memory.
    pub(crate) fn start(kept: &[u8], entropy: u64) -> Self {
        let memory = Ram::holding(kept);
        let device = Device::start(memory.clone(), LAYOUT, NAME, entropy);
        Self { device, memory, picture: Canvas::black_and_white(), giver: None, entropy }
    }

    /// Takes which contacts are closed, in the order of the library's keys.
    pub(crate) fn keys(&mut self, closed: u8, now_ms: u64) {
        self.device.keys(closed, now_ms);
    }

    /// One turn of a board's loop. Whether the picture is another one.
    pub(crate) fn turn(&mut self, stir: u32, now_ms: u64) -> bool {
        self.device.stir(stir);
        if self.giver.as_mut().is_some_and(|giver| giver.turn(&mut self.device, now_ms)) {
            self.giver = None;
        }
        let other = self.device.redraw(now_ms);
        if other {
            self.device.draw(&mut self.picture);
        }
        other
    }

    /// Plugs a console in that gives demo orders, where a log is begun to which they can be given.
    pub(crate) fn order(&mut self, now_ms: u64) {
        // Sessions count up from a number of chance.
        self.entropy = self.entropy.wrapping_add(1);
        if self.is_begun() {
            self.giver = Some(Giver::new(self.entropy as u16, now_ms));
        }
    }

    /// Whether a log is begun.
    pub(crate) const fn is_begun(&self) -> bool {
        self.device.app().is_some()
    }

    /// What a buzzer sounds since this was last asked: milliseconds of sound and of silence, in turn.
    pub(crate) fn sound(&mut self) -> &'static [u16] {
        self.device.sound().map_or(&[], Sound::rhythm)
    }

    /// How many milliseconds may pass before the next turn, if no key moves.
    pub(crate) fn rests_ms(&self, now_ms: u64) -> u64 {
        if self.giver.is_some() { 0 } else { self.device.next_deadline(now_ms).saturating_sub(now_ms) }
    }

    /// The picture: a bit a pixel, in pages of eight rows, a byte a column, the lowest bit on top.
    pub(crate) fn picture(&self) -> &[u8] {
        let canvas: &Canvas = &self.picture;
        canvas.pages().as_flattened()
    }

    /// What shows, in letters, and behind it a line for each key, in the library's order: what it answers, and behind a tab
    /// what it does when it is held.
    pub(crate) fn said(&self, now_ms: u64) -> String {
        let screen = self.device.screen(now_ms);
        let answers = screen.answers;
        let says = [answers.up, answers.down, answers.left, answers.right, answers.centre];
        let keys =
            says.iter().zip(Key::ALL).map(|(says, key)| format!("{says}\t{}", answers.held(key).words()));
        let keys: Vec<String> = keys.collect();
        format!("{}\n{}", keys.join("\n"), render(&screen))
    }

    /// All that its memory holds.
    pub(crate) fn memory(&self) -> Vec<u8> {
        self.memory.bytes()
    }

    /// How many pages of it were written since it was plugged in.
    pub(crate) fn writes(&self) -> u32 {
        self.memory.writes()
    }

    /// Takes bytes of a console.
    pub(crate) fn feed(&mut self, bytes: &[u8], now_ms: u64) {
        self.device.feed(bytes, now_ms);
    }

    /// Its next bytes to a console.
    pub(crate) fn transmit(&mut self, now_ms: u64) -> Option<Vec<u8>> {
        self.device.poll_transmit(&mut [0; MAX_WIRE], now_ms).map(<[u8]>::to_vec)
    }
}
