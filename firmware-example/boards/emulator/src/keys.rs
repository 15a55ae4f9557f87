//! The contacts of the keys, looked at every millisecond by the tick's interrupt, so that no press is missed while a
//! card is written to the memory.

use crate::pins::{KEYS, Pin};
use core::cell::RefCell;
use critical_section::Mutex;
use heapless::Deque;

const DIRECTION: u32 = 0x400;
const DIGITAL: u32 = 0x51c;
const PULL_UP: u32 = 0x510;

/// What the contacts read from which time on, oldest first; and what they read last. A contact bounces some dozen
/// times at most; what is beyond the queue is lost and the last state stays right.
struct Seen {
    changes: Deque<(u8, u64), 32>,
    last: u8,
}

static SEEN: Mutex<RefCell<Seen>> = Mutex::new(RefCell::new(Seen { changes: Deque::new(), last: 0 }));

/// Makes a pin an output.
pub(crate) fn output(pin: Pin) {
    pin.port.set(DIRECTION, 1 << pin.bit);
    pin.port.set(DIGITAL, 1 << pin.bit);
}

/// Makes the pins of the keys inputs that read high while a contact is open.
pub(crate) fn start() {
    for pin in KEYS {
        let bit = 1 << pin.bit;
        // The emulator's pins read low until something drives them: they are driven high once, as outputs. The
        // resistors that the chip has do this on a board.
        output(pin);
        pin.port.write(bit << 2, bit);
        pin.port.set(PULL_UP, bit);
        pin.port.clear(DIRECTION, bit);
    }
}

/// Which contacts are closed.
fn closed() -> u8 {
    let low = |pin: Pin| pin.port.read(1 << pin.bit << 2) == 0;
    (0..).zip(KEYS).filter(|(_, pin)| low(*pin)).fold(0, |closed, (n, _)| closed | 1 << n)
}

/// Looks at the contacts.
pub(crate) fn look(now_ms: u64) {
    let closed = closed();
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
