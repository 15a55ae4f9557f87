//! Ink: the few ways in which screens are drawn on a canvas.

use super::super::canvas::{self, Canvas, Shade};
use super::letters::Font;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

/// The pixels of a row, and the rows.
pub(super) const WIDTH: u32 = canvas::WIDTH as u32;
pub(super) const HEIGHT: u32 = canvas::HEIGHT as u32;

/// A canvas, and the shades that it is drawn on in.
pub(super) struct Ink<'a> {
    canvas: &'a mut Canvas,
    on: Shade,
    off: Shade,
    dim: Shade,
}

impl<'a> Ink<'a> {
    pub(super) fn new(canvas: &'a mut Canvas) -> Self {
        Self { canvas, on: Shade::On, off: Shade::Off, dim: Shade::Dim }
    }

    /// The same canvas with on and off exchanged.
    pub(super) fn inverted(&mut self) -> Ink<'_> {
        Ink { canvas: &mut *self.canvas, on: self.off, off: self.on, dim: self.off }
    }

    /// The same canvas, for what is looked at second.
    pub(super) fn dimmed(&mut self) -> Ink<'_> {
        Ink { canvas: &mut *self.canvas, on: self.dim, off: self.off, dim: self.dim }
    }

    /// Fills `area` with what is off.
    pub(super) fn wipe(&mut self, area: Rectangle) {
        self.fill_with(area, self.off);
    }

    /// Fills `area` with what is on.
    pub(super) fn fill(&mut self, area: Rectangle) {
        self.fill_with(area, self.on);
    }

    /// Fills what lies between two corners, both of them included.
    #[inline(never)]
    pub(super) fn span(&mut self, corner: Point, other: Point) {
        self.fill(Rectangle::with_corners(corner, other));
    }

    /// Fills a square of so many pixels round its middle one.
    pub(super) fn square(&mut self, at: Point, round: i32) {
        self.span(at - Point::new_equal(round), at + Point::new_equal(round));
    }

    #[inline(never)]
    fn fill_with(&mut self, area: Rectangle, shade: Shade) {
        let Rectangle { top_left: Point { x, y }, size: Size { width, height } } = area;
        for above in (0..height).step_by(32) {
            let bits = u32::MAX >> (32 - (height - above).min(32));
            self.canvas.stamp(x..x + width as i32, y + above as i32, bits, shade);
        }
    }

    /// Writes `text` with its cell's upper left corner at `at`.
    pub(super) fn write(&mut self, font: &Font, at: Point, text: &str) {
        self.write_large(font, at, text, 1);
    }

    /// Writes `text` with every pixel `times` as large, 1 or 2 or 4; `at` is the cell's upper left corner. What is off is left
    /// as it is.
    #[inline(never)]
    pub(super) fn write_large(&mut self, font: &Font, at: Point, text: &str, times: u32) {
        let mut left = at.x;
        for column in text.chars().flat_map(|letter| font.columns(letter)) {
            let right = left + times as i32;
            let mut rows = column;
            let mut top = at.y;
            while rows != 0 {
                // Eight rows of a letter at a time, for they are up to 32 then.
                self.canvas.stamp(left..right, top, enlarged(rows as u8, times), self.on);
                (rows, top) = (rows >> 8, top + 8 * times as i32);
            }
            left = right;
        }
    }

    /// A line, both ends drawn (Bresenham 1965): a step aside as soon as it is nearer by more than half a pixel.
    #[inline(never)]
    pub(super) fn line(&mut self, from: Point, to: Point) {
        let (whole, far) = (to - from, (to - from).abs());
        if far.x == 0 || far.y == 0 {
            return self.span(from, to);
        }
        let steps = far.x.max(far.y);
        let mut at = from;
        let mut aside = Point::zero();
        for _ in 0..=steps {
            for (aside, at, far, way) in [
                (&mut aside.x, &mut at.x, far.x, whole.x.signum()),
                (&mut aside.y, &mut at.y, far.y, whole.y.signum()),
            ] {
                if *aside > steps {
                    *at += way;
                    *aside -= 2 * steps;
                }
                *aside += 2 * far;
            }
            self.dot(at);
        }
    }

    /// A line of three pixels beside or below each other.
    pub(super) fn bar(&mut self, from: Point, to: Point) {
        let far = (to - from).abs();
        let aside = if far.x > far.y { Point::new(0, 1) } else { Point::new(1, 0) };
        for by in [-aside, Point::zero(), aside] {
            self.line(from + by, to + by);
        }
    }

    /// One pixel.
    pub(super) fn dot(&mut self, at: Point) {
        self.canvas.stamp(at.x..at.x + 1, at.y, 1, self.on);
    }

    /// A small shape, a byte a row, the highest of `width` bits on the left.
    pub(super) fn shape(&mut self, at: Point, rows: &[u8], width: i32) {
        for (y, bits) in (at.y..).zip(rows) {
            for x in (0..width).filter(|x| bits >> (width - 1 - x) & 1 == 1) {
                self.dot(Point::new(at.x + x, y));
            }
        }
    }
}

/// Each bit so many times, from the lowest on.
fn enlarged(bits: u8, times: u32) -> u32 {
    let one = (1 << times) - 1;
    (0..8).filter(|bit| bits >> bit & 1 == 1).fold(0, |all, bit| all | one << (bit * times))
}
