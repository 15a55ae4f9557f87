//! The pixels of a screen: 128 × 64, drawn here once for every display.
//!
//! A canvas has one plane of what is lit and, for a display with shades, a second one of what of it is dim. A plane lies as
//! the SSD1306 and its kin take it (data sheet, 10.1.3, horizontal addressing): pages of eight rows from the top, in each a
//! byte a column from the left, the lowest bit on top. Such a display is sent [`Canvas::pages`] as they are, any other one is
//! drawn by [`Canvas::shade`] or [`Canvas::draw_into`].

use core::ops::Range;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{Point, Size};
use embedded_graphics::primitives::{PointsIter as _, Rectangle};

/// The pixels of a row.
pub const WIDTH: usize = 128;

/// The rows of pixels.
pub const HEIGHT: usize = 64;

/// The rows of a page.
pub const PAGE_ROWS: usize = 8;

/// One bit a pixel, in pages from the top.
pub type Plane = [[u8; WIDTH]; HEIGHT / PAGE_ROWS];

const DARK: Plane = [[0; WIDTH]; HEIGHT / PAGE_ROWS];

/// How bright a pixel is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shade {
    /// Dark.
    Off,
    /// For what is looked at second; the same as on where there is nothing between on and off.
    Dim,
    /// Bright.
    On,
}

/// The pixels. A board makes one [`Canvas::black_and_white`] or [`Canvas::in_shades`], and hands it on as `&mut Canvas`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Canvas<Dim: ?Sized = [Plane]> {
    /// For tests: how many lit pixels fell outside.
    #[cfg(test)]
    pub(super) outside: usize,
    lit: Plane,
    dim: Dim,
}

impl Canvas<[Plane; 0]> {
    /// All dark, in one plane: 1 KiB.
    #[must_use]
    pub const fn black_and_white() -> Self {
        Self {
            #[cfg(test)]
            outside: 0,
            lit: DARK,
            dim: [],
        }
    }
}

impl Canvas<[Plane; 1]> {
    /// All dark, in two planes: 2 KiB.
    #[must_use]
    pub const fn in_shades() -> Self {
        Self {
            #[cfg(test)]
            outside: 0,
            lit: DARK,
            dim: [DARK],
        }
    }
}

impl Canvas {
    /// What is lit, bright or dim.
    #[must_use]
    pub const fn pages(&self) -> &Plane {
        &self.lit
    }

    /// Each page from the top: what of it is lit, and what of that is dim, where the canvas has shades.
    pub fn in_pages(&self) -> impl Iterator<Item = (&[u8; WIDTH], Option<&[u8; WIDTH]>)> {
        let dim = |page: usize| self.dim.first().and_then(|plane| plane.get(page));
        self.lit.iter().enumerate().map(move |(page, lit)| (lit, dim(page)))
    }

    /// How bright a pixel is, counted from the left and from the top; dark outside.
    #[must_use]
    pub fn shade(&self, x: usize, y: usize) -> Shade {
        let set = |plane: &Plane| {
            let byte = plane.get(y / PAGE_ROWS).and_then(|page| page.get(x));
            byte.is_some_and(|byte| byte >> (y % PAGE_ROWS) & 1 == 1)
        };
        match (set(&self.lit), self.dim.iter().any(set)) {
            (false, _) => Shade::Off,
            (true, true) => Shade::Dim,
            (true, false) => Shade::On,
        }
    }

    /// Draws all of it into the upper left corner of any display that `embedded-graphics` knows, in its colours for off, dim
    /// and on.
    ///
    /// # Errors
    /// What the display answers when it cannot be drawn to.
    pub fn draw_into<D: DrawTarget>(&self, display: &mut D, shades: [D::Color; 3]) -> Result<(), D::Error> {
        let whole = Rectangle::new(Point::zero(), Size::new(WIDTH as u32, HEIGHT as u32));
        let shade = |at: Point| self.shade(at.x as usize, at.y as usize) as usize;
        display.fill_contiguous(&whole, whole.points().map(|at| shades[shade(at)]))
    }

