//! The point of a lens that gives a wanted prism: p = −F·r solved for r.

use super::{Eye, LensPoint, SphereCylinder};
use crate::maths::{ONE, divide_nearest, scale_down, sin_cos};
use crate::units::{Axis, Length, Power, Prism, PrismPair};
use thiserror::Error;

/// A lens cannot give the prism that is wanted: in one of its principal meridians it has no power, or so
/// little that the point lies more than a metre off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[error("the lens has {power} D in the meridian {meridian}°, too little for the {} Δ wanted along it", .needed.abs())]
pub struct WantedPrismError {
    /// The meridian in which power is missing.
    pub meridian: Axis,
    /// The power the lens has there.
    pub power: Power,
    /// The part of the wanted prism that lies along it.
    pub needed: Prism,
}

impl SphereCylinder {
    /// The point through which `eye` must look for `prism`; of several (a plano cylinder has a line of them)
    /// the one nearest the optical centre.
    ///
    /// Each part is within 0.5 + 0.01 µm for prism up to 20 Δ and lenses with at least 0.125 D in both
    /// principal meridians. Where the lens has no power in a meridian, prism along it up to 0.001 Δ is taken
    /// for rounding.
    ///
    /// # Errors
    /// In one of its principal meridians the lens has too little power.
    pub fn point_for(self, eye: Eye, prism: PrismPair) -> Result<LensPoint, WantedPrismError> {
        let nasal = eye.inward();
        let (sin, cos) = sin_cos(self.axis.angle());
        let [sin, cos] = [sin, cos].map(i64::from);
        let (x, y) = (i64::from(nasal * prism.base_in.milli()), i64::from(prism.base_up.milli()));
        // Along the axis the lens has its sphere, across it the combined power.
        let along = distance(x * cos + y * sin, self.sphere, self.axis)?;
        let across = distance(y * cos - x * sin, self.combined_power(), self.axis.crossed())?;
        let length = |sum: i64| Length::from_milli(scale_down(sum, BITS + DISTANCE_BITS) as i32);
        let (right, up) = (along * cos - across * sin, along * sin + across * cos);
        Ok(LensPoint { inward: length(i64::from(nasal) * right), up: length(up) })
    }
}

const BITS: u32 = ONE.trailing_zeros();

/// Fractional bits of a distance in µm: a metre, turned, still fits.
const DISTANCE_BITS: u32 = 8;

/// How far to go along a principal meridian of power `power`, in 2⁻⁸ µm, for a prism in 2⁻³⁰ · 1/1000 Δ.
fn distance(prism: i64, power: Power, meridian: Axis) -> Result<i64, WantedPrismError> {
    const METRE: i64 = (Length::LIMIT as i64) << DISTANCE_BITS;
    let needed = Prism::from_milli(scale_down(prism, BITS) as i32);
    let weak = WantedPrismError { meridian, power, needed };
    if power.is_zero() {
        return if needed.milli().abs() <= 1 { Ok(0) } else { Err(weak) };
    }
    // 1/1000 Δ over 1/1000 D is a centimetre.
    let sign = i64::from(power.milli().signum());
    let finer = divide_nearest(-sign * prism * 10_000, i64::from(power.milli().abs()));
    let far = scale_down(finer, BITS - DISTANCE_BITS);
    if far.abs() > METRE { Err(weak) } else { Ok(far) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Notation;
    use std::string::ToString;

    fn lens(text: &str) -> SphereCylinder {
        SphereCylinder::parse(text, Notation::Order).unwrap()
    }

    fn prism(text: &str) -> PrismPair {
        PrismPair::parse(text).unwrap()
    }

    #[test]
    fn a_lens_without_power_where_the_prism_is_wanted_says_so() {
        let error = lens("pl").point_for(Eye::Right, prism("2 in")).unwrap_err();
        assert_eq!(
            error.to_string(),
            "the lens has 0.00 D in the meridian 180°, too little for the 2.00 Δ wanted along it"
        );
        assert_eq!(lens("pl").point_for(Eye::Right, PrismPair::NONE), Ok(LensPoint::OPTICAL_CENTRE));
        // Axis vertical: all its power lies in the horizontal.
        let cylinder = lens("pl -2.00 x 90");
        let at = cylinder.point_for(Eye::Left, prism("1 in")).unwrap();
        assert_eq!((at.inward.milli(), at.up.milli()), (5000, 0));
        let error = cylinder.point_for(Eye::Left, prism("1 in 0.5 down")).unwrap_err();
        assert_eq!((error.meridian, error.needed.abs()), (Axis::VERTICAL, Prism::from_milli(500)));
    }

    #[test]
    fn a_plano_cylinder_gives_what_its_power_reaches_and_rounding_is_forgiven() {
        let cylinder = lens("pl +3.00 x 30");
        let there = LensPoint { inward: Length::from_milli(-2000), up: Length::from_milli(3464) };
        let wanted = cylinder.prism_at(Eye::Right, there).unwrap();
        let found = cylinder.point_for(Eye::Right, wanted).unwrap();
        assert_eq!(cylinder.prism_at(Eye::Right, found), Ok(wanted));
    }

    #[test]
    fn a_point_beyond_a_metre_is_refused() {
        assert!(lens("+0.125").point_for(Eye::Right, prism("12 up")).is_ok());
        assert!(lens("+0.125").point_for(Eye::Right, prism("13 up")).is_err());
    }
}
