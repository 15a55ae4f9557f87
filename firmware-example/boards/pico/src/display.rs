//! The display: an SSD1306 of 128 × 64 on the SPI bus, written to only when the screen has changed.
//!
//! 8 MHz, mode 0: the controller takes a clock of 100 ns or longer (SSD1306 data sheet, table 13-4: 10 MHz). A whole
//! picture is 1024 bytes, 1.02 ms of clock. The display sends nothing back, so a missing one is not noticed here.

use bevelbook_keypad::device::Device;
use bevelbook_keypad::memory::Pages;
use embassy_rp::Peri;
use embassy_rp::gpio::{AnyPin, Level, Output};
use embassy_rp::peripherals::SPI0;
use embassy_rp::spi::{Blocking, ClkPin, Config, MosiPin, Spi};
use embassy_time::Delay;
use embedded_hal_bus::spi::ExclusiveDevice;
use ssd1306::Ssd1306;
use ssd1306::mode::{BufferedGraphicsMode, DisplayConfig as _};
use ssd1306::prelude::{DisplayRotation, DisplaySize128x64, SPIInterface};

/// The clock of the bus, in Hz.
const CLOCK_HZ: u32 = 8_000_000;

type Bus = ExclusiveDevice<Spi<'static, SPI0, Blocking>, Output<'static>, Delay>;
type Chip =
    Ssd1306<SPIInterface<Bus, Output<'static>>, DisplaySize128x64, BufferedGraphicsMode<DisplaySize128x64>>;

/// The display and its buffer.
pub(crate) struct Display(Chip);

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
    let mut chip =
        Ssd1306::new(interface, DisplaySize128x64, DisplayRotation::Rotate0).into_buffered_graphics_mode();
    let mut reset = Output::new(reset, Level::High);
    let done = chip.reset(&mut reset, &mut Delay).is_ok() && chip.init().is_ok() && chip.flush().is_ok();
    if !done {
        defmt::warn!("the display was not set up");
    }
    // Its level stays when nobody holds the pin.
    core::mem::forget(reset);
    Display(chip)
}

impl Display {
    /// Draws what the device shows and sends it. The display is set up anew each time, for some 30 bytes: a disturbance from
    /// the machine's motor lasts until the next picture and no longer.
    pub(crate) fn show<P: Pages>(&mut self, device: &Device<P>) {
        if self.0.init().is_err() || device.draw(&mut self.0).is_err() || self.0.flush().is_err() {
            defmt::warn!("the display was not written to");
        }
    }
}
