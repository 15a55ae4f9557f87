//! The display: an SSD0323 with 128 × 64 pixels in 16 shades, and the canvas that is sent to it.

use crate::bare::Block;
use crate::pins::{DISPLAY_DATA, DISPLAY_SELECT, Pin};
use bevelbook_emulated::meter;
use bevelbook_emulated::registers::Registers;
use bevelbook_emulated::shades::{self, Sent};
use bevelbook_keypad::device::Device;
use bevelbook_keypad::memory::Pages;
use bevelbook_keypad::screen::{Canvas, PAGE_ROWS, Plane};

const CONTROL_0: u32 = 0x00;
const CONTROL_1: u32 = 0x04;
const DATA: u32 = 0x08;
const STATUS: u32 = 0x0c;
const PRESCALE: u32 = 0x10;

const RECEIVED: u32 = 1 << 2;

/// The display on.
const ON: u8 = 0xaf;

/// The display and what is to show on it.
pub(crate) struct Display {
    canvas: Canvas<[Plane; 1]>,
    sent: Sent,
}

fn set(pin: Pin, high: bool) {
    // A port's data register is addressed by the bits that it may change.
    let bit = 1 << pin.bit;
    pin.port.write(bit << 2, if high { bit } else { 0 });
}

fn send(bytes: &[u8], data: bool) {
    set(DISPLAY_DATA, data);
    for byte in bytes {
        Block::Ssi0.write(DATA, u32::from(*byte));
        // What comes back means nothing, but it comes only after the byte has gone.
        while Block::Ssi0.read(STATUS) & RECEIVED == 0 {}
        Block::Ssi0.read(DATA);
    }
}

impl Display {
    /// Makes the display ready; it is dark.
    pub(crate) fn start() -> Self {
        for pin in [DISPLAY_DATA, DISPLAY_SELECT] {
            crate::keys::output(pin);
        }
        set(DISPLAY_SELECT, true);
        Block::Ssi0.write(CONTROL_1, 0);
        Block::Ssi0.write(CONTROL_0, 7 | 3 << 6);
        Block::Ssi0.write(PRESCALE, 10);
        Block::Ssi0.write(CONTROL_1, 2);
        send(&[ON], false);
        let mut display = Self { canvas: Canvas::in_shades(), sent: Sent::default() };
        display.send_picture();
        display
    }

    /// Shows what the device shows.
    pub(crate) fn show<P: Pages>(&mut self, device: &Device<P>) {
        device.draw(&mut self.canvas);
        self.send_picture();
    }

    /// Sends the pages that changed.
    fn send_picture(&mut self) {
        let mut bytes = 0;
        for (top, page) in self.sent.changed(&self.canvas) {
            let rows = shades::rows_of(page);
            let place = [0x15, 0x00, 0x3f, 0x75, top, top + PAGE_ROWS as u8 - 1];
            // All columns, and the rows of the page.
            send(&place, false);
            send(rows.as_flattened(), true);
            bytes += place.len() + rows.as_flattened().len();
        }
        meter::displayed(bytes);
    }
}
