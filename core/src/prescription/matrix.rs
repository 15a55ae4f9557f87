//! The dioptric power matrix.
//!
//! F = [[S + C sin² A, −C sin A cos A], [−C sin A cos A, S + C cos² A]] = [[M + J0, J45], [J45, M − J0]] in
//! axes to the viewer's right and up (Long 1976, American Journal of Optometry and Physiological Optics
//! 53:27).

use super::SphereCylinder;
use crate::maths::{scale_down, sin_cos};
use crate::units::{Angle, within_turn};

/// Fractional bits of a matrix element in 1/1000 D: one unit is about 1e-9 D.
pub(super) const FRACTION_BITS: u32 = 20;

/// A lens as a symmetric matrix, each element in 2⁻²⁰ of 1/1000 D.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct PowerMatrix {
    /// Horizontal.
    pub(super) xx: i64,
    /// Between horizontal and vertical.
    pub(super) xy: i64,
    /// Vertical.
    pub(super) yy: i64,
}

impl PowerMatrix {
    /// In axes turned anticlockwise by `turn`. The trace is exact; elements are within |C|/2 · 2⁻²⁹ + 1e-9 D,
    /// four times better where A − turn is whole degrees.
    pub(super) fn turned(lens: SphereCylinder, turn: Angle) -> Self {
        let doubled = within_turn(lens.axis.milli() - turn.milli(), 180_000) * 2;
        let (sin, cos) = sin_cos(Angle::from_milli(doubled));
        let cylinder = i64::from(lens.cylinder.milli());
        // Half the cylinder times a sine has 31 fractional bits.
        let part = |ratio: i32| scale_down(-cylinder * i64::from(ratio), 31 - FRACTION_BITS);
        let mean = (2 * i64::from(lens.sphere.milli()) + cylinder) << (FRACTION_BITS - 1);
        let (j0, j45) = (part(cos), part(sin));
        Self { xx: mean + j0, xy: j45, yy: mean - j0 }
    }
}

impl From<SphereCylinder> for PowerMatrix {
    fn from(lens: SphereCylinder) -> Self {
        Self::turned(lens, Angle::ZERO)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Axis, Power};

    #[test]
    fn a_lens_on_its_own_axes_is_its_principal_powers() {
        let lens =
            SphereCylinder::new(Power::from_milli(-1250), Power::from_milli(-750), Axis::from_degrees(33));
        let one = 1 << FRACTION_BITS;
        let expected = PowerMatrix { xx: -1250 * one, xy: 0, yy: -2000 * one };
        assert_eq!(PowerMatrix::turned(lens, Angle::from_degrees(33)), expected);
        assert_eq!(PowerMatrix::turned(lens.transposed(), Angle::from_degrees(213)), expected);
    }
}
