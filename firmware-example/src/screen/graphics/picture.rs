//! The pictures beside a figure: the axis dial, the gauge of sizes, and the lens (in `lens`).

use super::super::Picture;
use super::super::scale::Scale;
use super::ink::Ink;
use super::turn::{arc, ray};
use super::{lens, letters};
use bevelbook_core::units::Length;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

/// The least width of a picture.
pub(super) const LEAST_WIDTH: u32 = 30;

/// Draws `picture` inside `area`, which is at least [`LEAST_WIDTH`] wide and 20 high.
pub(super) fn draw(picture: Picture, area: Rectangle, ink: &mut Ink<'_>) {
    match picture {
        Picture::None => {}
        Picture::Axis(degrees) => dial(degrees, area, ink),
        Picture::Gauge { now, too_big, fits } => gauge(now, too_big, fits, area, ink),
        Picture::Uncut(lens) => lens::uncut(&lens, area, ink),
    }
}

/// The half circle as the trade draws it (ISO 8429): 0 on the right, 90 at the top, 180 on the left.
fn dial(degrees: u16, area: Rectangle, ink: &mut Ink<'_>) {
    let size = area.size;
    // Two rows below the centre belong to its hub.
    let radius = ((size.width - 1) / 2).min(size.height - 2) as i32;
    let corner = area.top_left + Point::new(size.width as i32 - 1, size.height as i32 - 1);
    let centre = corner - Point::new(radius, 1);
    let mut scale = ink.dimmed();
    arc(centre, radius, 0, 180, &mut scale);
    for mark in (0..=180).step_by(30) {
        let length = if mark % 90 == 0 { 4 } else { 2 };
        scale.line(centre + ray(mark, radius), centre + ray(mark, radius - length));
    }
    // From a little way out: a thick line ends below the centre.
    let hand = |length| centre + ray(degrees.min(180), length);
    ink.bar(hand(3), hand(radius - 4));
    ink.fill(Rectangle::new(centre - Point::new(2, 1), Size::new(5, 3)));
}

/// A scale with larger sizes to the right: an opening bracket at the smallest that fitted, hatching from the
/// smallest that was too big, a pointer at the size that stands there. The words below say which end is which.
fn gauge(now: Length, too_big: Option<Length>, fits: Option<Length>, area: Rectangle, ink: &mut Ink<'_>) {
    let scale = Scale::over(now, too_big, fits);
    let (left, top) = (area.top_left.x, area.top_left.y);
    let width = area.size.width as i32;
    let (right, bottom) = (left + width - 1, top + area.size.height as i32 - 1);
    let at = |size: Length| left + scale.place(size, width);
    let (words, line, zone) = (bottom - 5, bottom - 8, top + 5);
    if fits.is_some() {
        ink.dimmed().write(letters::SMALLEST, Point::new(left, words), "fits");
    }
    if too_big.is_some() {
        ink.dimmed().write(letters::SMALLEST, Point::new(right - 10, words), "big");
    }
    ink.dimmed().line(Point::new(left, line), Point::new(right, line));
    // A tick every tenth of a millimetre, or every millimetre; none where they would stand closer than 3 pixels.
    let ticked = [100, 1_000].into_iter().find(|step_um| scale.total_um() <= width * step_um / 3);
    if let Some(step_um) = ticked {
        for size in scale.multiples(step_um) {
            ink.dimmed().dot(Point::new(at(size), line + 1));
        }
    }
    let height = (line - zone) as u32;
    if let Some(x) = fits.map(at) {
        let inside = |width: i32| width.min(right + 1 - x) as u32;
        ink.fill(Rectangle::new(Point::new(x, zone), Size::new(inside(2), height)));
        for y in [zone, line - 2] {
            ink.fill(Rectangle::new(Point::new(x, y), Size::new(inside(5), 2)));
        }
    }
    if let Some(x) = too_big.map(at) {
        ink.fill(Rectangle::new(Point::new(x, zone), Size::new(2.min(right + 1 - x) as u32, height)));
        for y in zone..line {
            for x in (x + (x + y) % 2..right + 1).step_by(2) {
                ink.dimmed().dot(Point::new(x, y));
            }
        }
    }
    pointer(at(now), area, line, ink);
}

/// A pointer from the top of `area` down to the scale, kept inside.
fn pointer(x: i32, area: Rectangle, line: i32, ink: &mut Ink<'_>) {
    let (left, top) = (area.top_left.x, area.top_left.y);
    let right = left + area.size.width as i32 - 1;
    for (row, half) in [4, 3, 2, 1].into_iter().enumerate() {
        let y = top + row as i32;
        ink.line(Point::new((x - half).max(left), y), Point::new((x + half).min(right), y));
    }
    ink.line(Point::new(x, top), Point::new(x, line));
}
