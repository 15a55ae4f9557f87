//! The keypad as one device that any board runs.
//!
//! A board gives it pages of memory, key levels, bytes, and the time in milliseconds since it was started (a `u64` that
//! never wraps); it gives back bytes and a picture. A board's loop, whatever it is made of:
//!
//! ```text
//! let mut device = Device::start(pages, device::LAYOUT, "bench 1", chip_id);
//! loop {
//!     device.stir(fast_counter);                    // until a journal is begun: entropy for its id
//!     device.keys(closed_bits, now_ms);             // every few milliseconds, in the order of keys::Key::ALL; or
//!                                                   // keys_from(), where an interrupt looks at them
//!     link::pump(&mut uart, &mut device, now_ms);   // it is an `End` of the link; or feed() and poll_transmit()
//!     if device.redraw(now_ms) {                    // cheap when nothing happened
//!         device.draw(canvas);                      // 128 × 64 pixels, which the board then sends to its display
//!     }
//!     device.sound().map(play);                     // where there is a buzzer
//!     // sleep until an interrupt (byte, key, tick) or device.next_deadline(now_ms)
//! }
//! ```
//!
//! **Starting.** The memory is opened. Blank: a first-start screen, and a held key begins a journal, whose id is mixed
//! from the chip's id and from the times at which keys moved. Damaged, or not understood: the screen explains, and
//! what would give up records takes two different keys, both held. Nothing is ever formatted unasked. Up and down held
//! together while it starts offer to begin a new journal (numbers spent, or a console that has more than the keypad).
//! Records that a start found unreadable are told once, and so are restarts by defects that follow on each other.
//!
//! What moves large values about, or draws, is kept out of line: its stack is needed only while it runs.

pub(crate) mod begin;
mod contacts;
mod dating;
mod entropy;
mod restarts;
mod showing;
pub mod sound;
#[cfg(test)]
mod tests;

use crate::app::App;
use crate::defect::MANY;
use crate::keys::{Key, Keys, Press};
use crate::memory::{Layout, Memory, Pages, Recovery};
use crate::screen::Screen;
use begin::{Closed, Found};
use bevelbook_core::link::{CARD_BOUND, End, MAX_WIRE};
use bevelbook_core::record::Clock;
use entropy::Entropy;
use sound::Sounds;

/// The pages of an EEPROM of 32 KiB (24LC256 class).
pub const PAGES: u16 = 512;

/// How many cards there are slots for; one fewer is held.
const CARD_SLOTS: u8 = 13;

/// How such a memory is divided: a journal of 310 records, and 12 jobs of any length.
pub const LAYOUT: Layout =
    match Layout::new(PAGES, CARD_SLOTS, (1 + CARD_BOUND.div_ceil(crate::memory::PAGE)) as u8) {
        Ok(layout) => layout,
        Err(_) => unreachable!(),
    };

/// How long the keys of an offer are held from the start on, in milliseconds.
pub const OFFER_MS: u64 = 300;

/// Up and down.
const OFFER_KEYS: u8 = 0b00011;

/// The whole device; see the module.
#[derive(Debug)]
pub struct Device<P: Pages> {
    state: State<P>,
    layout: Layout,
    name: &'static str,
    keys: Keys,
    levels: u8,
    /// Until when the keys of an offer are to stay closed; none when they did not.
    offer_until_ms: Option<u64>,
    entropy: Entropy,
    /// How many defects in a row started it again, until that was seen.
    restarts: u8,
    /// What the clock said, for a memory that is opened.
    clock: Option<Clock>,
    shown: Option<Screen>,
    sounds: Sounds,
    /// Whether its header alone is to be drawn.
    only_header: bool,
    look_ms: u64,
}

#[derive(Debug)]
#[allow(clippy::large_enum_variant, reason = "there is one, and no heap to put the larger variant on")]
enum State<P: Pages> {
    /// No journal is open.
    Closed(Closed<P>),
    /// At work; what the start found stands there until it is seen.
    Open(App<P>, Option<Found>),
    /// Between two states, for no time at all.
    Between,
}

impl<P: Pages> Device<P> {
    /// Opens the memory; this takes as long as reading all of it. `name` is what the console shows until the keypad is
    /// adopted, `entropy` the chip's id or what else differs from board to board.
    #[must_use]
    pub fn start(pages: P, layout: Layout, name: &'static str, entropy: u64) -> Self {
        let mut device = Self::new(pages, layout, name, entropy);
        device.open();
        device
    }

    /// As [`Device::start`], but with the memory not opened yet: [`Device::open`] is to follow. Apart, for boards that put
    /// the device in its place first and have a small stack.
    #[must_use]
    pub fn new(pages: P, layout: Layout, name: &'static str, entropy: u64) -> Self {
        Self {
            state: State::Closed(Closed::unopened(pages, layout)),
            layout,
            name,
            keys: Keys::new(),
            levels: 0,
            offer_until_ms: None,
            entropy: Entropy::of_chip(entropy),
            restarts: 0,
            clock: None,
            shown: None,
            sounds: Sounds::default(),
            only_header: false,
            look_ms: 0,
        }
    }

