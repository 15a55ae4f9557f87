//! Power in a meridian.

use super::SphereCylinder;
use crate::maths::{ONE, scale_down, sin_cos};
use crate::units::{Angle, Power};

impl SphereCylinder {
    /// Power in the meridian `at`: S + C·sin²(θ − A).
    ///
    /// The sphere is added exactly. What the cylinder adds is rounded to the nearest 1/1000 D, halves away
    /// from zero, with an error of at most 0.5 + 1e-3 units for cylinders up to ±100 D.
    #[must_use]
    pub fn meridian(self, at: Angle) -> Power {
        // sin² x = (1 − cos 2x) / 2
        let doubled = (at.milli() - self.axis.milli()).rem_euclid(180_000) * 2;
        let (_, cos) = sin_cos(Angle::from_milli(doubled));
        let versed = i64::from(ONE) - i64::from(cos);
        let part = scale_down(i64::from(self.cylinder.milli()) * versed, 31);
        self.sphere + Power::from_milli(part as i32)
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
