//! Counts instructions of the core's calculations on an emulated Cortex-M, beside other ways to do them.
//!
//! Under `-icount` the emulator's clock runs by instructions, not by time. The tick counter is calibrated by a run of
//! instructions of known length; each calculation is run over the same inputs, and the cost of the loop around it is
//! taken off. What is printed is the mean number of instructions a call, which is not the number of cycles.
#![no_std]
#![no_main]

mod float;
mod ours;

use core::hint::black_box;
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m::peripheral::{Peripherals, SYST};
use cortex_m_rt::entry;
use cortex_m_semihosting::debug::{self, EXIT_FAILURE, EXIT_SUCCESS};
use cortex_m_semihosting::hprintln;

/// How many inputs each calculation is run over.
const INPUTS: i32 = 60;

/// The counter's top.
const TOP: u32 = 0x00ff_ffff;

/// Instructions of known number for the calibration.
const KNOWN: u32 = 4000;

struct Counter {
    ticks: SYST,
    /// Ticks of [`KNOWN`] instructions.
    known: u32,
}

impl Counter {
    fn new(mut ticks: SYST) -> Self {
        ticks.set_clock_source(SystClkSource::Core);
        ticks.set_reload(TOP);
        ticks.clear_current();
        ticks.enable_counter();
        let mut counter = Self { ticks, known: 1 };
        let nothing = counter.ticks_of(|| ());
        let waited = counter.ticks_of(|| {
            // SAFETY: it counts a register down and touches nothing else.
            unsafe {
                core::arch::asm!("2:", "subs {left}, #1", "bne 2b", left = inout(reg) KNOWN / 2 => _);
            }
        });
        counter.known = waited - nothing;
        counter
    }

    fn ticks_of(&mut self, run: impl FnOnce()) -> u32 {
        self.ticks.clear_current();
        let before = SYST::get_current();
        run();
        before.wrapping_sub(SYST::get_current()) & TOP
    }

    /// Mean instructions of `call` over the inputs that `prepare` makes, which does not count; what measuring costs is
    /// taken off. Each call is measured by itself: the counter's width holds a million instructions.
    fn mean<I, T>(&mut self, prepare: impl Fn(i32) -> I, call: impl Fn(&I) -> T) -> u32 {
        let mut total: u64 = 0;
        for input in 0..INPUTS {
            let input = prepare(input);
            let empty = self.ticks_of(|| {
                black_box(black_box(&input));
            });
            let full = self.ticks_of(|| {
                black_box(&call(black_box(&input)));
            });
            total += u64::from(full.saturating_sub(empty));
        }
        let instructions = total * u64::from(KNOWN) / u64::from(self.known);
        ((instructions + INPUTS as u64 / 2) / INPUTS as u64) as u32
    }

    /// Stops with an error unless it holds for every input.
    fn check(&mut self, name: &str, holds: impl Fn(i32) -> bool) {
        if let Some(input) = (0..INPUTS).find(|input| !holds(*input)) {
            hprintln!("{name}: another verdict than expected of pair {input}");
            leave(false);
        }
    }

    fn row<I, T>(
        &mut self,
        name: impl core::fmt::Display,
        prepare: impl Fn(i32) -> I,
        call: impl Fn(&I) -> T,
    ) {
        let mean = self.mean(prepare, call);
        hprintln!("{mean:>7}  {name}");
    }
}

#[entry]
fn main() -> ! {
    if let Some(peripherals) = Peripherals::take() {
        let mut counter = Counter::new(peripherals.SYST);
        ours::count(&mut counter);
        float::count(&mut counter);
    }
    leave(true)
}

fn leave(well: bool) -> ! {
    loop {
        debug::exit(if well { EXIT_SUCCESS } else { EXIT_FAILURE });
    }
}

#[panic_handler]
fn panic(info: &core::panic::PanicInfo<'_>) -> ! {
    hprintln!("{info}");
    leave(false)
}
