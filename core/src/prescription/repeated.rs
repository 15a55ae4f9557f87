//! Repeated readings of one lens: their mean and how far they scatter.
//!
//! Both are taken of the power vectors, never of spheres, cylinders and axes: axes of 179 and 1 have no mean
//! of 90, and the axis of a weak cylinder says little (Thibos, Wheeler and Horner 1997).

use super::{PowerVector, SphereCylinder};
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::units::Power;
use thiserror::Error;

/// Repeated readings cannot be summed up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum SpreadError {
    /// There is no reading.
    #[error("there is no reading yet; take at least one")]
    NoReading,
    /// There are more readings than fit.
    #[error("{count} readings are too many; give at most {limit}")]
    TooMany {
        /// How many there are.
        count: usize,
        /// How many are accepted.
        limit: usize,
    },
}

/// What repeated readings of a lens come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct RepeatedReadings {
    /// How many readings there are.
    pub count: usize,
    /// Their mean; each component is within 1.1 units of 1e-6 D.
    pub mean: PowerVector,
    /// The standard deviation of each component (with n − 1), within 3 units of 1e-6 D; `None` for one
    /// reading.
    pub deviation: Option<PowerVector>,
}

impl RepeatedReadings {
    /// The greatest number of readings.
    pub const MAX: usize = 50;

    /// Sums up `readings`, powers up to ±100 D.
    ///
    /// # Errors
    /// There is no reading, or there are more than fifty.
    pub fn of(readings: &[SphereCylinder]) -> Result<Self, SpreadError> {
        let count = readings.len();
        if count == 0 {
            return Err(SpreadError::NoReading);
        }
        if count > Self::MAX {
            return Err(SpreadError::TooMany { count, limit: Self::MAX });
        }
        let column = |part: fn(PowerVector) -> i32| {
            let values = || readings.iter().map(|lens| i64::from(part(PowerVector::from(*lens))));
            let mean = divide_nearest(values().sum(), count as i64);
            // Each difference is below 3e8 units, so that fifty squares fit.
            let squares: u64 = values().map(|value| (value - mean).unsigned_abs().pow(2)).sum();
            (mean as i32, squares)
        };
        let [m, j0, j45] = [column(|v| v.m), column(|v| v.j0), column(|v| v.j45)];
        let spread = |squares: u64| {
            let degrees = count as u64 - 1;
            sqrt_nearest((squares + degrees / 2) / degrees) as i32
        };
        let deviation =
            (count > 1).then(|| PowerVector { m: spread(m.1), j0: spread(j0.1), j45: spread(j45.1) });
        Ok(Self { count, mean: PowerVector { m: m.0, j0: j0.0, j45: j45.0 }, deviation })
    }

    /// The standard deviation of the vector as one number, √(s_M² + s_J0² + s_J45²), within 0.506 units of
    /// 1/1000 D; `None` for one reading.
    pub fn spread(self) -> Option<Power> {
        self.deviation.map(PowerVector::strength)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Notation;

    fn readings<const N: usize>(texts: [&str; N]) -> [SphereCylinder; N] {
        texts.map(|text| SphereCylinder::parse(text, Notation::Reading).unwrap())
    }

    #[test]
    fn axes_on_both_sides_of_180_have_a_mean_at_180() {
        let both = readings(["-1.00 -2.00 x 175", "-1.00 -2.00 x 5"]);
        let mean = RepeatedReadings::of(&both).unwrap().mean.minus_cylinder().unwrap();
        assert_eq!(mean.axis.milli(), 180_000);
        // J0 shrinks to cos 10° of it: the two readings partly cancel.
        assert_eq!((mean.sphere.milli(), mean.cylinder.milli()), (-1015, -1970));
    }

    #[test]
    fn equal_readings_have_no_spread_and_one_tells_nothing_of_it() {
        let one = readings(["+2.00 -0.50 x 33"; 1]);
        let once = RepeatedReadings::of(&one).unwrap();
        assert_eq!((once.spread(), once.mean.minus_cylinder()), (None, Ok(one[0])));
        let thrice = RepeatedReadings::of(&[one[0], one[0].transposed(), one[0]]).unwrap();
        assert_eq!(thrice.spread(), Some(Power::ZERO));
    }

    #[test]
    fn spheres_scatter_as_numbers_do() {
        // 1, 2 and 3 have a mean of 2 and a standard deviation of 1.
        let spheres = readings(["+1.00", "+2.00", "+3.00"]);
        let summed = RepeatedReadings::of(&spheres).unwrap();
        assert_eq!(summed.mean, PowerVector { m: 2_000_000, j0: 0, j45: 0 });
        assert_eq!(summed.deviation, Some(PowerVector { m: 1_000_000, j0: 0, j45: 0 }));
    }

    #[test]
    fn nothing_and_too_much_are_refused() {
        assert_eq!(RepeatedReadings::of(&[]), Err(SpreadError::NoReading));
        let many = [SphereCylinder::PLANO; 51];
        assert_eq!(RepeatedReadings::of(&many), Err(SpreadError::TooMany { count: 51, limit: 50 }));
        let far = [-100_000, 100_000].map(|milli| SphereCylinder::sphere(Power::from_milli(milli)));
        assert!(RepeatedReadings::of(&far.repeat(25)).is_ok());
    }
}
