//! What happens after a defect, a panic or a fault of the processor, in an interrupt or not: the board starts again at once,
//! or after a while where it keeps happening, its display on. What was saved is saved, and the screen comes back to the step
//! in hand. Where it was lies in RAM that no start clears, and is logged then.

use crate::clock;
use bevelbook_cortex::Defect;
use bevelbook_keypad::defect::WORDS;
use cortex_m::peripheral::{Peripherals, SCB};

bevelbook_cortex::handlers!(start_again);

unsafe extern "C" {
    /// Behind the stack, in none of the image's sections: no start clears it.
    static mut __kept: [u32; WORDS];
}

/// What was kept, when `act` is done with it.
fn kept<T>(act: impl FnOnce(&mut [u32; WORDS]) -> T) -> T {
    let place = &raw mut __kept;
    // SAFETY: RAM of that size which nothing else uses; nobody refers to it, and any words are words.
    let mut words = unsafe { place.read_volatile() };
    let done = act(&mut words);
    // SAFETY: as before.
    unsafe { place.write_volatile(words) };
    done
}

/// How many defects in a row ended a start, which is logged.
pub(crate) fn tell() -> u8 {
    kept(bevelbook_cortex::tell).unwrap_or(0)
}

fn start_again(defect: Defect) -> ! {
    let pause_ms = kept(|words| defect.note(words, clock::now_ms()));
    if pause_ms > 0 {
        // SAFETY: interrupts are off for good, so nobody else has hold of the tick.
        clock::stand_still(&mut unsafe { Peripherals::steal() }.SYST, pause_ms);
    }
    SCB::sys_reset()
}
