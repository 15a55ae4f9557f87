//! The blank that an outline is cut from: round, with the optical centre in its middle.
//!
//! The allowance counts on the diameter, half of it all round.

use super::Outline;
use crate::frame::Point;
use crate::frame::point::{Direction, FINE_BITS};
use crate::maths::{sqrt_nearest, sqrt_up};
use crate::units::{Angle, Length};

/// How a blank covers an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Cover {
    /// What is left beyond outline and allowance where it is least; negative when the blank is short. Rounded down
    /// to the micrometre.
    pub spare: Length,
    /// Where that is, seen from the optical centre, 0° to 360°.
    pub toward: Angle,
}

impl Cover {
    /// Whether the blank covers the outline everywhere, touching included.
    pub fn is_whole(&self) -> bool {
        self.spare >= Length::ZERO
    }
}

/// What a distance may be over before it is rounded up, in 1/1024 µm: the rounding of the points, so that a radius
/// of 25 mm needs 50 mm and not 50.001.
const SLACK: i64 = 2;

impl Outline<'_> {
    /// The point farthest from `from`, and its distance in 1/1024 µm, rounded up.
    fn farthest(&self, from: Point) -> (i64, Point) {
        let mut farthest = (0, from);
        for point in self.points {
            let square = point.square_from(from);
            if square > farthest.0 {
                farthest = (square, *point);
            }
        }
        (sqrt_up(farthest.0) as i64, farthest.1)
    }

    /// The least diameter of a blank with its middle at `centre`: twice the way to the farthest point, and the
    /// allowance. Rounded up to the micrometre; never more than 0.005 µm too small for the points.
    ///
    /// Never more than [`least_blank`](crate::frame::least_blank) of the same outline, which knows only how long
    /// the longest radius is, but for 2 µm of rounding.
    pub fn least_blank(&self, centre: Point, allowance: Length) -> Length {
        least_diameter(self.farthest(centre).0, allowance)
    }

    /// How a blank of this diameter with its middle at `centre` covers the outline: `spare` is not negative
    /// exactly when the diameter is at least [`Outline::least_blank`].
    pub fn cover(&self, blank: Length, centre: Point, allowance: Length) -> Cover {
        let (distance, point) = self.farthest(centre);
        let spare = (usable_radius(blank, allowance) - distance + SLACK) >> FINE_BITS;
        Cover { spare: Length::from_milli(spare as i32), toward: point.direction_from(centre) }
    }

    /// The farthest that the optical centre may be moved from the boxed centre toward `angle` (as one faces the
    /// wearer) for the blank to cover the outline still. Rounded down to the micrometre, within 1.01 µm; `None`
    /// when it covers the outline nowhere in that direction.
    pub fn largest_decentration(&self, blank: Length, angle: Angle, allowance: Length) -> Option<Length> {
        let usable = usable_radius(blank, allowance) + SLACK;
        let (centre, toward) = (self.boxed().centre, Direction::of(angle));
        // The middle must lie within the usable radius of each point: on the line, between two places.
        let (mut least, mut most) = (0, i64::MAX);
        for point in self.points {
            let (ahead, left) = toward.turn(point.less(centre));
            if left.abs() > usable {
                return None;
            }
            let half = sqrt_nearest((usable * usable - left * left) as u64) as i64;
            (least, most) = (least.max(ahead - half), most.min(ahead + half));
        }
        (least <= most).then(|| Length::from_milli((most >> FINE_BITS) as i32))
    }
}

/// Twice the way to the farthest place, in 1/1024 µm and rounded up, and the allowance: rounded up to the micrometre.
pub(in crate::frame) fn least_diameter(farthest: i64, allowance: Length) -> Length {
    let doubled = 2 * (farthest - SLACK);
    let diameter = (doubled + (1 << FINE_BITS) - 1) >> FINE_BITS;
    Length::from_milli((diameter + within_a_metre(allowance)) as i32)
}

/// Half of what a blank leaves for the outline, in 1/1024 µm.
fn usable_radius(blank: Length, allowance: Length) -> i64 {
    (within_a_metre(blank) - within_a_metre(allowance)) << (FINE_BITS - 1)
}

fn within_a_metre(length: Length) -> i64 {
    length.milli().clamp(-Length::LIMIT, Length::LIMIT).into()
}
