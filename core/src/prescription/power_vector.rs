//! Power vectors.
//!
//! M = S + C/2, J0 = −(C/2) cos 2A, J45 = −(C/2) sin 2A (Thibos, Wheeler and Horner 1997, Optometry and
//! Vision Science 74:367).

use super::SphereCylinder;
use crate::maths::{divide_nearest, half_atan2, scale_down, sin_cos};
use crate::units::{Angle, Axis, OutOfRange, Power};

/// A lens as a vector, in micro-dioptres (1e-6 D), so that sums are rounded to 1/1000 D only once.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PowerVector {
    /// Mean sphere (spherical equivalent) in 1e-6 D.
    pub m: i32,
    /// Jackson cross cylinder at 0/90 in 1e-6 D.
    pub j0: i32,
    /// Jackson cross cylinder at 45/135 in 1e-6 D.
    pub j45: i32,
}

impl From<SphereCylinder> for PowerVector {
    /// M is exact; J0 and J45 are within 0.6 units of 1e-6 D for cylinders up to ±100 D.
    fn from(lens: SphereCylinder) -> Self {
        let (sin, cos) = sin_cos(Angle::from_milli(lens.axis.milli() * 2));
        let half = i64::from(lens.cylinder.milli()) * 500;
        let part = |ratio: i32| scale_down(-half * i64::from(ratio), 30) as i32;
        Self { m: lens.sphere.milli() * 1000 + half as i32, j0: part(cos), j45: part(sin) }
    }
}

impl PowerVector {
    /// The component-wise sum, or `None` beyond ±2147 D.
    #[must_use]
    pub fn checked_add(self, other: Self) -> Option<Self> {
        Some(Self {
            m: self.m.checked_add(other.m)?,
            j0: self.j0.checked_add(other.j0)?,
            j45: self.j45.checked_add(other.j45)?,
        })
    }

    /// The same vector with every sign turned: what neutralises the lens.
    #[must_use]
    pub fn negated(self) -> Self {
        Self { m: -self.m, j0: -self.j0, j45: -self.j45 }
    }

    /// Back to a minus cylinder. Sphere and cylinder are this vector's, correctly rounded to 1/1000 D; the
    /// axis is within 0.501 units of 1/1000 degree. A cylinder that rounds to zero has no axis. The combined
    /// power, being a sum of two rounded numbers, may be one unit off.
    ///
    /// # Errors
    /// Sphere or cylinder is beyond ±100 D.
    pub fn minus_cylinder(self) -> Result<SphereCylinder, OutOfRange> {
        let root = Root::of(self.crossed_square());
        let sphere = root.added_to(i64::from(self.m));
        self.lens(sphere, -root.doubled(), 0)
    }

    /// Back to a plus cylinder, rounded as by [`PowerVector::minus_cylinder`].
    ///
    /// # Errors
    /// Sphere or cylinder is beyond ±100 D.
    pub fn plus_cylinder(self) -> Result<SphereCylinder, OutOfRange> {
        let root = Root::of(self.crossed_square());
        let sphere = -root.added_to(-i64::from(self.m));
        self.lens(sphere, root.doubled(), 90_000)
    }

    /// The length of the vector, √(M² + J0² + J45²), correctly rounded to 1/1000 D: how strongly it blurs, as
    /// one number (Thibos, Wheeler and Horner 1997). A sphere of that power blurs as much.
    pub fn strength(self) -> Power {
        let m = u64::from(self.m.unsigned_abs());
        Power::from_milli(Root::of(m * m + self.crossed_square()).added_to(0) as i32)
    }

    fn crossed_square(self) -> u64 {
        let (j0, j45) = (u64::from(self.j0.unsigned_abs()), u64::from(self.j45.unsigned_abs()));
        j0 * j0 + j45 * j45
    }

    fn lens(self, sphere: i64, cylinder: i64, turn: i32) -> Result<SphereCylinder, OutOfRange> {
        let axis = half_atan2(i64::from(self.j45), i64::from(self.j0)).milli() + turn;
        let power = |milli: i64| Power::try_from(milli.clamp(i32::MIN.into(), i32::MAX.into()) as i32);
        Ok(SphereCylinder::new(power(sphere)?, power(cylinder)?, Axis::from_milli(axis)))
    }
}

/// The square root of a square in (1e-6 D)², from which thousandths are rounded once: adding an integer to a
/// root and comparing with an integer needs no more than the root's floor.
struct Root {
    /// Floor of the doubled root.
    doubled: u64,
    exact: bool,
}

impl Root {
    fn of(square: u64) -> Self {
        // Where four times the square has no room the power is far beyond any lens, and is refused.
        let doubled = square.saturating_mul(4).isqrt();
        Self { doubled, exact: (doubled / 2).pow(2) == square }
    }

    /// `micro` + root in 1/1000, halves away from zero.
    fn added_to(&self, micro: i64) -> i64 {
        let sum = micro + (self.doubled / 2) as i64;
        if self.exact { divide_nearest(sum, 1000) } else { (sum + 500).div_euclid(1000) }
    }

    /// Twice the root in 1/1000, halves up.
    fn doubled(&self) -> i64 {
        (self.doubled as i64 + 500) / 1000
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lens(sphere: i32, cylinder: i32, axis: i16) -> SphereCylinder {
        SphereCylinder::new(Power::from_milli(sphere), Power::from_milli(cylinder), Axis::from_degrees(axis))
    }

    #[test]
    fn every_common_lens_survives_the_way_there_and_back() {
        for cylinder in (-6000..=0).step_by(125) {
            for axis in 1..=180 {
                let lens = lens(-2250, cylinder, axis);
                assert_eq!(PowerVector::from(lens).minus_cylinder(), Ok(lens));
                assert_eq!(PowerVector::from(lens.transposed()).minus_cylinder(), Ok(lens));
                assert_eq!(PowerVector::from(lens).plus_cylinder(), Ok(lens.plus_cylinder()));
            }
        }
    }

    #[test]
    fn thousandths_are_rounded_once_and_halves_go_away_from_zero() {
        let sphere = |m, j0| PowerVector { m, j0, j45: 0 }.minus_cylinder().map(|lens| lens.sphere.milli());
        // m + j0 is exactly half a thousandth from the next.
        for (m, j0, expected) in
            [(300, 200, 1), (299, 200, 0), (-700, 200, -1), (-699, 200, 0), (-1700, 200, -2)]
        {
            assert_eq!(sphere(m, j0), Ok(expected), "{m} {j0}");
        }
        // The root is 200.0025: beyond the half by that little.
        assert_eq!(PowerVector { m: 300, j0: 200, j45: 1 }.minus_cylinder().map(|l| l.sphere.milli()), Ok(1));
        assert_eq!(
            PowerVector { m: -700, j0: 200, j45: 1 }.minus_cylinder().map(|l| l.sphere.milli()),
            Ok(0)
        );
    }

    #[test]
    fn strength_is_the_length_of_the_vector() {
        assert_eq!(PowerVector { m: 3_000_000, j0: -4_000_000, j45: 12_000_000 }.strength().milli(), 13_000);
        assert_eq!(PowerVector { m: -499, j0: 0, j45: 0 }.strength().milli(), 0);
        assert_eq!(PowerVector { m: -500, j0: 0, j45: 0 }.strength().milli(), 1);
        let longest = PowerVector { m: i32::MIN, j0: i32::MIN, j45: i32::MIN };
        assert!(longest.strength() > Power::from_milli(2_147_000));
        assert!(longest.minus_cylinder().is_err());
    }
}
