//! The keypad on the Cortex-M3 board that QEMU emulates (`lm3s6965evb`). It only wires: pins, two serial lines, the
//! display, the memory and a tick to [`Device`]. The pins stand in [`pins`]; `unsafe` stands in [`bare`] alone.
#![no_std]
#![no_main]

#[allow(unsafe_code)]
mod bare;
mod clock;
mod display;
mod keys;
mod memory;
mod meter;
mod pins;
mod uart;

use bare::Block;
use bevelbook_core::link::pump;
use bevelbook_keypad::device::{Device, LAYOUT};
use cortex_m::peripheral::{Peripherals, SCB};
use cortex_m_rt::{entry, exception};
use display::Display;
use memory::Eeprom;
use meter::Lap;
use static_cell::StaticCell;

/// What the console calls it until it is adopted.
const NAME: &str = "emulated";

#[entry]
fn main() -> ! {
    clocks_on();
    bare::serve_log();
    defmt::info!("start of {=u64:016x}", chip_id());
    keys::start();
    // The only call: it never returns.
    if let Some(processor) = Peripherals::take() {
        clock::start(processor.SYST);
    }
    let (display, device) = parts();
    let mut console = uart::Console::start();
    device.open();
    meter::booted();
    let mut lap = Lap::default();
    let mut levels = 0;
    loop {
        device.stir(clock::ticks() as u32);
        lap.begin();
        take_keys(device, &mut levels);
        lap.taken();
        if device.redraw(clock::now_ms()) {
            display.show(device);
            lap.shown();
        }
        let Ok(moved) = pump(&mut console, device, clock::now_ms()) else { continue };
        if console.take_sent() {
            lap.sent();
        }
        if !moved && !console.waits() {
            // The tick or a byte wakes it.
            cortex_m::asm::wfi();
        }
    }
}

/// The display and the device, each in its place in RAM. Out of line, for what is copied there stands on the stack first.
#[inline(never)]
fn parts() -> (&'static mut Display, &'static mut Device<Eeprom>) {
    static DISPLAY: StaticCell<Display> = StaticCell::new();
    static DEVICE: StaticCell<Device<Eeprom>> = StaticCell::new();
    let display = DISPLAY.init_with(Display::start);
    (display, DEVICE.init_with(|| Device::new(Eeprom::start(), LAYOUT, NAME, chip_id())))
}

/// Gives the device what the contacts did, at the times at which they did it. `before` is what it was given last.
fn take_keys(device: &mut Device<Eeprom>, before: &mut u8) {
    while let Some((closed, at_ms)) = keys::take_change() {
        device.keys(*before, at_ms);
        device.keys(closed, at_ms);
        *before = closed;
    }
    device.keys(*before, clock::now_ms());
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
    clock::tick();
}

#[unsafe(no_mangle)]
#[allow(unsafe_code, reason = "the table of vectors knows the handler by its name")]
extern "C" fn Uart0() {
    uart::receive();
}

/// What was saved is safe: it starts again.
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    defmt::error!("a defect: it starts again");
    SCB::sys_reset()
}
