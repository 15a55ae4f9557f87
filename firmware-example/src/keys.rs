//! Five keys, debounced, with long presses.
//!
//! A contact bounces for some milliseconds when it closes and when it opens. A key therefore counts as changed only
//! once it has read the same for [`DEBOUNCE_MS`]. A press is told when the key is let go, or as a long press as soon as
//! it has been held for [`HOLD_MS`]: the hand feels nothing, so the screen must answer at once.
//!
//! A board that looks at its contacts in an interrupt, so that no press is missed while a card is written to the memory,
//! keeps what it saw in [`Changes`] until its loop has time.

use heapless::Deque;

/// How long a key must read the same before it counts, in milliseconds.
pub const DEBOUNCE_MS: u32 = 15;

/// How long a key is held for a long press, in milliseconds.
pub const HOLD_MS: u32 = 700;

/// One of the five keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// The arrow up.
    Up,
    /// The arrow down.
    Down,
    /// The arrow to the left.
    Left,
    /// The arrow to the right.
    Right,
    /// The centre.
    Centre,
}

impl Key {
    /// Every key, in the order of the bits that [`Keys::sample`] takes.
    pub const ALL: [Self; 5] = [Self::Up, Self::Down, Self::Left, Self::Right, Self::Centre];

    /// Its name in text.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
            Self::Left => "left",
            Self::Right => "right",
            Self::Centre => "centre",
        }
    }

    /// The key of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|key| key.name() == name)
    }
}

/// One press.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Press {
    /// Which key.
    pub key: Key,
    /// Whether it was held.
    pub held: bool,
}

impl Press {
    /// A short press.
    #[must_use]
    pub const fn short(key: Key) -> Self {
        Self { key, held: false }
    }

    /// A long press.
    #[must_use]
    pub const fn long(key: Key) -> Self {
        Self { key, held: true }
    }
}

/// One key's contact.
#[derive(Clone, Copy, Debug, Default)]
struct Contact {
    /// What it last read, and since when.
    raw: bool,
    since: u32,
    /// What counts.
    down: bool,
    down_since: u32,
    /// Whether this press was told already, as a long one.
    told: bool,
}

/// The five contacts.
///
/// ```
/// use bevelbook_keypad::keys::{Key, Keys, Press};
/// let mut keys = Keys::new();
/// assert_eq!(keys.sample(0b00001, 0), None); // up closes
/// assert_eq!(keys.sample(0b00001, 20), None); // and counts as down
/// assert_eq!(keys.sample(0b00000, 100), None); // it opens
/// assert_eq!(keys.sample(0b00000, 120), Some(Press::short(Key::Up)));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Keys {
    contacts: [Contact; Key::ALL.len()],
}

impl Keys {
    /// All keys open.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes a sample of all contacts, one bit a key in the order of [`Key::ALL`], at `now_ms` of a clock that may wrap.
    /// At most one press is told a sample; sample every few milliseconds.
    pub fn sample(&mut self, closed: u8, now_ms: u32) -> Option<Press> {
        let mut press = None;
        for (bit, (contact, key)) in self.contacts.iter_mut().zip(Key::ALL).enumerate() {
            let told = contact.sample(closed & (1 << bit) != 0, now_ms);
            press = press.or(told.map(|held| Press { key, held }));
        }
        press
    }

    /// The key that is being held, and for how long, in milliseconds, until that is told as a long press. Of several the first.
    #[must_use]
    pub fn holding(&self, now_ms: u32) -> Option<(Key, u32)> {
        let holds = |contact: &Contact| contact.down && !contact.told;
        let (contact, key) = self.contacts.iter().zip(Key::ALL).find(|(contact, _)| holds(contact))?;
        // It may count from a moment that whoever asks has not come to yet.
        Some((key, now_ms.wrapping_sub(contact.down_since).cast_signed().max(0).cast_unsigned()))
    }
}

impl Contact {
    /// Whether a press is to be told, and if so whether it is a long one.
    fn sample(&mut self, raw: bool, now_ms: u32) -> Option<bool> {
        if raw != self.raw {
            self.raw = raw;
            self.since = now_ms;
        }
        let steady = now_ms.wrapping_sub(self.since) >= DEBOUNCE_MS;
        if steady && self.raw != self.down {
            self.down = self.raw;
            if self.down {
                // From when it counts, whenever that is looked at.
                self.down_since = self.since.wrapping_add(DEBOUNCE_MS);
                self.told = false;
            } else if !self.told {
                return Some(false);
            }
        }
        if self.down && !self.told && now_ms.wrapping_sub(self.down_since) >= HOLD_MS {
            self.told = true;
            return Some(true);
        }
        None
    }
}

