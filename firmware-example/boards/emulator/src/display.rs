//! The display: an SSD0323 with 128 × 64 pixels in 16 shades, and the picture that is sent to it.

use crate::bare::Block;
use crate::meter;
use crate::pins::{DISPLAY_DATA, DISPLAY_SELECT, Pin};
use bevelbook_keypad::screen::graphics::{HEIGHT, WIDTH};
use core::convert::Infallible;
use embedded_graphics::pixelcolor::{Gray4, GrayColor};
use embedded_graphics::prelude::{DrawTarget, OriginDimensions, Pixel, Size};
use embedded_graphics::primitives::Rectangle;

const CONTROL_0: u32 = 0x00;
const CONTROL_1: u32 = 0x04;
const DATA: u32 = 0x08;
const STATUS: u32 = 0x0c;
const PRESCALE: u32 = 0x10;

const RECEIVED: u32 = 1 << 2;

/// Two pixels a byte, the left one high.
const ROW_BYTES: usize = WIDTH as usize / 2;
const ROWS: usize = HEIGHT as usize;
/// Pixels of a word of the picture.
const PACKED: usize = 16;

/// All columns and all rows, from the first.
const WHOLE: [u8; 6] = [0x15, 0x00, 0x3f, 0x75, 0x00, 0x3f];
/// The display on.
const ON: u8 = 0xaf;

/// The shade of what is looked at second.
pub(crate) const DIM: Gray4 = Gray4::new(10);

/// The display and what is to show on it: 4 of its 16 shades, two bits a pixel, which is half of what it has itself.
pub(crate) struct Display {
    rows: [[u32; WIDTH as usize / PACKED]; ROWS],
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
        let display = Self { rows: [[0; WIDTH as usize / PACKED]; ROWS] };
        display.show();
        display
    }

    /// Sends the picture.
    pub(crate) fn show(&self) {
        send(&WHOLE, false);
        for row in &self.rows {
            let mut bytes = [0; ROW_BYTES];
            // Eight bytes come of a word, its lowest two bits being the pixel on the left.
            for (n, byte) in bytes.iter_mut().enumerate() {
                let pair = row[n / 8] >> (n % 8 * 4);
                *byte = ((pair & 3) << 4 | pair >> 2 & 3) as u8 * 5;
            }
            send(&bytes, true);
        }
        meter::displayed(WHOLE.len() + ROWS * ROW_BYTES);
    }
}

/// What lies between 0 and `end` of `length` places. By hand: the library's intersection takes longer than filling does.
#[inline(always)]
fn clipped(from: i32, length: u32, end: usize) -> (usize, usize) {
    let to = from.saturating_add_unsigned(length);
    (from.clamp(0, end as i32) as usize, to.clamp(0, end as i32) as usize)
}

impl OriginDimensions for Display {
    fn size(&self) -> Size {
        Size::new(WIDTH, HEIGHT)
    }
}

impl DrawTarget for Display {
    type Color = Gray4;
    type Error = Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<Gray4>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        for Pixel(at, shade) in pixels {
            let (Ok(x), Ok(y)) = (usize::try_from(at.x), usize::try_from(at.y)) else { continue };
            let Some(word) = self.rows.get_mut(y).and_then(|row| row.get_mut(x / PACKED)) else { continue };
            let (at, shade) = (x % PACKED * 2, u32::from(shade.luma()) >> 2);
            *word = *word & !(3 << at) | shade << at;
        }
        Ok(())
    }

    /// Whole words at a time: most of what is drawn is wiping.
    fn fill_solid(&mut self, area: &Rectangle, shade: Gray4) -> Result<(), Infallible> {
        let (left, right) = clipped(area.top_left.x, area.size.width, WIDTH as usize);
        let (top, bottom) = clipped(area.top_left.y, area.size.height, ROWS);
        if left == right {
            return Ok(());
        }
        // The shade in every pixel of a word.
        let all = (u32::from(shade.luma()) >> 2) * 0x5555_5555;
        // The words that it touches, and what of the first and of the last belongs to it.
        let (first, last) = (left / PACKED, (right - 1) / PACKED);
        let from = u32::MAX << (left % PACKED * 2);
        let to = u32::MAX >> ((PACKED - 1 - (right - 1) % PACKED) * 2);
        for row in self.rows.get_mut(top..bottom).unwrap_or_default() {
            let mut words = row.get_mut(first..=last).unwrap_or_default();
            let mut mask = from;
            while let [word, rest @ ..] = words {
                if rest.is_empty() {
                    mask &= to;
                }
                *word = *word & !mask | all & mask;
                mask = u32::MAX;
                words = rest;
            }
        }
        Ok(())
    }
}
