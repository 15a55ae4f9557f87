//! What happens after a defect, a panic or a fault of the processor, in an interrupt or not: the board starts again at once,
//! or after a while where it keeps happening, its display on. What was saved is saved, and the screen comes back to the step
//! in hand. Where it was lies in RAM that no start clears, and is logged then.

use crate::clock;
use bevelbook_keypad::defect::{self, Trap, WORDS};
use core::panic::PanicInfo;
use core::{iter, ptr};
use cortex_m::peripheral::{Peripherals, SCB};
use cortex_m::register::msp;
use cortex_m_rt::{ExceptionFrame, exception};

/// How many words of the stack are looked at.
const LOOKED_AT: usize = 256;

unsafe extern "C" {
    static __stext: u32;
    static __etext: u32;
    static __sdata: u32;
    static _stack_start: u32;
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

/// Logs what ended the start before, if it was a defect, and says how many ended a start in a row.
pub(crate) fn tell() -> u8 {
    let Some(found) = kept(defect::take) else { return 0 };
    let [a, b, c, d] = found.places;
    defmt::warn!(
        "started after a defect ({}, {=u8} in a row), called from {=u32:x} {=u32:x} {=u32:x} {=u32:x}",
        found.kind,
        found.in_a_row,
        a,
        b,
        c,
        d
    );
    found.in_a_row
}

/// `at` is where the defect was and `from` what its call returns to, 0 where that is not known; the stack stands at `stack`.
fn start_again(kind: Trap, at: u32, from: u32, stack: u32) -> ! {
    cortex_m::interrupt::disable();
    let callers = defect::calls(iter::once(from).chain(words(stack)), before);
    let places = defect::first(Some(at).filter(|at| *at > 0).into_iter().chain(callers));
    let pause_ms = kept(|words| defect::note(words, kind, places, clock::now_ms()));
    if pause_ms > 0 {
        // SAFETY: interrupts are off for good, so nobody else has hold of the tick.
        clock::stand_still(&mut unsafe { Peripherals::steal() }.SYST, pause_ms);
    }
    SCB::sys_reset()
}

/// The words of the stack from `at` on.
fn words(at: u32) -> impl Iterator<Item = u32> {
    let (ram, end) = (&raw const __sdata as u32, &raw const _stack_start as u32);
    let from = if at < ram { end } else { at & !3 };
    // SAFETY: words of the stack, all of which is RAM: from where it stands to where it began, if it stands within.
    (from..end).step_by(4).take(LOOKED_AT).map(|at| unsafe { (at as *const u32).read_volatile() })
}

/// The two halfwords of code that stand before an address.
fn before(to: u32) -> Option<[u16; 2]> {
    let code = &raw const __stext as u32 + 4..&raw const __etext as u32;
    // SAFETY: two halfwords of code.
    let read = |at: u32| unsafe { (at as *const u16).read_volatile() };
    code.contains(&to).then(|| [read(to - 4), read(to - 2)])
}

#[panic_handler]
fn panicked(_: &PanicInfo<'_>) -> ! {
    start_again(Trap::Panic, 0, 0, msp::read())
}

#[exception]
unsafe fn HardFault(frame: &ExceptionFrame) -> ! {
    // What the processor put on the stack is eight words.
    start_again(Trap::Fault, frame.pc(), frame.lr(), ptr::from_ref(frame) as u32 + 32)
}

/// An interrupt that nothing handles is a defect as well.
#[exception]
unsafe fn DefaultHandler(_: i16) {
    start_again(Trap::Fault, 0, 0, msp::read())
}
