//! Power and radius of a surface in air, r = (n − 1)/F, and what a lens clock shows of it.

use crate::maths::divide_nearest;
use crate::units::{Length, OutOfRange, Power, RefractiveIndex};
use thiserror::Error;

/// A curve that cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum CurveError {
    /// No radius gives it power.
    #[error("a material of index 1 bends no light; a lens material has about 1.5")]
    Air,
    /// A flat surface has no radius.
    #[error("a surface of 0.00 D is flat and has no radius")]
    Flat,
    /// A surface without a radius has no power.
    #[error("a radius of 0 mm makes no surface")]
    Point,
    /// The power is beyond ±100 D.
    #[error("a surface power lies within ±{} D", Power::LIMIT / 1000)]
    Power(OutOfRange),
    /// The curve ends before it is as far from its axis.
    #[error("a curve of radius {radius} mm does not reach {at} mm from its axis")]
    Beyond {
        /// The distance from the axis that was asked for.
        at: Length,
        /// The radius of the curve, to the nearest µm.
        radius: Length,
    },
}

/// The index a lens clock may be made for, crown glass: 1.523. Which one a clock has is a setting.
pub const CLOCK_INDEX_1_523: RefractiveIndex = index(15_230);

/// The index a lens clock may be made for, tool index: 1.530. Which one a clock has is a setting.
pub const CLOCK_INDEX_1_530: RefractiveIndex = index(15_300);

/// An index that is written here; what is none becomes the greatest.
pub(super) const fn index(ten_thousandths: u16) -> RefractiveIndex {
    match RefractiveIndex::from_ten_thousandths(ten_thousandths) {
        Ok(index) => index,
        Err(_) => RefractiveIndex::MAX,
    }
}

/// The radius of a surface of 1/1000 D in µm, (n − 1)·10⁹: power times radius of every surface of the material.
/// At most 2·10⁹.
pub(super) const fn bend(index: RefractiveIndex) -> i64 {
    (index.ten_thousandths() - RefractiveIndex::AIR.ten_thousandths()) as i64 * 100_000
}

/// [`bend`] of a material that is not air.
pub(super) fn refracting(index: RefractiveIndex) -> Result<i64, CurveError> {
    if index == RefractiveIndex::AIR { Err(CurveError::Air) } else { Ok(bend(index)) }
}

/// The radius of a surface of `power`, with its sign. Correctly rounded to the µm, halves away from zero.
///
/// # Errors
/// The power is zero, or the index 1.
pub fn radius(power: Power, index: RefractiveIndex) -> Result<Length, CurveError> {
    let bend = refracting(index)?;
    let milli = i64::from(power.milli());
    match milli.signum() {
        0 => Err(CurveError::Flat),
        sign => Ok(Length::from_milli((sign * divide_nearest(bend, milli.abs())) as i32)),
    }
}

/// The power of a surface of `radius`, with its sign. Correctly rounded to 1/1000 D, halves away from zero.
///
/// # Errors
/// The radius is zero, the index 1, or the power beyond ±100 D.
pub fn surface_power(radius: Length, index: RefractiveIndex) -> Result<Power, CurveError> {
    let bend = refracting(index)?;
    let micrometres = i64::from(radius.milli());
    match micrometres.signum() {
        0 => Err(CurveError::Point),
        sign => power(sign * divide_nearest(bend, micrometres.abs())),
    }
}

/// The power of a surface of a material of `index`, from the `reading` of a clock made for `clock`:
/// reading·(n − 1)/(n_clock − 1). Correctly rounded to 1/1000 D, halves away from zero.
///
/// # Errors
/// An index is 1, or the power beyond ±100 D.
pub fn power_from_clock(
    reading: Power,
    clock: RefractiveIndex,
    index: RefractiveIndex,
) -> Result<Power, CurveError> {
    power(divide_nearest(i64::from(reading.milli()) * refracting(index)?, refracting(clock)?))
}

fn power(milli: i64) -> Result<Power, CurveError> {
    let milli = milli.clamp(i32::MIN.into(), i32::MAX.into()) as i32;
    Power::try_from(milli).map_err(CurveError::Power)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn n(text: &str) -> RefractiveIndex {
        RefractiveIndex::parse(text).unwrap()
    }

    #[test]
    fn radius_and_power_of_a_published_course() {
        // NFOS course, module 6: n 1.530, r 84 mm is +6.31 D; +5.00 D has 106 mm.
        assert_eq!(surface_power(Length::from_milli(84_000), n("1.530")).map(Power::milli), Ok(6310));
        assert_eq!(radius(Power::from_milli(5000), n("1.53")).map(Length::milli), Ok(106_000));
        assert_eq!(radius(Power::from_milli(-5000), n("1.53")).map(Length::milli), Ok(-106_000));
    }

    #[test]
    fn a_clock_on_other_materials_than_its_own() {
        // Exam preparation page: a clock for 1.523 shows +6.00 on CR-39, polycarbonate and 1.67. It prints two
        // decimals.
        for (index, printed) in [("1.498", 571), ("1.586", 672), ("1.67", 769)] {
            let power = power_from_clock(Power::from_milli(6000), CLOCK_INDEX_1_523, n(index)).unwrap();
            assert_eq!((power.milli() + 5) / 10, printed, "{index}");
            // What the clock shows is what it would find on its own material.
            let back = power_from_clock(power, n(index), CLOCK_INDEX_1_523).unwrap();
            assert!((back.milli() - 6000).abs() <= 1, "{index}");
        }
        let own = power_from_clock(Power::from_milli(-4250), CLOCK_INDEX_1_530, n("1.530"));
        assert_eq!(own, Ok(Power::from_milli(-4250)));
        assert_eq!((CLOCK_INDEX_1_523, CLOCK_INDEX_1_530), (n("1.523"), n("1.530")));
    }

    #[test]
    fn what_has_no_curve_is_refused() {
        assert_eq!(radius(Power::ZERO, n("1.5")), Err(CurveError::Flat));
        assert_eq!(surface_power(Length::ZERO, n("1.5")), Err(CurveError::Point));
        assert_eq!(radius(Power::from_milli(1000), RefractiveIndex::AIR), Err(CurveError::Air));
        assert!(matches!(surface_power(Length::from_milli(1), n("1.5")), Err(CurveError::Power(_))));
    }

    #[test]
    fn extremes_stay_in_range() {
        assert_eq!(radius(Power::from_milli(1), RefractiveIndex::MAX).map(Length::milli), Ok(2_000_000_000));
        assert_eq!(radius(Power::from_milli(i32::MIN), n("1.0001")).map(Length::milli), Ok(0));
        let huge = power_from_clock(Power::from_milli(i32::MIN), n("1.0001"), RefractiveIndex::MAX);
        assert!(matches!(huge, Err(CurveError::Power(_))));
    }
}
