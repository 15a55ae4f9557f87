//! The power of a tilted lens, looked through along the line of sight.
//!
//! For a sphere S tilted by α about an axis: S' = S·(1 + sin² α/(2n)), and a cylinder S'·tan² α whose axis is
//! the axis of the tilt (Martin's formulas; Durham Tech opticianry course, lens tilt). For a lens with a
//! cylinder that source has none; here the power matrix F, in axes along and across the axis of the tilt,
//! becomes (1 + sin² α/(2n)) · D·F·D with D = diag(1, 1/cos α). For a sphere that is the published pair of
//! formulas, and with a principal meridian on the axis of the tilt it is the same for each principal power.
//! The factors 1, 1/cos α and 1/cos² α are those of Blendowske's tilt matrix as an opticians' forum gives them
//! ("calculation for compensat lens", 2015; the matrix is named in the abstract of Harris 2002). Keating takes
//! (1 + 1/cos² α)/2 for the middle one: 0.01 % more at 10°, 0.2 % at 20°.
//!
//! A thin-lens model, good to third order: an exact ray through a thin lens has (n cos α' − cos α)/(n − 1) in
//! place of 1 + sin² α/(2n), with sin α = n sin α'. At index 1.5 the formula gives 0.02 % less at 10° and
//! 0.25 % less at 20°.

use super::matrix::{FRACTION_BITS, PowerMatrix};
use super::{PowerVector, SphereCylinder};
use crate::maths::{ONE, divide_nearest, scale_down, sin_cos};
use crate::units::{Angle, Axis, OutOfRange, Power, RefractiveIndex};

/// The power of a tilted lens cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum TiltError {
    /// The formulas are for small tilts.
    #[error("a tilt of {by}° is too large for this formula; it serves up to {limit}°")]
    TooLarge {
        /// The tilt asked for.
        by: Angle,
        /// The largest accepted.
        limit: Angle,
    },
    /// The result is beyond ±100 D.
    #[error("the result is beyond ±{} D; check the power", Power::LIMIT / 1000)]
    OutOfRange(#[from] OutOfRange),
}

/// The largest tilt accepted, chosen by us: beyond it the small-tilt formulas are off by more than 1 %.
const LIMIT: Angle = Angle::from_degrees(30);

/// Fractional bits of the factors by which a tilt multiplies powers.
const FACTOR_BITS: u32 = 25;

impl SphereCylinder {
    /// The power through the optical centre when the lens is tilted by `by` about `about`: pantoscopic tilt
    /// is about the horizontal ([`Axis::HORIZONTAL`]), face form about the vertical ([`Axis::VERTICAL`]). The
    /// sense of the tilt makes no difference.
    ///
    /// The cylinder keeps the sign it is written with; that of a sphere gets the sign of the sphere, and so
    /// its axis is that of the tilt. Sphere and cylinder are within 0.51 units of 1/1000 D of the model for
    /// powers up to ±20 D, the axis within 0.51 + 0.5/C units of 1/1000 degree where C is the resulting
    /// cylinder in dioptres.
    ///
    /// # Errors
    /// The tilt is beyond ±30°, or the result beyond ±100 D.
    pub fn tilted(self, by: Angle, about: Axis, index: RefractiveIndex) -> Result<Self, TiltError> {
        if by.abs() > LIMIT {
            return Err(TiltError::TooLarge { by, limit: LIMIT });
        }
        let lens = PowerMatrix::turned(self, about.angle());
        let [along, between, across] = factors(by, index);
        let scaled = |element: i64, factor: i64| scale_down(element * factor, FACTOR_BITS);
        let (xx, xy, yy) = (scaled(lens.xx, along), scaled(lens.xy, between), scaled(lens.yy, across));
        // In 1e-6 D: the mean, and the cross cylinders with three bits more, which still have to be turned.
        let micro = |element: i64, bits: u32| scale_down(element * 1000, bits);
        let (j0, j45) = (micro(xx - yy, FRACTION_BITS + 1 - 3), micro(xy, FRACTION_BITS - 3));
        // Back from the axes of the tilt to horizontal and vertical: cross cylinders turn by twice the angle.
        let (sin, cos) = sin_cos(Angle::from_milli(about.milli() * 2));
        let [sin, cos] = [sin, cos].map(i64::from);
        let bits = ONE.trailing_zeros() + 3;
        let vector = PowerVector {
            m: micro(xx + yy, FRACTION_BITS + 1) as i32,
            j0: scale_down(j0 * cos - j45 * sin, bits) as i32,
            j45: scale_down(j0 * sin + j45 * cos, bits) as i32,
        };
        let sign = if self.cylinder.is_zero() { self.sphere } else { self.cylinder };
        Ok(if sign > Power::ZERO { vector.plus_cylinder()? } else { vector.minus_cylinder()? })
    }
}

/// What the elements along the axis of the tilt, between, and across it are multiplied by.
fn factors(by: Angle, index: RefractiveIndex) -> [i64; 3] {
    let (sin, cos) = sin_cos(by);
    let [sin, cos, one] = [sin, cos, ONE].map(i64::from);
    let bits = ONE.trailing_zeros();
    let square = scale_down(sin * sin, bits);
    let gain = one + divide_nearest(square * 10_000, 2 * i64::from(index.ten_thousandths()));
    // Up to 30° these are below 1.5 and 1.5·2⁶⁰ fits.
    let over_cos = |value: i64| divide_nearest(value << bits, cos);
    let between = over_cos(gain);
    [gain, between, over_cos(between)].map(|factor| scale_down(factor, bits - FACTOR_BITS))
}
