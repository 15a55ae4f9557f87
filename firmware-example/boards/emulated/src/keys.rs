//! The contacts of the keys, looked at every millisecond by the tick's interrupt, so that no press is missed while a card is
//! written to the memory.

use bevelbook_keypad::keys::Changes;
use core::cell::RefCell;
use critical_section::Mutex;

static CHANGES: Mutex<RefCell<Changes>> = Mutex::new(RefCell::new(Changes::new()));

/// Takes which contacts are closed now.
pub(crate) fn look(closed: u8, now_ms: u64) {
    critical_section::with(|section| CHANGES.borrow_ref_mut(section).look(closed, now_ms as u32));
}

/// The oldest change that was not taken yet.
pub(crate) fn take_change() -> Option<(u8, u32)> {
    critical_section::with(|section| CHANGES.borrow_ref_mut(section).take())
}
