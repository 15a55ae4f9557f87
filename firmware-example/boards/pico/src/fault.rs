//! What happens after a defect: a panic, a fault of the processor, an interrupt that nothing handles. The board starts again
//! at once, its controllers and buses with it; when its loop stands still the watchdog starts it. What was saved is saved, and
//! the screen comes back to the step in hand. What is kept of a defect, and how long to stand still where one follows on the
//! other, is the library's ([`bevelbook_keypad::defect`]).

use bevelbook_cortex::Defect;
use bevelbook_keypad::defect::WORDS;
use embassy_rp::Peripherals;
use embassy_rp::watchdog::{ResetReason, Watchdog};
use embassy_time::{Duration, Instant};

/// The watchdog's scratch registers in which a defect is kept: those that the boot ROM has no use for, but where the fourth
/// holds a word of its own (RP2040 data sheet, 2.8.1.1).
const KEPT: [usize; WORDS] = [0, 1, 2, 3, 5, 6];

/// The longest that the watchdog waits for (RP2040 data sheet, 4.7.1: 8.3 s).
const PAUSE_MOST_MS: u32 = 8_000;

/// What leads here.
#[allow(unsafe_code, reason = "the table of vectors calls handlers, and nobody else")]
mod handlers {
    bevelbook_cortex::handlers!(super::start_again);
}

/// What was kept, when `act` is done with it.
fn kept<T>(watchdog: &mut Watchdog, act: impl FnOnce(&mut [u32; WORDS]) -> T) -> T {
    let mut words = KEPT.map(|place| watchdog.get_scratch(place));
    let done = act(&mut words);
    KEPT.iter().zip(words).for_each(|(place, word)| watchdog.set_scratch(*place, word));
    done
}

#[inline(never)]
fn start_again(defect: Defect) -> ! {
    #[allow(unsafe_code, reason = "nothing else runs any more")]
    // SAFETY: interrupts are off for good, so nobody else has hold of it.
    let mut watchdog = Watchdog::new(unsafe { Peripherals::steal() }.WATCHDOG);
    let pause_ms = kept(&mut watchdog, |words| defect.note(words, Instant::now().as_millis()));
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

/// Logs why the board was started, if a defect was the reason. How many in a row were.
pub(crate) fn take(watchdog: &mut Watchdog) -> u8 {
    let told = kept(watchdog, bevelbook_cortex::tell);
    if told.is_none() && matches!(watchdog.reset_reason(), Some(ResetReason::TimedOut)) {
        defmt::warn!("its loop stood still: the watchdog started it");
    }
    told.unwrap_or(0)
}
