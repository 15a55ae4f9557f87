//! Ink: two colours of whatever kind the display has, and the few ways in which the screens use them.

use super::letters;
use embedded_graphics::mono_font::{MonoFont, MonoTextStyle};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::{Line, PrimitiveStyle, Rectangle};
use embedded_graphics::text::{Baseline, Text};

/// The pixels of a row.
pub const WIDTH: u32 = 128;

/// The rows of pixels.
pub const HEIGHT: u32 = 64;

/// A target and the colours that are drawn into it.
pub(super) struct Ink<'a, D: DrawTarget> {
    target: &'a mut D,
    on: D::Color,
    off: D::Color,
    /// For what is looked at second; the same as on where there is nothing between on and off.
    dim: D::Color,
}

impl<'a, D> Ink<'a, D>
where
    D: DrawTarget,
    D::Color: From<BinaryColor>,
{
    /// Ink in the colours that the display has for on and off, and `dim` between them.
    pub(super) fn new(target: &'a mut D, dim: D::Color) -> Self {
        Self { target, on: BinaryColor::On.into(), off: BinaryColor::Off.into(), dim }
    }

    /// The same target with on and off exchanged.
    pub(super) fn inverted(&mut self) -> Ink<'_, D> {
        Ink { target: &mut *self.target, on: self.off, off: self.on, dim: self.off }
    }

    /// The same target, for what is looked at second.
    pub(super) fn dimmed(&mut self) -> Ink<'_, D> {
        Ink { target: &mut *self.target, on: self.dim, off: self.off, dim: self.dim }
    }

    /// Fills `area` with what is off.
    pub(super) fn wipe(&mut self, area: Rectangle) -> Result<(), D::Error> {
        self.target.fill_solid(&area, self.off)
    }

    /// Fills `area` with what is on.
    pub(super) fn fill(&mut self, area: Rectangle) -> Result<(), D::Error> {
        self.target.fill_solid(&area, self.on)
    }

    /// Writes `text` with its cell's upper left corner at `at`.
    pub(super) fn write(&mut self, font: &MonoFont<'_>, at: Point, text: &str) -> Result<(), D::Error> {
        let style = MonoTextStyle::new(font, self.on);
        let shown = letters::shown(text);
        Text::with_baseline(&shown, at, style, Baseline::Top).draw(self.target).map(|_| ())
    }

    /// Writes `text` with every pixel [`letters::TIMES`] as large; `at` is the cell's upper left corner.
    pub(super) fn write_large(&mut self, font: &MonoFont<'_>, at: Point, text: &str) -> Result<(), D::Error> {
        let style = MonoTextStyle::new(font, BinaryColor::On);
        let shown = letters::shown(text);
        let mut enlarged = Enlarged { target: &mut *self.target, on: self.on, at };
        Text::with_baseline(&shown, Point::zero(), style, Baseline::Top).draw(&mut enlarged).map(|_| ())
    }

    /// A line of `width` pixels, both ends drawn.
    pub(super) fn line(&mut self, from: Point, to: Point, width: u32) -> Result<(), D::Error> {
        Line::new(from, to).into_styled(PrimitiveStyle::with_stroke(self.on, width)).draw(self.target)
    }

    /// One pixel.
    pub(super) fn dot(&mut self, at: Point) -> Result<(), D::Error> {
        self.target.draw_iter([Pixel(at, self.on)])
    }

    /// A small shape, a byte a row, the highest of `width` bits on the left.
    pub(super) fn shape(&mut self, at: Point, rows: &[u8], width: i32) -> Result<(), D::Error> {
        let on = self.on;
        let pixels = (at.y..).zip(rows).flat_map(|(y, bits)| {
            (0..width)
                .filter(move |x| bits >> (width - 1 - x) & 1 == 1)
                .map(move |x| Pixel(Point::new(at.x + x, y), on))
        });
        self.target.draw_iter(pixels)
    }
}

/// A target whose pixels are squares; what is off is left as it is.
struct Enlarged<'a, D: DrawTarget> {
    target: &'a mut D,
    on: D::Color,
    at: Point,
}

impl<D: DrawTarget> Dimensions for Enlarged<'_, D> {
    fn bounding_box(&self) -> Rectangle {
        self.target.bounding_box()
    }
}

impl<D: DrawTarget> DrawTarget for Enlarged<'_, D> {
    type Color = BinaryColor;
    type Error = D::Error;

    fn draw_iter<I: IntoIterator<Item = Pixel<BinaryColor>>>(&mut self, pixels: I) -> Result<(), D::Error> {
        let times = letters::TIMES;
        for Pixel(place, _) in pixels.into_iter().filter(|Pixel(_, color)| color.is_on()) {
            let square = Rectangle::new(self.at + place * times as i32, Size::new(times, times));
            self.target.fill_solid(&square, self.on)?;
        }
        Ok(())
    }
}
