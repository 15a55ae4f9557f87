//! A picture as a display with 16 shades takes it: two pixels a byte, the left one high, row by row.

use bevelbook_keypad::screen::{Canvas, HEIGHT, WIDTH};

/// The bytes of a row.
pub const ROW_BYTES: usize = WIDTH / 2;

/// The brightness for off, dim and on.
const SHADES: [u8; 3] = [0, 10, 15];

/// The rows from the top.
pub fn rows(canvas: &Canvas) -> impl Iterator<Item = [u8; ROW_BYTES]> {
    (0..HEIGHT).map(|y| {
        let shade = |x| SHADES[canvas.shade(x, y) as usize];
        core::array::from_fn(|n| shade(2 * n) << 4 | shade(2 * n + 1))
    })
}
