//! The keypad on the Cortex-M33 board that QEMU emulates (`mps2-an505`), the Pico 2's processor. It only wires: three serial
//! lines, a bus with the memory and perhaps a clock on it, and a tick to [`Device`]. `unsafe` stands in [`bare`] alone.
#![no_std]
#![no_main]

#[allow(unsafe_code)]
mod bare;
mod bus;
mod display;
mod uart;

use bevelbook_emulated::clock;
use bevelbook_emulated::memory::{Memory, memory};
use bevelbook_keypad::clock::ClockChip;
use bevelbook_keypad::device::{Device, LAYOUT};
use bus::Bus;
use cortex_m_rt::{entry, exception};
use display::Display;
use static_cell::StaticCell;

/// What the console calls it until it is adopted.
const NAME: &str = "emulated";

/// The processor's clock, in ticks a millisecond.
const TICKS_A_MS: u32 = 20_000;

/// This board has no number of its own; a journal's id then follows from the times of keys alone.
const CHIP: u64 = 0x0505;

#[entry]
fn main() -> ! {
    uart::start();
    bevelbook_emulated::begin(uart::log, TICKS_A_MS);
    defmt::info!("start of {=u64:016x}", CHIP);
    let (display, device) = parts();
    // On the memory's bus.
    let chip = ClockChip::new(Bus::start());
    bevelbook_emulated::work(device, uart::start_console(), Some(chip), |device| display.show(device))
}

/// The display and the device, each in its place in RAM. Out of line, for what is copied there stands on the stack first.
#[inline(never)]
fn parts() -> (&'static mut Display, &'static mut Device<Memory<Bus>>) {
    static DISPLAY: StaticCell<Display> = StaticCell::new();
    static DEVICE: StaticCell<Device<Memory<Bus>>> = StaticCell::new();
    let display = DISPLAY.init_with(Display::start);
    (display, DEVICE.init_with(|| Device::new(memory(Bus::start()), LAYOUT, NAME, CHIP)))
}

#[exception]
fn SysTick() {
    clock::tick(uart::closed());
}

#[unsafe(no_mangle)]
#[allow(unsafe_code, reason = "the table of vectors knows the handler by its name")]
extern "C" fn Uart0Receives() {
    uart::receive();
}
