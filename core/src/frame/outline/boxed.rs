//! The box round an outline, and what is counted from its centre.

use super::Outline;
use crate::frame::point::{Direction, micrometres};
use crate::frame::{FrameSize, Point};
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::prescription::Eye;
use crate::units::{Angle, Length};

/// The box round an outline (ISO 8624), and the longest radius in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Boxed {
    /// Width, within 0.51 µm.
    pub a: Length,
    /// Height, within 0.51 µm.
    pub b: Length,
    /// The boxed centre, seen from the origin of the trace; seldom the origin itself.
    pub centre: Point,
    /// Effective diameter: twice the longest radius from the boxed centre, within 0.51 µm. Not the longest diameter.
    pub ed: Length,
    /// Where that radius points, 0° to 360°.
    pub ed_axis: Angle,
}

impl Boxed {
    /// As the sizes of a frame with this bridge.
    pub const fn size(&self, dbl: Length) -> FrameSize {
        FrameSize { a: self.a, b: self.b, dbl, ed: Some(self.ed) }
    }
}

/// How far the outline reaches down to the nose and down to the temple, 45° below the level, from the boxed centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct LowCorners {
    /// Toward the nose, within 2 µm.
    pub nasal: Length,
    /// Toward the temple, within 2 µm.
    pub temporal: Length,
}

impl LowCorners {
    /// How much fuller the nasal corner must be to raise a doubt. Common practice, no source: beyond the noise of a
    /// trace, well below the 1 to 2 mm by which a nose is cut away.
    pub const MARGIN: Length = Length::from_milli(200);

    /// Whether the shape may belong to the other eye or be reversed: a frame is cut away at the nose, so its
    /// low nasal corner is not the fuller one. A symmetric shape raises no doubt; nor does this prove a side.
    pub fn look_swapped(&self) -> bool {
        self.nasal - self.temporal > Self::MARGIN
    }
}

impl Outline<'_> {
    /// The box, its centre and the effective diameter, from the points alone.
    pub fn boxed(&self) -> Boxed {
        let start = self.points[0].fine();
        let (mut low, mut high) = (start, start);
        for (x, y) in self.points.iter().map(|point| point.fine()) {
            low = (low.0.min(x), low.1.min(y));
            high = (high.0.max(x), high.1.max(y));
        }
        // Twice the way from the centre: the centre of an odd width is no whole number.
        let doubled = (low.0 + high.0, low.1 + high.1);
        let square = |point: &Point| {
            let (x, y) = point.fine();
            (2 * x - doubled.0).unsigned_abs().pow(2) + (2 * y - doubled.1).unsigned_abs().pow(2)
        };
        let mut longest = (0, self.points[0]);
        for point in self.points {
            let square = square(point);
            if square > longest.0 {
                longest = (square, *point);
            }
        }
        let centre = Point::from_fine(divide_nearest(doubled.0, 2), divide_nearest(doubled.1, 2));
        Boxed {
            a: micrometres(high.0 - low.0),
            b: micrometres(high.1 - low.1),
            centre,
            ed: micrometres(sqrt_nearest(longest.0) as i64),
            ed_axis: longest.1.direction_from(centre),
        }
    }

    /// How far the outline reaches from `from` toward `angle`: the farthest crossing, within 2 µm; zero when there
    /// is none ahead.
    pub fn reach(&self, from: Point, angle: Angle) -> Length {
        let toward = Direction::of(angle);
        let mut farthest = 0;
        for (here, next) in self.chords() {
            let [(ahead, left), (ahead2, left2)] = [here, next].map(|point| toward.turn(point.less(from)));
            if left <= 0 && left2 > 0 {
                farthest = farthest.max(ahead + divide_nearest((ahead2 - ahead) * -left, left2 - left));
            }
        }
        micrometres(farthest)
    }

    /// The two low corners of a lens of `eye`.
    pub fn low_corners(&self, eye: Eye) -> LowCorners {
        let centre = self.boxed().centre;
        let [right, left] = [315, 225].map(|degrees| self.reach(centre, Angle::from_degrees(degrees)));
        match eye {
            Eye::Right => LowCorners { nasal: right, temporal: left },
            Eye::Left => LowCorners { nasal: left, temporal: right },
        }
    }
}
