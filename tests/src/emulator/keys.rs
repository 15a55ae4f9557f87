//! The five keys of the emulated board.

use std::time::Duration;

/// A short press, well above the time in which a contact is taken to bounce.
pub const PRESS: Duration = Duration::from_millis(60);

/// A long press, well above the time at which one is told.
pub const HOLD: Duration = Duration::from_millis(900);

/// Between two presses, well above the time in which an outcome locks the keys.
pub const REST: Duration = Duration::from_millis(360);

/// A key.
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
    /// Every key.
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

    /// What QEMU calls the key of its keyboard that moves this contact.
    #[must_use]
    pub const fn qcode(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
            Self::Left => "left",
            Self::Right => "right",
            Self::Centre => "ctrl",
        }
    }
}
