//! A picture as a display with 16 shades takes it: two pixels a byte, the left one high, row by row.

use bevelbook_keypad::screen::{Canvas, HEIGHT, PAGE_ROWS, WIDTH};

/// The bytes of a row.
pub const ROW_BYTES: usize = WIDTH / 2;

/// The brightness for on, of 16, and by how much dim is darker.
const BRIGHT: u32 = 15;
const DIMMED: u32 = 5;

/// What is lit in a page of a canvas, and what of that is dim.
type Page<'c> = (&'c [u8; WIDTH], Option<&'c [u8; WIDTH]>);

/// The rows from the top.
pub fn rows(canvas: &Canvas) -> impl Iterator<Item = [u8; ROW_BYTES]> {
    canvas.in_pages().flat_map(rows_of)
}

/// The rows of a page.
#[inline(never)]
pub fn rows_of((lit, dim): Page<'_>) -> [[u8; ROW_BYTES]; PAGE_ROWS] {
    let mut rows = [[0; ROW_BYTES]; PAGE_ROWS];
    let dim = dim.unwrap_or(&[0; WIDTH]);
    for (n, ([left, right], [left_dim, right_dim])) in
        lit.as_chunks().0.iter().zip(dim.as_chunks().0).enumerate()
    {
        let mut left = fours(*left) * BRIGHT - fours(*left_dim) * DIMMED;
        let mut right = fours(*right) * BRIGHT - fours(*right_dim) * DIMMED;
        for row in &mut rows {
            row[n] = ((left & 15) << 4 | right & 15) as u8;
            (left, right) = (left >> 4, right >> 4);
        }
    }
    rows
}

/// Each bit as the lowest of four.
const fn fours(bits: u8) -> u32 {
    let apart = (bits as u32 | (bits as u32) << 12) & 0x000f_000f;
    let apart = (apart | apart << 6) & 0x0303_0303;
    (apart | apart << 3) & 0x1111_1111
}

/// Sums over the pages that were sent: one whose sum is the same is not sent again. That two pages that differ have the same is
/// one chance in 2³².
#[derive(Default)]
pub struct Sent([u32; HEIGHT / PAGE_ROWS]);

impl Sent {
    /// The pages that changed, with their first rows.
    pub fn changed<'c>(&mut self, canvas: &'c Canvas) -> impl Iterator<Item = (u8, Page<'c>)> {
        let pages = (0..).step_by(PAGE_ROWS).zip(canvas.in_pages()).zip(&mut self.0);
        pages.filter_map(|((top, page), sent)| {
            let sum = page.1.map_or(1, |dim| sum(1, dim));
            let sum = self::sum(sum, page.0);
            (core::mem::replace(sent, sum) != sum).then_some((top, page))
        })
    }
}

/// Behind `sum`, that over a page (FNV-1a over words, turned).
fn sum(sum: u32, page: &[u8; WIDTH]) -> u32 {
    let words = page.as_chunks().0.iter().map(|word| u32::from_le_bytes(*word));
    words.fold(sum, |sum, word| (sum ^ word).wrapping_mul(0x0100_0193).rotate_left(15))
}