/// How many changes are kept: a press and its end, each with a contact that bounces, and more than one person presses while
/// a card is written.
const CHANGES: usize = 16;

/// What the contacts read from which time on, oldest first.
#[derive(Debug, Default)]
pub struct Changes {
    waiting: Deque<(u8, u32), CHANGES>,
    last: u8,
}

impl Changes {
    /// All contacts open, and nothing seen yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { waiting: Deque::new(), last: 0 }
    }

    /// Takes a sample as [`Keys::sample`] does. Where nobody has taken the changes for long, those between are lost and the
    /// last state stays right.
    pub fn look(&mut self, closed: u8, now_ms: u32) {
        if closed == self.last {
            return;
        }
        self.last = closed;
        if self.waiting.is_full() {
            self.waiting.pop_back();
        }
        let _ = self.waiting.push_back((closed, now_ms));
    }

    /// The oldest change that was not taken yet: what the contacts read from then on, and since when.
    pub fn take(&mut self) -> Option<(u8, u32)> {
        self.waiting.pop_front()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::vec::Vec;

    #[test]
    fn changes_are_kept_in_order_and_the_last_state_whatever_comes_between() {
        let mut changes = Changes::new();
        for (closed, at) in [(0, 1), (4, 2), (4, 3), (0, 9)] {
            changes.look(closed, at);
        }
        assert_eq!([(); 3].map(|()| changes.take()), [Some((4, 2)), Some((0, 9)), None]);
        (0..100).for_each(|at| changes.look((at % 2) as u8 + 1, at));
        let all: Vec<_> = core::iter::from_fn(|| changes.take()).collect();
        assert_eq!((all.len(), all[0], all[CHANGES - 1]), (CHANGES, (1, 0), (2, 99)));
    }

    /// Samples every millisecond; each item is what the contacts read from then on.
    fn play(timeline: &[(u32, u8)], until: u32) -> Vec<(u32, Press)> {
        let mut keys = Keys::new();
        let mut presses = Vec::new();
        // Begin just before the clock wraps.
        let origin = u32::MAX - 500;
        for ms in 0..until {
            let closed = timeline.iter().rfind(|(at, _)| *at <= ms).map_or(0, |(_, closed)| *closed);
            presses.extend(keys.sample(closed, origin.wrapping_add(ms)).map(|press| (ms, press)));
        }
        presses
    }

    #[test]
    fn a_bouncing_contact_is_one_press() {
        let bounce = [(10, 2), (12, 0), (13, 2), (17, 0), (18, 2), (100, 0), (101, 2), (103, 0)];
        assert_eq!(play(&bounce, 400), [(118, Press::short(Key::Down))]);
    }

    #[test]
    fn a_spike_is_no_press() {
        assert_eq!(play(&[(10, 4), (20, 0)], 400), []);
    }

    #[test]
    fn a_long_press_is_told_while_the_key_is_held_and_only_once() {
        assert_eq!(play(&[(0, 16), (2000, 0)], 2500), [(DEBOUNCE_MS + HOLD_MS, Press::long(Key::Centre))]);
    }

    #[test]
    fn a_key_is_held_from_when_it_counts_as_down_until_it_is_told() {
        let mut keys = Keys::new();
        let held = |keys: &mut Keys, ms: u32, closed| {
            keys.sample(closed, ms);
            keys.holding(ms)
        };
        assert_eq!(held(&mut keys, 0, 16), None);
        assert_eq!(held(&mut keys, DEBOUNCE_MS, 16), Some((Key::Centre, 0)));
        assert_eq!(held(&mut keys, 500, 16), Some((Key::Centre, 500 - DEBOUNCE_MS)));
        assert_eq!(held(&mut keys, DEBOUNCE_MS + HOLD_MS, 16), None, "it was told");
    }

    #[test]
    fn two_keys_do_not_mix() {
        let both = [(0, 1), (50, 1 | 8), (100, 8), (200, 0)];
        assert_eq!(play(&both, 400), [(115, Press::short(Key::Up)), (215, Press::short(Key::Right))]);
    }
}
