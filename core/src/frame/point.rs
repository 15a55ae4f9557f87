//! A place on the plane of the lens.

use crate::maths::{atan2, divide_nearest, scale_down, sin_cos, sqrt_nearest};
use crate::units::{Angle, Length};

/// Fractional bits of a coordinate: it counts in 1/1024 µm.
pub(super) const FINE_BITS: u32 = 10;

/// The farthest a coordinate lies from the origin: a metre.
const FARTHEST: i64 = (Length::LIMIT as i64) << FINE_BITS;

/// A place as one faces the wearer: x to the viewer's right, y up, from the origin of the trace.
///
/// Held in 1/1024 µm, so that sums over a thousand points do not add up to a micrometre. Places beyond a metre
/// are brought to a metre.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Point {
    x: i32,
    y: i32,
}

impl Point {
    /// The origin.
    pub const ORIGIN: Self = Self { x: 0, y: 0 };

    /// From coordinates in µm, exactly.
    pub fn new(x: Length, y: Length) -> Self {
        let fine = |length: Length| i64::from(length.milli()) << FINE_BITS;
        Self::from_fine(fine(x), fine(y))
    }

    /// The coordinate to the viewer's right, to the nearest micrometre.
    pub fn x(self) -> Length {
        micrometres(i64::from(self.x))
    }

    /// The coordinate up, to the nearest micrometre.
    pub fn y(self) -> Length {
        micrometres(i64::from(self.y))
    }

    /// How far it lies from the origin, within 0.501 µm.
    pub fn radius(self) -> Length {
        self.distance(Self::ORIGIN)
    }

    /// How far it lies from `from`, within 0.501 µm.
    pub fn distance(self, from: Self) -> Length {
        micrometres(sqrt_nearest(self.square_from(from)) as i64)
    }

    /// Its direction from `from`, 0° up to but not including 360°, to the nearest 1/1000 degree; 0° when both
    /// are the same.
    pub fn direction_from(self, from: Self) -> Angle {
        let (x, y) = (self.fine().0 - from.fine().0, self.fine().1 - from.fine().1);
        Angle::from_milli(atan2(y, x).milli().rem_euclid(360_000))
    }

    /// The same place seen in a mirror about the vertical through the origin. Exact.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        Self { x: -self.x, y: self.y }
    }

    /// From coordinates in 1/1024 µm.
    pub(super) fn from_fine(x: i64, y: i64) -> Self {
        let near = |coordinate: i64| coordinate.clamp(-FARTHEST, FARTHEST) as i32;
        Self { x: near(x), y: near(y) }
    }

    /// At `radius` (1/1024 µm) in a direction.
    pub(super) fn along(radius: i64, toward: Direction) -> Self {
        Self::from_fine(scale_down(radius * toward.cos, 30), scale_down(radius * toward.sin, 30))
    }

    /// The coordinates in 1/1024 µm.
    pub(super) fn fine(self) -> (i64, i64) {
        (self.x.into(), self.y.into())
    }

    /// The square of the distance, in (1/1024 µm)². Exact.
    pub(super) fn square_from(self, from: Self) -> u64 {
        let square = |one: i32, other: i32| (i64::from(one) - i64::from(other)).unsigned_abs().pow(2);
        square(self.x, from.x) + square(self.y, from.y)
    }

    /// Twice the area of the triangle with the origin: positive when `next` lies anticlockwise. Exact.
    pub(super) fn cross(self, next: Self) -> i64 {
        i64::from(self.x) * i64::from(next.y) - i64::from(self.y) * i64::from(next.x)
    }

    /// The way from `from` to here, as a point. Exact within a metre.
    pub(super) fn less(self, from: Self) -> Self {
        Self::from_fine(self.fine().0 - from.fine().0, self.fine().1 - from.fine().1)
    }
}

/// 1/1024 µm to the nearest micrometre.
pub(super) fn micrometres(fine: i64) -> Length {
    Length::from_milli(scale_down(fine, FINE_BITS) as i32)
}

/// A direction as cosine and sine with 30 fractional bits.
#[derive(Clone, Copy, Debug)]
pub(super) struct Direction {
    pub(super) cos: i64,
    pub(super) sin: i64,
}

impl Direction {
    pub(super) fn of(angle: Angle) -> Self {
        let (sin, cos) = sin_cos(angle);
        Self { cos: cos.into(), sin: sin.into() }
    }

    /// The direction of `step` of `steps` equal parts of a turn: [`sin_cos`] at the 1/1000 degree below, turned by
    /// what is left. Error of either part: at most 4 units of 2⁻³⁰.
    pub(super) fn of_step(step: usize, steps: usize) -> Self {
        // Radians in 1/1000 degree, with 30 fractional bits, times a thousand.
        const RADIANS: i64 = 18_739_379;
        let (turns, steps) = (step as i64 * 360_000, steps as i64);
        let Self { cos, sin } = Self::of(Angle::from_milli((turns / steps) as i32));
        let rest = divide_nearest(turns % steps * RADIANS, steps * 1000);
        if rest == 0 {
            return Self { cos, sin };
        }
        Self { cos: cos - scale_down(sin * rest, 30), sin: sin + scale_down(cos * rest, 30) }
    }

    /// `point` in a frame turned so that this direction lies ahead: how far ahead, and how far to the left.
    pub(super) fn turn(self, point: Point) -> (i64, i64) {
        let (x, y) = point.fine();
        (scale_down(x * self.cos + y * self.sin, 30), scale_down(y * self.cos - x * self.sin, 30))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_that_are_no_thousandth_of_a_degree_keep_the_stated_bound() {
        let mut worst: f64 = 0.0;
        for steps in [7, 36, 360, 400, 512, 1000, 1009, 3599] {
            for step in 0..steps {
                let toward = Direction::of_step(step, steps);
                let exact = step as f64 * core::f64::consts::TAU / steps as f64;
                for (ours, exact) in [(toward.cos, exact.cos()), (toward.sin, exact.sin())] {
                    worst = worst.max((ours as f64 - exact * f64::from(1 << 30)).abs());
                }
            }
        }
        assert!(worst <= 4.0, "{worst}");
    }

    #[test]
    fn a_place_keeps_its_micrometres_and_its_direction() {
        let [x, y] = [-3000, 4000].map(Length::from_milli);
        let place = Point::new(x, y);
        assert_eq!((place.x(), place.y(), place.radius().milli()), (x, y, 5000));
        assert_eq!(place.direction_from(Point::ORIGIN).milli(), 126_870);
        assert_eq!(place.mirrored().direction_from(Point::ORIGIN).milli(), 53_130);
        assert_eq!(place.direction_from(place), Angle::ZERO);
    }

    #[test]
    fn a_place_beyond_a_metre_is_brought_to_a_metre() {
        let far = Point::new(Length::from_milli(i32::MAX), Length::from_milli(i32::MIN));
        assert_eq!((far.x().milli(), far.y().milli()), (1_000_000, -1_000_000));
    }
}
