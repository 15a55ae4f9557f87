//! The display: an SSD1306 or an SSD1309 of 128 × 64 on the SPI bus, written to only when the screen has changed.
//!
//! 8 MHz, mode 0: both controllers take a clock of 100 ns or longer (SSD1306 data sheet, table 13-4: 10 MHz; SSD1309 alike,
//! from memory, unconfirmed). A whole picture is 1024 bytes, 1.02 ms of clock. The display sends nothing back, so a missing
//! one is not noticed here.
//!
//! One image serves both controllers, whose commands differ in two places: the SSD1309 has no charge pump and takes the
//! command for one as none of its own, and its levels of the last command in [`SET_UP`] are others.

use bevelbook_keypad::device::Device;
use bevelbook_keypad::memory::Pages;
use bevelbook_keypad::screen::{Canvas, Plane};
use embassy_rp::Peri;
use embassy_rp::gpio::{AnyPin, Level, Output};
use embassy_rp::peripherals::SPI0;
use embassy_rp::spi::{Blocking, ClkPin, Config, MosiPin, Spi};
use embassy_time::{Duration, block_for};

/// The clock of the bus, in Hz.
const CLOCK_HZ: u32 = 8_000_000;

/// How long the reset line is low, and what the controller needs after it: 3 µs each (SSD1306 data sheet, 8.9).
const RESET: Duration = Duration::from_micros(10);

/// All that a picture needs: sent before each, so that a disturbance from the machine's motor lasts until the next picture
/// and no longer. Nothing in it switches the display off, and what is as it was changes nothing (SSD1306 data sheet, tables
/// 9-1 and 10; values for the SSD1309 from memory, unconfirmed).
///
/// Left out is what one of the two controllers does not know, or knows in some of its revisions only: fading and blinking
/// (0x23), magnifying (0xd6), and the SSD1309's lock against commands (0xfd; all three from memory, unconfirmed). A
/// disturbance that by chance says exactly one of those lasts until the next start, whose reset ends it.
const SET_UP: [u8; 40] = [
    // Nothing, seven times: after a disturbance it may wait for what belongs to a command that nobody sent. Scrolling takes
    // the most, six bytes (SSD1306) or seven (SSD1309, from memory, unconfirmed).
    0xe3, 0xe3, 0xe3, 0xe3, 0xe3, 0xe3, 0xe3, //
    0x2e, // it does not scroll; what it holds is written anew behind this
    0xa3, 0x00, 0x40, // of what could, none is fixed
    0xd5, 0x80, // the clock's speed, undivided
    0xa8, 0x3f, // 64 rows
    0xd3, 0x00, // no offset,
    0x40, // from the first row on
    0x8d, 0x14, // the charge pump of an SSD1306
    0x20, 0x00, // bytes go along a page, then to the next,
    0x21, 0x00, 0x7f, // from the first column to the last,
    0x22, 0x00, 0x07, // from the first page to the last
    0xa1, 0xc8, // upright with the plug above; 0xa0, 0xc0 turn it round
    0xda, 0x12, // how such a glass is wired
    0x81, 0x9f, // contrast, of 255
    0xd9, 0xf1, // phases of a pixel's charge
    0xa4, 0xa6, // what the memory holds, a set bit lit
    0xdb, 0x34, // a level: 0.83 of the supply for an SSD1306, 0.78 for an SSD1309
];

/// On; sent behind each picture, so that what the memory holds at the start is never seen.
const ON: [u8; 1] = [0xaf];

/// The display and what is to show on it.
pub(crate) struct Display {
    bus: Spi<'static, SPI0, Blocking>,
    select: Output<'static>,
    /// Whether data follow, or a command.
    data: Output<'static>,
    canvas: Canvas<[Plane; 0]>,
}

/// Resets the display, which is off then. `levels`: chip select, command or data, reset.
pub(crate) fn start(
    spi: Peri<'static, SPI0>,
    clock: Peri<'static, impl ClkPin<SPI0>>,
    data: Peri<'static, impl MosiPin<SPI0>>,
    levels: [Peri<'static, AnyPin>; 3],
) -> Display {
    let [select, command, reset] = levels;
    let mut config = Config::default();
    config.frequency = CLOCK_HZ;
    let mut reset = Output::new(reset, Level::Low);
    block_for(RESET);
    reset.set_high();
    block_for(RESET);
    // Its level stays when nobody holds the pin.
    core::mem::forget(reset);
    Display {
        bus: Spi::new_blocking_txonly(spi, clock, data, config),
        select: Output::new(select, Level::High),
        data: Output::new(command, Level::Low),
        canvas: Canvas::black_and_white(),
    }
}

impl Display {
    /// Shows what the device shows.
    pub(crate) fn show<P: Pages>(&mut self, device: &Device<P>) {
        device.draw(&mut self.canvas);
        let picture: &Canvas = &self.canvas;
        for (data, bytes) in [(false, &SET_UP[..]), (true, picture.pages().as_flattened()), (false, &ON)] {
            self.data.set_level(data.into());
            self.select.set_low();
            if self.bus.blocking_write(bytes).is_err() {
                defmt::warn!("the display was not written to");
            }
            self.select.set_high();
        }
    }
}
