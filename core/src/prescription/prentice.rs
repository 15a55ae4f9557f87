//! Prism at a point of a lens: Prentice's rule for any sphere, cylinder and axis.
//!
//! p = −F·r with the power matrix F and the point r from the optical centre in centimetres; p points to the
//! base (Long 1976).

use super::matrix::{FRACTION_BITS, PowerMatrix};
use super::{Eye, LensPoint, ObliquePrism, SphereCylinder};
use crate::maths::{atan2, divide_nearest, scale_down, sqrt_nearest};
use crate::units::{Angle, OutOfRange, Prism, PrismPair};

/// What a part of [`RawPrism`] is divided by to give 1/1000 Δ: 1/1000 D · µm is 1e-4 of it.
const UNIT: i64 = 10_000 << FRACTION_BITS;

/// Prism before it is rounded: base in and base up, in 2⁻²⁰ · 1/1000 D · µm.
#[derive(Clone, Copy)]
pub(super) struct RawPrism {
    pub(super) base_in: i64,
    pub(super) base_up: i64,
}

impl RawPrism {
    pub(super) fn at(lens: SphereCylinder, eye: Eye, point: LensPoint) -> Self {
        let power = PowerMatrix::from(lens);
        let nasal = i64::from(eye.inward());
        let (x, y) = (nasal * i64::from(point.inward.milli()), i64::from(point.up.milli()));
        Self { base_in: -nasal * (power.xx * x + power.xy * y), base_up: -(power.xy * x + power.yy * y) }
    }
}

/// One part, rounded to the nearest 1/1000 Δ.
pub(super) fn rounded(part: i64) -> Result<Prism, OutOfRange> {
    let milli = divide_nearest(part, UNIT);
    Prism::try_from(milli.clamp(i32::MIN.into(), i32::MAX.into()) as i32)
}

impl SphereCylinder {
    /// The prism that `eye` meets when it looks through `point` of this lens.
    ///
    /// Each part is within 0.5 + 1e-3 units of 1/1000 Δ for powers up to ±100 D and points up to 40 mm in and
    /// up.
    ///
    /// ```
    /// use bevelbook_core::prescription::{Eye, LensPoint, SphereCylinder};
    /// use bevelbook_core::units::{Length, Notation};
    /// let lens = SphereCylinder::parse("+4.00", Notation::Order)?;
    /// let point = LensPoint { inward: Length::from_milli(-5000), up: Length::ZERO };
    /// let prism = lens.prism_at(Eye::Right, point).map(|prism| prism.base_in.milli());
    /// assert_eq!(prism, Ok(2000)); // 5 mm out of a plus lens: the base is in.
    /// # Ok::<(), bevelbook_core::units::TextError>(())
    /// ```
    ///
    /// # Errors
    /// A part is beyond ±100 Δ.
    pub fn prism_at(self, eye: Eye, point: LensPoint) -> Result<PrismPair, OutOfRange> {
        let raw = RawPrism::at(self, eye, point);
        Ok(PrismPair { base_in: rounded(raw.base_in)?, base_up: rounded(raw.base_up)? })
    }

    /// The same as one amount and the direction of its base, taken before the parts are rounded: however little prism
    /// there is, its base is right.
    ///
    /// The total is within 0.503 units of 1/1000 Δ; the base within 0.7 units of 1/1000 degree from 1 Δ on, within 2 from
    /// 0.1 Δ on; both for
    /// powers up to ±100 D and points up to 40 mm in and up. There is no base where the total is zero.
    ///
    /// # Errors
    /// As [`Self::prism_at`].
    pub fn oblique_prism_at(self, eye: Eye, point: LensPoint) -> Result<ObliquePrism, OutOfRange> {
        /// A part is rounded to 2⁻¹⁰ of 1/1000 Δ, so that the squares of two of up to 100 Δ fit.
        const FINE_BITS: u32 = 10;
        let raw = RawPrism::at(self, eye, point);
        // Whether a part is too large.
        self.prism_at(eye, point)?;
        let [x, y] = [i64::from(eye.inward()) * raw.base_in, raw.base_up]
            .map(|part| divide_nearest(part, UNIT >> FINE_BITS));
        let total = scale_down(sqrt_nearest((x * x + y * y) as u64) as i64, FINE_BITS) as i32;
        let base = (total > 0).then(|| Angle::from_milli(atan2(y, x).milli().rem_euclid(360_000)));
        Ok(ObliquePrism { total: Prism::try_from(total)?, base })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Axis, Length, Power};

    fn point(inward: i32, up: i32) -> LensPoint {
        LensPoint { inward: Length::from_milli(inward), up: Length::from_milli(up) }
    }

    #[test]
    fn a_lens_and_its_mirror_give_the_two_eyes_the_same() {
        for axis in 1..=180 {
            let right = SphereCylinder::new(
                Power::from_milli(2250),
                Power::from_milli(-1375),
                Axis::from_degrees(axis),
            );
            let left = SphereCylinder::new(right.sphere, right.cylinder, right.axis.mirrored());
            for at in [point(3000, -8000), point(-2500, 1), point(12_345, 6789)] {
                assert_eq!(right.prism_at(Eye::Right, at), left.prism_at(Eye::Left, at), "{axis}");
            }
        }
    }

    #[test]
    fn the_optical_centre_has_no_prism_and_far_outside_is_refused() {
        let lens = SphereCylinder::sphere(Power::from_milli(100_000));
        assert_eq!(lens.prism_at(Eye::Left, LensPoint::OPTICAL_CENTRE), Ok(PrismPair::NONE));
        assert!(lens.prism_at(Eye::Left, point(1_000_000, 0)).is_err());
    }
}
