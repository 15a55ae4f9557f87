//! The display: the emulated board has none that QEMU shows, so a place in RAM stands for the display's own memory. What would
//! be sent is written there, and read from outside.

use bevelbook_emulated::meter;
use bevelbook_emulated::shades::{self, ROW_BYTES};
use bevelbook_keypad::device::Device;
use bevelbook_keypad::memory::Pages;
use bevelbook_keypad::screen::{Canvas, HEIGHT, Plane};
use core::sync::atomic::{AtomicU8, Ordering};

/// What shows, two pixels a byte; the emulator finds it by this name.
#[used]
static SHOWN: [[AtomicU8; ROW_BYTES]; HEIGHT] = [const { [const { AtomicU8::new(0) }; ROW_BYTES] }; HEIGHT];

/// What is to show.
pub(crate) struct Display {
    canvas: Canvas<[Plane; 1]>,
}

impl Display {
    /// A dark display.
    pub(crate) const fn start() -> Self {
        Self { canvas: Canvas::in_shades() }
    }

    /// Shows what the device shows.
    pub(crate) fn show<P: Pages>(&mut self, device: &Device<P>) {
        device.draw(&mut self.canvas);
        for (shown, row) in SHOWN.iter().zip(shades::rows(&self.canvas)) {
            shown.iter().zip(row).for_each(|(shown, byte)| shown.store(byte, Ordering::Relaxed));
        }
        meter::displayed(HEIGHT * ROW_BYTES);
    }
}
