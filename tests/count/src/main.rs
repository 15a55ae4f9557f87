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

    /// Mean instructions of `call` over the inputs, the loop taken off; a loop that would pass the counter's top is
    /// cut into single calls by the counter's width, which holds a million instructions.
    fn mean<T>(&mut self, call: impl Fn(i32) -> T) -> u32 {
        let mut total: u64 = 0;
        for input in 0..INPUTS {
            let empty = self.ticks_of(|| {
                black_box(black_box(input));
            });
            let full = self.ticks_of(|| {
                black_box(call(black_box(input)));
            });
            total += u64::from(full.saturating_sub(empty));
        }
        let instructions = total * u64::from(KNOWN) / u64::from(self.known);
        ((instructions + INPUTS as u64 / 2) / INPUTS as u64) as u32
    }

    fn row<T>(&mut self, name: &str, call: impl Fn(i32) -> T) {
        let mean = self.mean(call);
        hprintln!("{name:<44} {mean:>7}");
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

/// An angle in 1/1000 degree for each input, never a whole degree.
fn odd_angle(input: i32) -> i32 {
    input * 5977 + 123
}