    /// Tells of defects in a row that started the board again, if they are many. Whether it is to be drawn at once: it may
    /// never come to opening the memory.
    pub fn restarted(&mut self, in_a_row: u8) -> bool {
        let many = in_a_row >= MANY;
        if many {
            self.restarts = in_a_row;
            self.shown = Some(restarts::screen(in_a_row));
        }
        many
    }

    /// Opens the memory, or says on the screen why not.
    pub fn open(&mut self) {
        self.try_closed(Closed::open);
    }

    /// Does something with a memory that is not open, and goes to work if it then is.
    fn try_closed(&mut self, act: impl FnOnce(&mut Closed<P>) -> Option<Recovery>) {
        let State::Closed(closed) = &mut self.state else { return };
        if let Some(found) = found_by(closed, act) {
            self.put_to_work(found);
            // The stack is free again.
            if let State::Open(app, _) = &mut self.state {
                begin::log_open(app.memory());
                app.resume();
            }
        }
    }

    #[inline(never)]
    fn put_to_work(&mut self, found: Option<Found>) {
        if let State::Closed(closed) = &mut self.state
            && let Some(memory) = closed.take()
        {
            self.state = State::Open(App::idle(memory, self.name), found);
            self.date();
        }
    }

    /// Stirs a word into the entropy for a journal's id: a counter faster than a person, read often.
    pub fn stir(&mut self, word: u32) {
        if matches!(self.state, State::Closed(_)) {
            self.entropy.stir(word);
        }
    }

    /// Takes which contacts are closed, one bit a key in the order of [`Key::ALL`].
    pub fn keys(&mut self, closed: u8, now_ms: u64) {
        if closed != self.levels {
            self.stir(now_ms as u32 ^ u32::from(closed) << 27);
            self.levels = closed;
        }
        self.look_for_offer(closed, now_ms);
        // The keys' clock may wrap.
        if let Some(press) = self.keys.sample(closed, now_ms as u32) {
            self.press(press, now_ms);
        }
    }

    /// Takes a press, from keys that are debounced elsewhere.
    #[inline(never)]
    pub fn press(&mut self, press: Press, now_ms: u64) {
        self.look_ms = now_ms;
        let seen = press == Press::short(Key::Centre);
        match &mut self.state {
            _ if self.restarts > 0 => self.restarts *= u8::from(!seen),
            State::Open(_, found @ Some(_)) => *found = found.filter(|_| !seen),
            State::Open(app, None) => app.press(press, now_ms),
            State::Closed(_) => {
                let entropy = self.entropy.0;
                self.try_closed(|closed| closed.press(press, entropy));
            }
            State::Between => {}
        }
    }

    /// Puts the application away and offers a new journal.
    #[inline(never)]
    fn offer(&mut self) {
        let waiting = self.app().map_or(0, |app| app.memory().unacknowledged());
        if let Some(pages) = self.take_pages() {
            self.state = State::Closed(Closed::offer(pages, self.layout, waiting));
        }
    }

    /// Puts the application away. By a pattern, for a call that takes an application or a memory moves it once more.
    #[inline(never)]
    fn take_pages(&mut self) -> Option<P> {
        let state = core::mem::replace(&mut self.state, State::Between);
        if let State::Open(App { memory: Memory { pages, .. }, .. }, _) = state { Some(pages) } else { None }
    }

    fn look_for_offer(&mut self, closed: u8, now_ms: u64) {
        if now_ms > OFFER_MS * 4 && self.offer_until_ms.is_none() {
            return;
        }
        match self.offer_until_ms {
            _ if closed != OFFER_KEYS => self.offer_until_ms = None,
            None => self.offer_until_ms = Some(now_ms + OFFER_MS),
            Some(until) if now_ms < until => {}
            Some(_) => {
                self.offer_until_ms = None;
                self.offer();
                self.look_ms = now_ms;
            }
        }
    }

    /// When the device is to be run again at the latest, if no key moves and no byte comes; may lie in the past.
    #[must_use]
    pub fn next_deadline(&self, now_ms: u64) -> u64 {
        let sends = self.app().and_then(|app| app.next_deadline(now_ms));
        sends.map_or(self.look_ms, |sends| sends.min(self.look_ms))
    }

    /// The application, once a journal is open.
    #[must_use]
    pub const fn app(&self) -> Option<&App<P>> {
        match &self.state {
            State::Open(app, _) => Some(app),
            State::Closed(_) | State::Between => None,
        }
    }
}

/// What there is to say of a memory that an act opened. Apart: what an opening finds is long, and is not to lie on the stack while
/// the application is put in its place.
#[inline(never)]
fn found_by<P: Pages>(
    closed: &mut Closed<P>,
    act: impl FnOnce(&mut Closed<P>) -> Option<Recovery>,
) -> Option<Option<Found>> {
    act(closed).map(|recovery| Found::of(&recovery))
}

/// Until a journal is open it is deaf and mute.
impl<P: Pages> End for Device<P> {
    #[inline(never)]
    fn feed(&mut self, bytes: &[u8], now_ms: u64) {
        if let State::Open(app, _) = &mut self.state {
            app.feed(bytes, now_ms);
            self.look_ms = now_ms;
        }
    }

    #[inline(never)]
    fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]> {
        match &mut self.state {
            State::Open(app, _) => app.poll_transmit(buffer, now_ms),
            State::Closed(_) | State::Between => None,
        }
    }
}
