//! The tick: milliseconds since the start, and a finer count for measuring.

use crate::keys;
use core::cell::Cell;
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;
use critical_section::Mutex;

/// The processor's clock after reset, in ticks a millisecond.
pub(crate) const TICKS_A_MS: u32 = 12_500;

static NOW_MS: Mutex<Cell<u64>> = Mutex::new(Cell::new(0));

/// Starts the tick.
pub(crate) fn start(mut ticks: SYST) {
    ticks.set_clock_source(SystClkSource::Core);
    ticks.set_reload(TICKS_A_MS - 1);
    ticks.clear_current();
    ticks.enable_counter();
    ticks.enable_interrupt();
}

/// The interrupt of the tick.
pub(crate) fn tick() {
    let now_ms = critical_section::with(|section| {
        let now = NOW_MS.borrow(section);
        now.set(now.get() + 1);
        now.get()
    });
    keys::look(now_ms);
}

/// Milliseconds since the start.
pub(crate) fn now_ms() -> u64 {
    critical_section::with(|section| NOW_MS.borrow(section).get())
}

/// Ticks since the start, while no millisecond is being counted.
pub(crate) fn ticks() -> u64 {
    loop {
        let before = now_ms();
        let gone = TICKS_A_MS - 1 - SYST::get_current();
        if before == now_ms() {
            return before * u64::from(TICKS_A_MS) + u64::from(gone);
        }
    }
}
