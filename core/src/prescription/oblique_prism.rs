//! Prism as an amount and the direction of its base, and as parts in and up.

use super::Eye;
use crate::maths::{ONE, atan2, scale_down, sin_cos, sqrt_nearest};
use crate::units::{Angle, Prism, PrismPair};

/// A prism by its amount and base, the base by ISO 8429: 0° to the viewer's right, anticlockwise, the same
/// for both eyes. Base in is toward 0° before the right eye and toward 180° before the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ObliquePrism {
    /// How much, not negative.
    pub total: Prism,
    /// Where the base points, from 0 to below 360 degrees; `None` when there is no prism.
    pub base: Option<Angle>,
}

impl ObliquePrism {
    /// The parts of `pair` taken together. The total is correctly rounded to 1/1000 Δ, the base within 0.501
    /// units of 1/1000 degree.
    pub fn combine(pair: PrismPair, eye: Eye) -> Self {
        if pair.is_none() {
            return Self { total: Prism::ZERO, base: None };
        }
        let (x, y) = (i64::from(eye.inward() * pair.base_in.milli()), i64::from(pair.base_up.milli()));
        let total = sqrt_nearest((x * x + y * y) as u64) as i32;
        let base = atan2(y, x).milli().rem_euclid(360_000);
        Self { total: Prism::from_milli(total), base: Some(Angle::from_milli(base)) }
    }

    /// Split into parts in and up, each within 0.501 units of 1/1000 Δ for totals up to 100 Δ.
    ///
    /// Combining the parts again returns a total of up to 40 Δ within one unit.
    pub fn split(self, eye: Eye) -> PrismPair {
        let Some(base) = self.base else { return PrismPair::NONE };
        let (sin, cos) = sin_cos(base);
        let bits = ONE.trailing_zeros();
        let part = |ratio: i32| scale_down(i64::from(self.total.milli()) * i64::from(ratio), bits) as i32;
        PrismPair {
            base_in: Prism::from_milli(eye.inward() * part(cos)),
            base_up: Prism::from_milli(part(sin)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(base_in: i32, base_up: i32) -> PrismPair {
        PrismPair { base_in: Prism::from_milli(base_in), base_up: Prism::from_milli(base_up) }
    }

    #[test]
    fn base_in_points_to_the_nose_of_either_eye() {
        for (parts, right, left) in [
            (pair(2000, 0), 0, 180),
            (pair(-2000, 0), 180, 0),
            (pair(0, 2000), 90, 90),
            (pair(0, -2000), 270, 270),
            (pair(2000, 2000), 45, 135),
            (pair(2000, -2000), 315, 225),
        ] {
            for (eye, degrees) in [(Eye::Right, right), (Eye::Left, left)] {
                let prism = ObliquePrism::combine(parts, eye);
                assert_eq!(prism.base, Some(Angle::from_degrees(degrees)), "{parts} {eye}");
                assert_eq!(prism.split(eye), parts, "{parts} {eye}");
            }
        }
    }

    #[test]
    fn no_prism_has_no_base() {
        let none = ObliquePrism::combine(PrismPair::NONE, Eye::Left);
        assert_eq!((none.total, none.base), (Prism::ZERO, None));
        assert_eq!(none.split(Eye::Left), PrismPair::NONE);
    }

    #[test]
    fn a_base_just_below_the_horizontal_is_never_called_360() {
        let prism = ObliquePrism::combine(pair(100_000, -1), Eye::Right);
        assert_eq!(prism.base, Some(Angle::from_milli(359_999)));
    }
}
