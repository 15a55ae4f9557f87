//! The keypad on a Raspberry Pi Pico or a Pico 2: five keys, a display of 128 × 64, a memory chip, and a serial port over USB.
//!
//! All that the keypad does is in `bevelbook-keypad`; this crate only wires. The loop runs whenever an interrupt wakes it,
//! every 2 ms at the latest: keys, link, screen. It may wait for the memory chip, so what has no time to wait runs from an
//! interrupt beside it. Should the loop stand still, the watchdog starts the board again; what was saved is saved.
//!
//! - `pins`: the table of wires, from which the guide's table and drawing are made too; `wiring` takes the pins.
//! - `chip`: where the two boards differ. `display`, `memory`: the chips on its buses.
//! - `beside`: what runs beside the loop: `usb`, the serial port; `keys`; `buzzer`.
//! - `fault`: what happens after a defect.
#![no_std]
#![no_main]

mod beside;
mod buzzer;
mod chip;
mod display;
mod fault;
mod keys;
mod memory;
#[macro_use]
mod pins;
mod usb;
#[macro_use]
mod wiring;

use bevelbook_core::link::pump;
use bevelbook_keypad::device::{Device, LAYOUT};
use defmt_rtt as _;
use display::Display;
use embassy_rp::clocks::RoscRng;
use embassy_rp::watchdog::Watchdog;
use embassy_time::{Duration, Instant};
use static_cell::StaticCell;
use wiring::Wires;

/// How long the loop may stand still: more than erasing a whole memory takes, and about the watchdog's longest.
const STUCK: Duration = Duration::from_secs(8);

#[cortex_m_rt::entry]
fn main() -> ! {
    let board = embassy_rp::init(embassy_rp::config::Config::default());
    let wires: Wires = wires_of!(board);
    let mut watchdog = Watchdog::new(board.WATCHDOG);
    watchdog.pause_on_debug(true);
    watchdog.start(STUCK);
    let id = chip::id(board.FLASH);
    defmt::info!("start of {=u64:016x}", id);
    let defects = fault::take(&mut watchdog);

    let beside = beside::start();
    // In the order of the library's keys.
    keys::start(
        beside,
        [
            wires.key_up.into(),
            wires.key_down.into(),
            wires.key_left.into(),
            wires.key_right.into(),
            wires.key_centre.into(),
        ],
    );
    buzzer::start(beside, board.PWM_SLICE1, wires.buzzer);
    let mut port = usb::start(beside, board.USB, id);
    let (clock, data) = (wires.display_clock, wires.display_data);
    let levels = [wires.display_select.into(), wires.display_command.into(), wires.display_reset.into()];
    let display = placed_display(|| display::start(board.SPI0, clock, data, levels));
    let (pages, mut clock) = memory::start(board.I2C0, wires.memory_clock, wires.memory_data);
    let device = placed_device(pages, id ^ noise());
    if device.restarted(defects) {
        display.show(device);
    }
    // Where there is no clock, nothing is said.
    if let Ok(utc_s) = clock.read() {
        device.clock(utc_s);
    }
    device.open();

    loop {
        let now_ms = Instant::now().as_millis();
        device.stir(Instant::now().as_ticks() as u32);
        device.keys_from(keys::take_change, now_ms);
        // The port never fails: bytes that nobody takes are dropped.
        let _ = pump(&mut port, device, now_ms);
        if device.redraw(now_ms) {
            display.show(device);
        }
        if let Some(sound) = device.sound() {
            buzzer::sound(sound);
        }
        if let Some(utc_s) = device.told_utc_s(now_ms)
            && clock.set(utc_s) == Ok(true)
        {
            defmt::info!("the clock was set");
        }
        watchdog.feed(STUCK);
        cortex_m::asm::wfi();
    }
}

/// The display in its place in RAM. Out of line, as [`placed_device`]: what is copied there stands on the stack first.
#[inline(never)]
fn placed_display(start: impl FnOnce() -> Display) -> &'static mut Display {
    static DISPLAY: StaticCell<Display> = StaticCell::new();
    DISPLAY.init_with(start)
}

/// The device in its place in RAM.
#[inline(never)]
fn placed_device(pages: memory::Chip, entropy: u64) -> &'static mut Device<memory::Chip> {
    static DEVICE: StaticCell<Device<memory::Chip>> = StaticCell::new();
    DEVICE.init_with(|| Device::new(pages, LAYOUT, chip::NAME, entropy))
}

/// Bits of the ring oscillator; not enough for secrets, and one of three sources of a journal's id.
fn noise() -> u64 {
    let mut bytes = [0; 8];
    RoscRng.fill_bytes(&mut bytes);
    u64::from_be_bytes(bytes)
}
