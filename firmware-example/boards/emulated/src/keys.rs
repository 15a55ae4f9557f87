//! The contacts of the keys, looked at every millisecond by the tick's interrupt, so that no press is missed while a card is
//! written to the memory.

use core::cell::RefCell;
use critical_section::Mutex;
use heapless::Deque;

/// What the contacts read from which time on, oldest first; and what they read last. A contact bounces some dozen
/// times at most; what is beyond the queue is lost and the last state stays right.
struct Seen {
    changes: Deque<(u8, u64), 32>,
    last: u8,
}

static SEEN: Mutex<RefCell<Seen>> = Mutex::new(RefCell::new(Seen { changes: Deque::new(), last: 0 }));

/// Takes which contacts are closed now.
pub(crate) fn look(closed: u8, now_ms: u64) {
    critical_section::with(|section| {
        let mut seen = SEEN.borrow_ref_mut(section);
        if closed != seen.last {
            seen.last = closed;
            let _ = seen.changes.push_back((closed, now_ms));
        }
    });
}

/// The oldest change that was not taken yet: what the contacts read from then on, and since when.
pub(crate) fn take_change() -> Option<(u8, u64)> {
    critical_section::with(|section| SEEN.borrow_ref_mut(section).changes.pop_front())
}
