//! Interrupts of a chip's devices.

use cortex_m::interrupt::InterruptNumber;
use cortex_m::peripheral::NVIC;

/// One entry of the table of vectors.
#[derive(Clone, Copy)]
pub union Vector {
    /// What handles the interrupt.
    handler: unsafe extern "C" fn(),
    reserved: usize,
}

/// A table whose last interrupt alone is handled.
#[must_use]
pub const fn last_of<const N: usize>(handler: unsafe extern "C" fn()) -> [Vector; N] {
    let mut table = [Vector { reserved: 0 }; N];
    table[N - 1] = Vector { handler };
    table
}

/// An interrupt by its number.
#[derive(Clone, Copy)]
struct Numbered(u16);

// SAFETY: a number stays what it is.
unsafe impl InterruptNumber for Numbered {
    fn number(self) -> u16 {
        self.0
    }
}

/// Lets an interrupt of a device come.
pub fn enable(number: u16) {
    // SAFETY: no code counts on this interrupt being off; what it shares with the main loop lies in a mutex.
    unsafe { NVIC::unmask(Numbered(number)) }
}
