//! The tick: milliseconds since the start, and a finer count for measuring.

use crate::keys;
use core::cell::Cell;
use core::sync::atomic::{AtomicU32, Ordering};
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m::peripheral::{Peripherals, SYST};
use critical_section::Mutex;
use embedded_hal::delay::DelayNs;

static NOW_MS: Mutex<Cell<u64>> = Mutex::new(Cell::new(0));
static TICKS_A_MS: AtomicU32 = AtomicU32::new(0);

fn ticks_a_ms() -> u32 {
    TICKS_A_MS.load(Ordering::Relaxed)
}

/// Starts the tick.
pub(crate) fn start(ticks_a_ms: u32) {
    TICKS_A_MS.store(ticks_a_ms, Ordering::Relaxed);
    // The only call: there is one start.
    if let Some(mut processor) = Peripherals::take() {
        count(&mut processor.SYST, ticks_a_ms);
        processor.SYST.enable_interrupt();
    }
}

/// Counts milliseconds.
fn count(ticks: &mut SYST, ticks_a_ms: u32) {
    ticks.set_clock_source(SystClkSource::Core);
    ticks.set_reload(ticks_a_ms - 1);
    ticks.clear_current();
    ticks.enable_counter();
}

/// The interrupt of the tick, with the contacts that are closed.
pub fn tick(closed: u8) {
    let now_ms = critical_section::with(|section| {
        let now = NOW_MS.borrow(section);
        now.set(now.get() + 1);
        now.get()
    });
    keys::look(closed, now_ms);
}

/// Milliseconds since the start.
pub(crate) fn now_ms() -> u64 {
    critical_section::with(|section| NOW_MS.borrow(section).get())
}

/// Ticks since the start, while no millisecond is being counted.
pub(crate) fn ticks() -> u64 {
    loop {
        let before = now_ms();
        let gone = ticks_a_ms() - 1 - SYST::get_current();
        if before == now_ms() {
            return before * u64::from(ticks_a_ms()) + u64::from(gone);
        }
    }
}

/// Waits with interrupts off, for whoever never returns and has the tick to itself.
pub(crate) fn stand_still(ticks: &mut SYST, ms: u32) {
    ticks.disable_interrupt();
    let ticks_a_ms = match ticks_a_ms() {
        // A defect before the clock was started is waited for by a clock of 16 MHz.
        0 => 16_000,
        known => known,
    };
    count(ticks, ticks_a_ms);
    for _ in 0..ms {
        while !ticks.has_wrapped() {}
    }
}

/// Waiting for the memory.
#[derive(Debug)]
pub struct Delay;

impl DelayNs for Delay {
    fn delay_ns(&mut self, ns: u32) {
        let until = ticks() + u64::from(ns.div_ceil(1000) * ticks_a_ms().div_ceil(1000));
        while ticks() < until {}
    }
}
