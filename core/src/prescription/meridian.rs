//! Power in a meridian.

use super::SphereCylinder;
use crate::maths::{ONE, cos_doubled, scale_down};
use crate::units::{Angle, Power, within_turn};

impl SphereCylinder {
    /// Power in the meridian `at`: S + C·sin²(θ − A).
    ///
    /// The sphere is added exactly. What the cylinder adds is rounded to the nearest 1/1000 D, halves away
    /// from zero, with an error of at most 0.5 + 1e-3 units for cylinders up to ±100 D.
    pub fn meridian(self, at: Angle) -> Power {
        // sin² x = (1 − cos 2x) / 2
        let cos = cos_doubled(within_turn(at.milli() - self.axis.milli(), 180_000));
        // From 0 to 2 · ONE.
        let versed = i64::from(ONE.wrapping_sub(cos).cast_unsigned());
        let part = scale_down(i64::from(self.cylinder.milli()) * versed, 31);
        self.sphere + Power::from_milli(part as i32)
    }

    /// Power in the meridians 180 and 90: the same as two calls of [`SphereCylinder::meridian`], for one cosine.
    pub fn horizontal_and_vertical(self) -> [Power; 2] {
        let cos = cos_doubled(self.axis.milli());
        let cylinder = i64::from(self.cylinder.milli());
        // What lies along one of them is lacking along the other: sin² A + cos² A is one.
        let horizontal = cylinder * i64::from(ONE.wrapping_sub(cos).cast_unsigned());
        let power = |part| self.sphere + Power::from_milli(scale_down(part, 31) as i32);
        [power(horizontal), power((cylinder << 31) - horizontal)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Axis;

    #[test]
    fn the_two_principal_meridians_are_exact() {
        let lens =
            SphereCylinder::new(Power::from_milli(-1125), Power::from_milli(-875), Axis::from_degrees(33));
        assert_eq!(lens.meridian(Angle::from_degrees(33)), lens.sphere);
        assert_eq!(lens.meridian(Angle::from_degrees(123)), lens.combined_power());
        assert_eq!(lens.meridian(Angle::from_degrees(-57)), lens.combined_power());
    }

    #[test]
    fn one_cosine_gives_both_meridians() {
        for milli in 1..=180_000 {
            // An odd cylinder at 45 degrees lies half way between two thousandths.
            for cylinder in [-1375, 2000] {
                let axis = Axis::from_milli(milli);
                let lens = SphereCylinder::new(Power::from_milli(500), Power::from_milli(cylinder), axis);
                let [horizontal, vertical] = lens.horizontal_and_vertical();
                assert_eq!(horizontal, lens.meridian(Angle::ZERO), "{milli} {cylinder}");
                assert_eq!(vertical, lens.meridian(Angle::from_degrees(90)), "{milli} {cylinder}");
            }
        }
    }

    #[test]
    fn both_forms_of_a_lens_agree_in_every_meridian() {
        let lens =
            SphereCylinder::new(Power::from_milli(500), Power::from_milli(-2000), Axis::from_degrees(30));
        for degree in 1..=180 {
            let at = Angle::from_degrees(degree);
            let apart = (lens.meridian(at) - lens.transposed().meridian(at)).abs();
            assert!(apart <= Power::from_milli(1), "{degree}");
        }
    }
}
