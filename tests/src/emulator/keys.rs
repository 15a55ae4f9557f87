//! How the keys of the emulated board are pressed.

use bevelbook_keypad::keys::Key;
use std::time::Duration;

/// A short press, well above the time in which a contact is taken to bounce.
pub const PRESS: Duration = Duration::from_millis(60);

/// A long press, well above the time at which one is told.
pub const HOLD: Duration = Duration::from_millis(900);

/// Between two presses, well above the time in which an outcome locks the keys.
pub const REST: Duration = Duration::from_millis(360);

/// What QEMU calls the key of its keyboard that moves the contact of `key`.
#[must_use]
pub(super) const fn qcode(key: Key) -> &'static str {
    match key {
        Key::Centre => "ctrl",
        arrow => arrow.name(),
    }
}
