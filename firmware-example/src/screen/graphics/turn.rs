//! What is turned: rays and arcs. The only place with floating point, of pixels alone.

use super::ink::Ink;
use embedded_graphics::prelude::*;

/// An arc, anticlockwise; degrees are counted from 0 on the right, and are multiples of six.
pub(super) fn arc(centre: Point, radius: i32, from: u16, to: u16, ink: &mut Ink<'_>) {
    let mut before = centre + ray(from, radius);
    for around in (from..=to).step_by(6) {
        let at = centre + ray(around, radius);
        ink.line(before, at);
        before = at;
    }
}

/// From the centre to `length` pixels out at `degrees`, to the nearest pixel.
pub(super) fn ray(degrees: u16, length: i32) -> Point {
    let turned = f32::from(degrees).to_radians();
    let pixels = |part: f32| micromath::F32Ext::round(part * length as f32) as i32;
    Point::new(pixels(micromath::F32Ext::cos(turned)), -pixels(micromath::F32Ext::sin(turned)))
}
