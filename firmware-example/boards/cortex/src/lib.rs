//! What the keypad's boards with a Cortex-M share: what leads to a defect's end, a panic, a fault of the processor and an
//! interrupt that nothing handles, and where it was. A board says with [`handlers!`] what starts it again; that calls
//! [`Defect::note`] on the words that no start clears, and the next start [`tell`].
#![no_std]

use bevelbook_keypad::defect::{self, Trap, WORDS};
use core::{iter, ptr};
use cortex_m::register::msp;
use cortex_m_rt::ExceptionFrame;

/// How many words of the stack are looked at.
const LOOKED_AT: usize = 256;

unsafe extern "C" {
    static __stext: u32;
    static __etext: u32;
    static __sdata: u32;
    static _stack_start: u32;
}

/// A defect that has just come.
#[derive(Clone, Copy, Debug)]
pub struct Defect {
    kind: Trap,
    /// Where it was, and what its call returns to; 0 where that is not known.
    at: u32,
    from: u32,
    /// Where the stack stands.
    stack: u32,
}

impl Defect {
    /// A panic. Interrupts are off from then on.
    #[must_use]
    pub fn panic() -> Self {
        Self::here(Trap::Panic)
    }

    /// A fault of the processor, of which it has put eight words on the stack.
    #[must_use]
    pub fn fault(frame: &ExceptionFrame) -> Self {
        let stack = ptr::from_ref(frame) as u32 + 32;
        Self { at: frame.pc(), from: frame.lr(), stack, ..Self::here(Trap::Fault) }
    }

    /// An interrupt that nothing handles.
    #[must_use]
    pub fn unexpected() -> Self {
        Self::here(Trap::Fault)
    }

    fn here(kind: Trap) -> Self {
        cortex_m::interrupt::disable();
        Self { kind, at: 0, from: 0, stack: msp::read() }
    }

    /// Notes it in the words that are kept, at the end of a start that has run for `ran_ms`. How long to stand still before
    /// starting again, in milliseconds.
    #[must_use]
    pub fn note(self, kept: &mut [u32; WORDS], ran_ms: u64) -> u32 {
        let callers = defect::calls(iter::once(self.from).chain(words(self.stack)), before);
        let places = defect::first(Some(self.at).filter(|at| *at > 0).into_iter().chain(callers));
        defect::note(kept, self.kind, places, ran_ms)
    }
}

/// Logs what ended the start before, if it was a defect, and says how many ended a start in a row.
pub fn tell(kept: &mut [u32; WORDS]) -> Option<u8> {
    let found = defect::take(kept)?;
    let [a, b, c, d] = found.places;
    defmt::warn!(
        "started after a defect, number {=u8} in a row: {}, called from {=u32:x} {=u32:x} {=u32:x} {=u32:x}",
        found.in_a_row,
        found.kind,
        a,
        b,
        c,
        d
    );
    Some(found.in_a_row)
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

/// Hands every defect to a function of the board's, `fn(Defect) -> !`. Where it stands, `unsafe` is allowed.
#[macro_export]
macro_rules! handlers {
    ($start_again:path) => {
        #[panic_handler]
        fn panicked(_: &core::panic::PanicInfo<'_>) -> ! {
            $start_again($crate::Defect::panic())
        }

        #[cortex_m_rt::exception]
        unsafe fn HardFault(frame: &cortex_m_rt::ExceptionFrame) -> ! {
            $start_again($crate::Defect::fault(frame))
        }

        #[cortex_m_rt::exception]
        unsafe fn DefaultHandler(_: i16) {
            $start_again($crate::Defect::unexpected())
        }
    };
}
