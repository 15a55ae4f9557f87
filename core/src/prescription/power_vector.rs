//! Power vectors, and what is added in them: obliquely crossed lenses, residuals.
//!
//! M = S + C/2, J0 = −(C/2) cos 2A, J45 = −(C/2) sin 2A (Thibos, Wheeler and Horner 1997, Optometry and Vision
//! Science 74:367).

use super::SphereCylinder;
use crate::maths::{divide_nearest, half_atan2, scale_down, sin_cos, sqrt_nearest};
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

    /// Back to a minus cylinder. Sphere and cylinder are within 0.502 units of 1/1000 D of this vector's, the
    /// axis within 0.501 units of 1/1000 degree; a cylinder that rounds to zero has no axis.
    ///
    /// # Errors
    /// Sphere or cylinder is beyond ±100 D.
    pub fn minus_cylinder(self) -> Result<SphereCylinder, OutOfRange> {
        let (j0, j45) = (i64::from(self.j0), i64::from(self.j45));
        let square = (j0 * j0 + j45 * j45) as u64;
        // Half the cylinder and the whole of it, each rounded once from the same square.
        let half = sqrt_nearest(square) as i64;
        let whole = sqrt_nearest(square.saturating_mul(4)) as i64;
        let sphere = Power::try_from(divide_nearest(i64::from(self.m) + half, 1000) as i32)?;
        let cylinder = Power::try_from(divide_nearest(-whole, 1000) as i32)?;
        Ok(SphereCylinder::new(sphere, cylinder, Axis::from_milli(half_atan2(j45, j0).milli())))
    }
}

/// The thin lens that any number of thin lenses in contact make together, as a minus cylinder.
///
/// Each lens adds an error of at most 0.6e-6 D to each component before the result is rounded: for up to ten
/// lenses the principal powers are within 0.52 units of 1/1000 D.
///
/// # Errors
/// The result is beyond ±100 D.
pub fn combine(lenses: impl IntoIterator<Item = SphereCylinder>) -> Result<SphereCylinder, OutOfRange> {
    let mut sum = PowerVector::default();
    for lens in lenses {
        sum = sum.checked_add(lens.into()).ok_or(OutOfRange { milli: i32::MAX, limit: Power::LIMIT })?;
    }
    sum.minus_cylinder()
}

/// What `read` has that `ordered` has not, as a lens: the error that a wearer would look through.
///
/// # Errors
/// The result is beyond ±100 D.
pub fn residual(ordered: SphereCylinder, read: SphereCylinder) -> Result<SphereCylinder, OutOfRange> {
    let sum = PowerVector::from(read).checked_add(PowerVector::from(ordered).negated());
    sum.ok_or(OutOfRange { milli: i32::MAX, limit: Power::LIMIT })?.minus_cylinder()
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
            }
        }
    }

    #[test]
    fn a_lens_and_what_neutralises_it_are_nothing() {
        let one = lens(-3250, -1500, 20);
        assert_eq!(residual(one, one), Ok(SphereCylinder::PLANO));
    }

    #[test]
    fn a_sum_beyond_what_a_lens_can_be_is_refused() {
        assert!(combine([lens(100_000, 0, 180); 2]).is_err());
        assert!(combine([lens(100_000, 0, 180); 40]).is_err());
    }
}
