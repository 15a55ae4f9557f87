//! Ink: the few ways in which screens are drawn on a canvas.

use super::super::canvas::{Canvas, Shade};
use super::{HEIGHT, WIDTH, letters};
use core::convert::Infallible;
use embedded_graphics::image::ImageDrawable;
use embedded_graphics::mono_font::MonoFont;
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::{Line, PrimitiveStyle, Rectangle};

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

    #[inline(never)]
    fn fill_with(&mut self, area: Rectangle, shade: Shade) {
        let Rectangle { top_left: Point { x, y }, size: Size { width, height } } = area;
        for above in (0..height).step_by(32) {
            let bits = u32::MAX >> (32 - (height - above).min(32));
            self.canvas.stamp(x..x + width as i32, y + above as i32, bits, shade);
        }
    }

    /// Writes `text` with its cell's upper left corner at `at`.
    pub(super) fn write(&mut self, font: &MonoFont<'_>, at: Point, text: &str) {
        self.write_large(font, at, text, 1);
    }

    /// Writes `text` with every pixel `times` as large; `at` is the cell's upper left corner.
    pub(super) fn write_large(&mut self, font: &MonoFont<'_>, at: Point, text: &str, times: u32) {
        let size = font.character_size;
        let in_a_row = font.image.size().width / size.width;
        let mut letter = Letter { ink: self, at, times };
        for shown in text.chars().map(letters::shown_letter) {
            let index = letters::place(shown);
            let place =
                Point::new((index % in_a_row * size.width) as i32, (index / in_a_row * size.height) as i32);
            let Ok(()) = font.image.draw_sub_image(&mut letter, &Rectangle::new(place, size));
            letter.at.x += (times * (size.width + font.character_spacing)) as i32;
        }
    }

    /// A line of `width` pixels, both ends drawn.
    pub(super) fn line(&mut self, from: Point, to: Point, width: u32) {
        if width == 1 && (from.x == to.x || from.y == to.y) {
            return self.fill(Rectangle::with_corners(from, to));
        }
        let style = PrimitiveStyle::with_stroke(BinaryColor::On, width);
        let Ok(()) = Line::new(from, to).into_styled(style).draw(self);
    }

    /// One pixel.
    pub(super) fn dot(&mut self, at: Point) {
        self.fill(Rectangle::new(at, Size::new_equal(1)));
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

/// What the library draws of a line.
impl DrawTarget for Ink<'_> {
    type Color = BinaryColor;
    type Error = Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<BinaryColor>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        for Pixel(at, _) in pixels {
            self.dot(at);
        }
        Ok(())
    }
}

impl OriginDimensions for Ink<'_> {
    fn size(&self) -> Size {
        Size::new(WIDTH, HEIGHT)
    }
}

/// Where a letter of a font goes, its pixels being squares; what is off is left as it is.
struct Letter<'i, 'a> {
    ink: &'i mut Ink<'a>,
    at: Point,
    times: u32,
}

impl Letter<'_, '_> {
    /// So many pixels of the letter that are on, beside each other.
    fn run(&mut self, place: Point, pixels: u32) {
        let corner = self.at + place * self.times as i32;
        self.ink.fill(Rectangle::new(corner, Size::new(pixels * self.times, self.times)));
    }
}

impl DrawTarget for Letter<'_, '_> {
    type Color = BinaryColor;
    type Error = Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<BinaryColor>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        for Pixel(place, _) in pixels.into_iter().filter(|Pixel(_, color)| color.is_on()) {
            self.run(place, 1);
        }
        Ok(())
    }

    fn fill_contiguous<I>(&mut self, area: &Rectangle, colors: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = BinaryColor>,
    {
        let mut colors = colors.into_iter();
        let width = area.size.width as i32;
        for y in 0..area.size.height as i32 {
            let mut run = 0;
            for x in 0..width + 1 {
                if x < width && colors.next() == Some(BinaryColor::On) {
                    run += 1;
                } else if run > 0 {
                    self.run(Point::new(x - run, y), run as u32);
                    run = 0;
                }
            }
        }
        Ok(())
    }
}

impl Dimensions for Letter<'_, '_> {
    fn bounding_box(&self) -> Rectangle {
        self.ink.bounding_box()
    }
}
