//! What happens after a defect: a panic, or a fault of the processor. The board starts again at once, its controllers and
//! buses with it; when its loop stands still the watchdog starts it. What was saved is saved, and the screen comes back to
//! the step in hand. What is kept of a defect, and how long to stand still where one follows on the other, is the library's
//! ([`bevelbook_keypad::defect`]).

use bevelbook_keypad::defect::{self, PLACES, Trap, WORDS};
use core::panic::PanicInfo;
use cortex_m_rt::{ExceptionFrame, exception};
use embassy_rp::Peripherals;
use embassy_rp::watchdog::{ResetReason, Watchdog};
use embassy_time::{Duration, Instant};

/// The watchdog's scratch registers in which a defect is kept: those that the boot ROM has no use for, but where the fourth
/// holds a word of its own (RP2040 data sheet, 2.8.1.1).
const KEPT: [usize; WORDS] = [0, 1, 2, 3, 5, 6];

/// How many words of the stack are looked at.
const LOOKED_AT: usize = 256;

/// The longest that the watchdog waits for (RP2040 data sheet, 4.7.1: 8.3 s).
const PAUSE_MOST_MS: u32 = 8_000;

#[allow(unsafe_code, reason = "places that the linker knows; only their addresses are taken")]
unsafe extern "C" {
    static __stext: u32;
    static __etext: u32;
    static _stack_start: u32;
}

#[panic_handler]
fn panicked(_: &PanicInfo<'_>) -> ! {
    let here = 0_u32;
    start_again(Trap::Panic, None, &raw const here as usize)
}

#[exception]
#[allow(unsafe_code, reason = "the table of vectors calls it, and nobody else")]
unsafe fn HardFault(frame: &ExceptionFrame) -> ! {
    // What it was at, and who called that, as far as the processor knows.
    start_again(Trap::Fault, Some([frame.pc(), frame.lr()]), &raw const *frame as usize)
}

/// Keeps where it was, whose stack begins at `stack`, and starts the board again.
#[inline(never)]
fn start_again(kind: Trap, known: Option<[u32; 2]>, stack: usize) -> ! {
    cortex_m::interrupt::disable();
    #[allow(unsafe_code, reason = "nothing else runs any more")]
    // SAFETY: interrupts are off for good, so nobody else has hold of it.
    let mut watchdog = Watchdog::new(unsafe { Peripherals::steal() }.WATCHDOG);
    let at = known.map(|[at, _]| at);
    let from = defect::calls(known.map(|[_, from]| from).into_iter().chain(words(stack)), before);
    let places: [u32; PLACES] = defect::first(at.into_iter().chain(from));
    let mut kept = KEPT.map(|place| watchdog.get_scratch(place));
    let pause_ms = defect::note(&mut kept, kind, places, Instant::now().as_millis());
    KEPT.iter().zip(kept).for_each(|(place, word)| watchdog.set_scratch(*place, word));
    if pause_ms == 0 {
        watchdog.trigger_reset();
    } else {
        watchdog.start(Duration::from_millis(pause_ms.min(PAUSE_MOST_MS).into()));
    }
    // Nothing wakes it but the restart.
    #[allow(unsafe_code, reason = "as above")]
    // SAFETY: as above.
    let lines = unsafe { cortex_m::Peripherals::steal() }.NVIC;
    for lines in &lines.icer[..2] {
        #[allow(unsafe_code, reason = "interrupts that are off disturb nothing")]
        // SAFETY: no code counts on one being on any more.
        unsafe {
            lines.write(u32::MAX);
        }
    }
    loop {
        cortex_m::asm::wfi();
    }
}

/// The words of the stack from `begin` on, innermost first.
fn words(begin: usize) -> impl Iterator<Item = u32> {
    let begin = begin.next_multiple_of(4);
    let end = (&raw const _stack_start as usize).min(begin.saturating_add(4 * LOOKED_AT));
    #[allow(unsafe_code, reason = "the stack is read as words")]
    // SAFETY: a word of the stack, all of which is RAM.
    (begin..end).step_by(4).map(|at| unsafe { core::ptr::read_volatile(at as *const u32) })
}

/// The two halfwords of code before an address.
fn before(address: u32) -> Option<[u16; 2]> {
    let to = address as usize;
    let code = &raw const __stext as usize + 4..&raw const __etext as usize;
    #[allow(unsafe_code, reason = "code is read as halfwords")]
    // SAFETY: two halfwords of code.
    let read = |at: usize| unsafe { core::ptr::read_volatile(at as *const u16) };
    (to & 1 == 0 && code.contains(&to)).then(|| [read(to - 4), read(to - 2)])
}

/// Logs why the board was started, if a defect was the reason. How many in a row were.
pub(crate) fn take(watchdog: &mut Watchdog) -> u8 {
    let mut kept = KEPT.map(|place| watchdog.get_scratch(place));
    let defect = defect::take(&mut kept);
    KEPT.iter().zip(kept).for_each(|(place, word)| watchdog.set_scratch(*place, word));
    match (&defect, watchdog.reset_reason()) {
        (Some(defect), _) => {
            let [a, b, c, d] = defect.places;
            defmt::warn!(
                "started after a defect, number {=u8} in a row: {}, called from {=u32:x} {=u32:x} {=u32:x} {=u32:x}",
                defect.in_a_row,
                defect.kind,
                a,
                b,
                c,
                d
            );
        }
        (None, Some(ResetReason::TimedOut)) => {
            defmt::warn!("its loop stood still: the watchdog started it");
        }
        (None, _) => {}
    }
    defect.map_or(0, |defect| defect.in_a_row)
}