    /// Makes `shade` of the pixels whose bits are set, in each of `columns` alike: the lowest bit stands for the row `top`, the
    /// next for the one below. All that is drawn comes to this. What lies outside is left off.
    #[inline(never)]
    pub(super) fn stamp(&mut self, columns: Range<i32>, top: i32, bits: u32, shade: Shade) {
        #[cfg(test)]
        self.note_outside(&columns, top, bits, shade);
        let [from, to] = [columns.start, columns.end].map(|x| x.clamp(0, WIDTH as i32) as usize);
        let first = top.div_euclid(PAGE_ROWS as i32);
        let lower = top.rem_euclid(PAGE_ROWS as i32);
        // What the first page has no room for begins at the top of the next.
        let (mut page, mut masks) = (first, bits << lower);
        let mut rest = bits >> 1 >> (PAGE_ROWS as i32 - 1 - lower);
        while masks & 0xff | rest != 0 {
            let mask = masks as u8;
            if let Ok(page) = usize::try_from(page) {
                put(&mut self.lit, page, from..to, mask, shade != Shade::Off);
                if let Some(dim) = self.dim.first_mut() {
                    put(dim, page, from..to, mask, shade == Shade::Dim);
                }
            }
            (page, masks, rest) = (page + 1, rest, rest >> PAGE_ROWS);
        }
    }

    #[cfg(test)]
    fn note_outside(&mut self, columns: &Range<i32>, top: i32, bits: u32, shade: Shade) {
        let inside = |x: i32, y: i32| (0..WIDTH as i32).contains(&x) && (0..HEIGHT as i32).contains(&y);
        let places = columns.clone().flat_map(|x| (0..32).map(move |row| (x, row)));
        let lit = |row: &i32| shade != Shade::Off && bits >> row & 1 == 1;
        self.outside += places.filter(|(x, row)| lit(row) && !inside(*x, top + row)).count();
    }
}

/// Sets or clears the bits of `mask` in some columns of a page.
fn put(plane: &mut Plane, page: usize, columns: Range<usize>, mask: u8, set: bool) {
    for byte in plane.get_mut(page).and_then(|page| page.get_mut(columns)).unwrap_or_default() {
        *byte = if set { *byte | mask } else { *byte & !mask };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use embedded_graphics::mock_display::MockDisplay;
    use embedded_graphics::pixelcolor::Gray4;

    #[test]
    fn a_stamp_lights_its_bits_downwards_wherever_its_pages_end() {
        for top in -40..70 {
            let canvas: &mut Canvas = &mut Canvas::in_shades();
            canvas.stamp(3..5, top, 0x8000_0005, Shade::Dim);
            let lit = |x: usize, y: usize| canvas.shade(x, y) == Shade::Dim;
            for y in 0..HEIGHT {
                let meant = [0, 2, 31].contains(&(y as i32 - top));
                assert_eq!([2, 3, 4, 5].map(|x| lit(x, y)), [false, meant, meant, false], "{top} {y}");
            }
        }
    }

    #[test]
    fn what_is_off_takes_both_planes_and_what_is_on_is_not_dim() {
        let canvas: &mut Canvas = &mut Canvas::in_shades();
        canvas.stamp(0..3, 0, 1, Shade::Dim);
        canvas.stamp(1..2, 0, 1, Shade::On);
        canvas.stamp(2..3, 0, 1, Shade::Off);
        assert_eq!([0, 1, 2].map(|x| canvas.shade(x, 0)), [Shade::Dim, Shade::On, Shade::Off]);
        assert_eq!(canvas.pages()[0][..3], [1, 1, 0]);
        let canvas: &mut Canvas = &mut Canvas::black_and_white();
        canvas.stamp(0..1, 9, 1, Shade::Dim);
        assert_eq!((canvas.shade(0, 9), canvas.pages()[1][0]), (Shade::On, 2));
    }

    #[test]
    fn what_lies_outside_is_left_off() {
        let canvas: &mut Canvas = &mut Canvas::black_and_white();
        canvas.stamp(-5..0, 0, u32::MAX, Shade::On);
        canvas.stamp(128..200, 0, u32::MAX, Shade::On);
        canvas.stamp(0..128, 64, u32::MAX, Shade::On);
        canvas.stamp(5..5, 0, u32::MAX, Shade::On);
        assert_eq!(*canvas.pages(), DARK);
        assert_eq!(canvas.shade(500, 0), Shade::Off);
    }

    #[test]
    fn any_display_shows_it_in_its_own_colours() {
        let canvas: &mut Canvas = &mut Canvas::in_shades();
        canvas.stamp(0..1, 0, 0b10, Shade::On);
        canvas.stamp(1..2, 0, 0b10, Shade::Dim);
        let mut display = MockDisplay::<Gray4>::new();
        display.set_allow_out_of_bounds_drawing(true);
        canvas.draw_into(&mut display, [0, 5, 15].map(Gray4::new)).unwrap();
        let shown = [(0, 0), (0, 1), (1, 1)].map(|(x, y)| display.get_pixel(Point::new(x, y)));
        assert_eq!(shown, [0, 15, 5].map(|luma| Some(Gray4::new(luma))));
    }
}
