//! The main loop.

use crate::console::Console;
use crate::meter::{self, Lap};
use crate::{clock, fault, keys, log};
use bevelbook_core::link::pump;
use bevelbook_keypad::clock::ClockChip;
use bevelbook_keypad::device::Device;
use bevelbook_keypad::memory::Pages;
use embedded_hal::i2c::I2c;

/// The first thing that a board does: says how its log is sent, and how many ticks of the processor a millisecond has.
pub fn begin(send_log: fn(u8), ticks_a_ms: u32) {
    log::serve(send_log);
    clock::start(ticks_a_ms);
}

/// Runs the device for good, with a clock chip if the board has one; `show` sends what it draws to the display.
pub fn work<P: Pages, B: I2c>(
    device: &mut Device<P>,
    mut console: Console,
    mut chip: Option<ClockChip<B>>,
    mut show: impl FnMut(&Device<P>),
) -> ! {
    if device.restarted(fault::tell()) {
        show(device);
    }
    // First, for what it says is taken as of tick 0, and opening a memory takes a while. A chip that does not answer is not there.
    if let Some(Ok(utc_s)) = chip.as_mut().map(ClockChip::read) {
        device.clock(utc_s);
    }
    device.open();
    meter::booted();
    let mut lap = Lap::default();
    loop {
        device.stir(clock::ticks() as u32);
        lap.begin();
        device.keys_from(keys::take_change, clock::now_ms());
        lap.taken();
        if device.redraw(clock::now_ms()) {
            show(device);
            lap.shown();
        }
        let Ok(moved) = pump(&mut console, device, clock::now_ms()) else { continue };
        if console.take_sent() {
            lap.sent();
        }
        if let Some(utc_s) = device.told_utc_s(clock::now_ms())
            && let Some(Ok(true)) = chip.as_mut().map(|chip| chip.set(utc_s))
        {
            defmt::info!("the clock was set");
        }
        if !moved && !console.waits() {
            // The tick or a byte wakes it.
            cortex_m::asm::wfi();
        }
    }
}
