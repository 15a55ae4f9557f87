//! The keypad on the Cortex-M3 board that QEMU emulates (`lm3s6965evb`). It only wires: pins, two serial lines, the
//! display, the memory and a tick to [`Device`]. The pins stand in [`pins`]; `unsafe` stands in [`bare`] alone.
#![no_std]
#![no_main]

#[allow(unsafe_code)]
mod bare;
mod bus;
mod display;
mod keys;
mod pins;
mod uart;

use bare::Block;
use bevelbook_emulated::clock;
use bevelbook_emulated::memory::{Memory, memory};
use bevelbook_emulated::registers::Registers;
use bevelbook_keypad::clock::ClockChip;
use bevelbook_keypad::device::{Device, LAYOUT};
use bus::Bus;
use cortex_m_rt::{entry, exception};
use display::Display;
use static_cell::StaticCell;

/// What the console calls it until it is adopted.
const NAME: &str = "emulated";

/// The processor's clock after reset, in ticks a millisecond.
const TICKS_A_MS: u32 = 12_500;

#[entry]
fn main() -> ! {
    clocks_on();
    uart::start_log();
    keys::start();
    bevelbook_emulated::begin(uart::log, TICKS_A_MS);
    defmt::info!("start of {=u64:016x}", chip_id());
    let (display, device) = parts();
    // QEMU's controller of this chip does not tell that nobody answers, so that no clock would be one that stands still.
    let no_clock = None::<ClockChip<Bus>>;
    bevelbook_emulated::work(device, uart::start_console(), no_clock, |device| display.show(device))
}

/// The display and the device, each in its place in RAM. Out of line, for what is copied there stands on the stack first.
#[inline(never)]
fn parts() -> (&'static mut Display, &'static mut Device<Memory<Bus>>) {
    static DISPLAY: StaticCell<Display> = StaticCell::new();
    static DEVICE: StaticCell<Device<Memory<Bus>>> = StaticCell::new();
    let display = DISPLAY.init_with(Display::start);
    (display, DEVICE.init_with(|| Device::new(memory(Bus::start()), LAYOUT, NAME, chip_id())))
}

/// The devices' clocks.
fn clocks_on() {
    /// UART0, UART1, SSI0, I2C0.
    const DEVICES: u32 = 1 | 1 << 1 | 1 << 4 | 1 << 12;
    /// Ports A to F.
    const PORTS: u32 = 0x3f;
    Block::System.set(0x104, DEVICES);
    Block::System.set(0x108, PORTS);
    // Pins that a device drives: A0, A1 UART0; A2, A5 SSI0; B2, B3 I2C, open drain; D2, D3 UART1.
    for (port, bits) in [(Block::PortA, 0x27), (Block::PortB, 0x0c), (Block::PortD, 0x0c)] {
        port.set(0x420, bits);
        port.set(0x51c, bits);
    }
    Block::PortB.set(0x50c, 0x08);
}

/// The chip's two numbers, which differ from chip to chip.
fn chip_id() -> u64 {
    u64::from(Block::System.read(0x1e0)) << 32 | u64::from(Block::System.read(0x1e4))
}

#[exception]
fn SysTick() {
    clock::tick(keys::closed());
}

#[unsafe(no_mangle)]
#[allow(unsafe_code, reason = "the table of vectors knows the handler by its name")]
extern "C" fn Uart0() {
    uart::receive();
}
