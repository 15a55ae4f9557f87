//! The tightest bend of an outline, and the girth of the parallel curve where no bend is tight.

use super::Outline;
use crate::frame::Point;
use crate::frame::point::micrometres;
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::units::{Angle, Length};

/// The tightest bend of an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Bend {
    /// The radius of the circle there.
    pub radius: Length,
    /// Where it is, seen from the origin of the trace, 0° to 360°.
    pub toward: Angle,
}

impl Outline<'_> {
    /// How far the outer two of the three points lie from the middle one, at least. Common practice, no source:
    /// over less, the 1/100 mm of a trace bends more than the lens does.
    pub const SPAN: Length = Length::from_milli(3000);

    /// The smallest radius of curvature where the outline bends outward: that of the circle through a point and the
    /// nearest ones at least [`Outline::SPAN`] away on either side, the smallest of all points. `None` when no
    /// such circle is below a metre.
    ///
    /// An estimate: 3 % too small to 6 % too large for ellipses of lens size traced in 1/100 mm at 100 points or
    /// more, down to a radius of 6.75 mm; within 0.1 % for a circle in whole micrometres. A corner shorter than
    /// twice the span reads too large.
    pub fn tightest_bend(&self) -> Option<Bend> {
        let count = self.points.len();
        let away = |from: usize, step: usize| {
            let far = (1..count).map(|times| (from + times * step) % count).find(|&at| {
                let span = (Self::SPAN.milli() as u64) << 10;
                self.points[at].square_from(self.points[from]) >= span.pow(2)
            });
            far.map(|at| self.points[at])
        };
        let mut tightest: Option<(i64, Point)> = None;
        for (index, here) in self.points.iter().enumerate() {
            let (Some(before), Some(after)) = (away(index, count - 1), away(index, 1)) else { continue };
            let Some(radius) = circle(before, *here, after) else { continue };
            if tightest.is_none_or(|(least, _)| radius < least) {
                tightest = Some((radius, *here));
            }
        }
        tightest.map(|(radius, at)| Bend {
            radius: micrometres(radius),
            toward: at.direction_from(Point::ORIGIN),
        })
    }

    /// The girth of the parallel curve at `step` by Steiner's formula, girth + 2π·step: that of the smooth curve
    /// from which the points were taken, less what its chords are short. [`Outline::offset`] follows the chords
    /// instead, whose corners lose more inward: 11 µm for a step of 0.25 mm at 36 points, less than 1 µm at 400.
    /// Within 0.51 µm of the formula for the rounded [`Outline::girth`].
    ///
    /// `None` where the formula may not hold: a circle through three points in a row that bends the way of the step
    /// is smaller than twice the step, or the step is beyond [`Outline::LARGEST_STEP`].
    pub fn offset_girth(&self, step: Length) -> Option<Length> {
        // 2π in 1/1,000,000.
        const TURN: i64 = 6_283_185;
        let room = i64::from(step.milli().unsigned_abs()) << 11;
        let here = self.points.iter().copied();
        let (next, last) = (here.clone().cycle().skip(1), here.clone().cycle().skip(2));
        let mut bends = here
            .zip(next)
            .zip(last)
            .filter_map(|((a, b), c)| if step < Length::ZERO { circle(a, b, c) } else { circle(c, b, a) });
        let holds = step <= Self::LARGEST_STEP && bends.all(|radius| radius >= room);
        let change = divide_nearest(i64::from(step.milli()) * TURN, 1_000_000);
        holds.then(|| self.girth() + Length::from_milli(change as i32))
    }
}

/// The radius in 1/1024 µm of the circle through three points that turn left: the product of their distances by
/// four times their area. `None` when they turn right or lie on a circle above a metre.
fn circle(before: Point, here: Point, after: Point) -> Option<i64> {
    const RATIO_BITS: u32 = 14;
    // In 1/64 µm, so that the product of two distances leaves room for the ratio's bits.
    let side = |one: Point, other: Point| sqrt_nearest(one.square_from(other)) as i64 >> 4;
    let doubled_area = here.less(before).cross(after.less(here)) >> 8;
    if doubled_area <= 0 {
        return None;
    }
    let ratio = ((side(before, here) * side(here, after)) << RATIO_BITS) / (2 * doubled_area);
    if ratio >= 1 << 30 {
        return None;
    }
    let radius = (ratio * side(before, after)) >> (RATIO_BITS - 4);
    (radius <= i64::from(Length::LIMIT) << 10).then_some(radius)
}
