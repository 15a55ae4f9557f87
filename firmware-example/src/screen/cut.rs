//! For tests: what was meant to show and had no room.

use std::cell::RefCell;
use std::string::String;
use std::vec::Vec;

std::thread_local! {
    static CUT: RefCell<Vec<String>> = const { RefCell::new(Vec::new()) };
}

/// Notes `text` if it is longer than so many characters.
pub(crate) fn note(text: &str, room: usize) {
    if text.trim_end().chars().count() > room {
        CUT.with_borrow_mut(|cut| cut.push(text.into()));
    }
}

/// What was cut in this thread since it was asked last.
pub(crate) fn take() -> Vec<String> {
    CUT.take()
}
