//! Both parts of a prism in words, and the lens from the front with an arrow toward each base and the nose beside it.

use super::super::words::{self, Shown};
use super::super::{Lens, Part};
use super::ink::{Ink, WIDTH};
use super::lens::NOSE;
use super::{lens, letters, turn};
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

/// The rows of a part: its letters are drawn with pixels of two.
const ROWS: i32 = 14;
const TIMES: u32 = 2;
/// The letters of a part; more are cut off.
const COLUMNS: usize = 10;
/// The radius of the lens.
const RADIUS: i32 = 13;

/// Draws the parts on the left and the lens on the right, from the row `top` on 28 rows high.
#[inline(never)]
pub(super) fn draw(lens: &Lens, changed: Option<Part>, top: i32, ink: &mut Ink<'_>) {
    let parts = words::parts(lens, changed);
    let mut left = WIDTH as i32;
    for (row, part) in (0..).zip(&parts) {
        left = left.min(WIDTH as i32 - write(part, top + row * ROWS, ink));
    }
    // Long words leave room for a smaller lens only.
    let radius = RADIUS.min(left / 2 - NOSE);
    let centre = Point::new(WIDTH as i32 - 1 - NOSE - radius, top + ROWS);
    let dim = &mut ink.dimmed();
    lens::edge(lens.eye, centre, radius, dim);
    if let Some(axis) = lens.axis {
        let end = turn::ray(axis.min(180), radius);
        dim.line(centre - end, centre + end);
    }
    parts.iter().for_each(|part| arrow(part.way, centre, radius, ink));
}

/// How wide it is.
fn write(part: &Shown, top: i32, ink: &mut Ink<'_>) -> i32 {
    let text = letters::cut(part.words.as_str(), COLUMNS);
    // Above its letters a cell has an empty row.
    let at = Point::new(0, top - TIMES as i32);
    let width = letters::text_width(letters::SMALL, text) * TIMES;
    if part.changed {
        ink.fill(Rectangle::new(Point::new(0, top), Size::new(width, ROWS as u32)));
        ink.inverted().write_large(letters::SMALL, at, text, TIMES);
    } else {
        ink.write_large(letters::SMALL, at, text, TIMES);
    }
    width as i32
}

/// From the middle of the lens to its edge.
fn arrow((right, up): (i32, i32), centre: Point, radius: i32, ink: &mut Ink<'_>) {
    for out in 0..radius {
        let half = if out + 5 < radius { 1 } else { radius - 1 - out };
        let (x, y) = (centre.x + right * out, centre.y - up * out);
        let (beside, above) = (up.abs() * half, right.abs() * half);
        ink.line(Point::new(x - beside, y - above), Point::new(x + beside, y + above));
    }
}
