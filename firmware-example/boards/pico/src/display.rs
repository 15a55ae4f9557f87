//! The display: an SSD1306 of 128 × 64 on the SPI bus, written to only when the screen has changed.
//!
//! 8 MHz, mode 0: the controller takes a clock of 100 ns or longer (SSD1306 data sheet, table 13-4: 10 MHz). A whole
//! picture is 1024 bytes, 1.02 ms of clock. The display sends nothing back, so a missing one is not noticed here.

use bevelbook_keypad::device::Device;
use bevelbook_keypad::memory::Pages;
use bevelbook_keypad::screen::{Canvas, HEIGHT, Plane, WIDTH};
use embassy_rp::Peri;
use embassy_rp::gpio::{AnyPin, Level, Output};
use embassy_rp::peripherals::SPI0;
use embassy_rp::spi::{Blocking, ClkPin, Config, MosiPin, Spi};
use embassy_time::Delay;
use embedded_hal_bus::spi::ExclusiveDevice;
use ssd1306::Ssd1306;
use ssd1306::command::AddrMode;
use ssd1306::mode::BasicMode;
use ssd1306::prelude::{DisplayRotation, DisplaySize128x64, SPIInterface};

/// The clock of the bus, in Hz.
const CLOCK_HZ: u32 = 8_000_000;

type Bus = ExclusiveDevice<Spi<'static, SPI0, Blocking>, Output<'static>, Delay>;
type Chip = Ssd1306<SPIInterface<Bus, Output<'static>>, DisplaySize128x64, BasicMode>;

/// The display and what is to show on it.
pub(crate) struct Display {
    chip: Chip,
    canvas: Canvas<[Plane; 0]>,
}

/// Resets the display and clears it. `levels`: chip select, command or data, reset.
pub(crate) fn start(
    spi: Peri<'static, SPI0>,
    clock: Peri<'static, impl ClkPin<SPI0>>,
    data: Peri<'static, impl MosiPin<SPI0>>,
    levels: [Peri<'static, AnyPin>; 3],
) -> Display {
    let [select, command, reset] = levels;
    let mut config = Config::default();
    config.frequency = CLOCK_HZ;
    let bus = Spi::new_blocking_txonly(spi, clock, data, config);
    let Ok(device) = ExclusiveDevice::new(bus, Output::new(select, Level::High), Delay);
    let interface = SPIInterface::new(device, Output::new(command, Level::Low));
    let mut chip = Ssd1306::new(interface, DisplaySize128x64, DisplayRotation::Rotate0);
    let mut reset = Output::new(reset, Level::High);
    let done = chip.reset(&mut reset, &mut Delay).is_ok();
    // Its level stays when nobody holds the pin.
    core::mem::forget(reset);
    let mut display = Display { chip, canvas: Canvas::black_and_white() };
    if !done || !display.send() {
        defmt::warn!("the display was not set up");
    }
    display
}

impl Display {
    /// Shows what the device shows.
    pub(crate) fn show<P: Pages>(&mut self, device: &Device<P>) {
        device.draw(&mut self.canvas);
        if !self.send() {
            defmt::warn!("the display was not written to");
        }
    }

    /// Sends the picture, and whether that succeeded. The display is set up anew each time, for some 30 bytes: a disturbance
    /// from the machine's motor lasts until the next picture and no longer.
    fn send(&mut self) -> bool {
        let canvas: &Canvas = &self.canvas;
        self.chip.init_with_addr_mode(AddrMode::Horizontal).is_ok()
            && self.chip.set_draw_area((0, 0), (WIDTH as u8, HEIGHT as u8)).is_ok()
            && self.chip.draw(canvas.pages().as_flattened()).is_ok()
    }
}
