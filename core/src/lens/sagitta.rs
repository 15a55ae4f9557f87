//! The depth of a spherical curve: s = r − √(r² − y²), exact.

use super::CurveError;
use super::curve::{radius as radius_of, refracting};
use crate::maths::sqrt_up;
use crate::units::{Length, Power, RefractiveIndex};

/// The sagitta of a curve of `radius` at the distance `at` from its axis, with the radius's sign. Correctly rounded
/// to the µm, halves away from zero.
///
/// # Errors
/// The radius is zero, or the distance greater than the radius.
pub fn sagitta(radius: Length, at: Length) -> Result<Length, CurveError> {
    match radius.milli().signum() {
        0 => Err(CurveError::Point),
        sign => curve_of(radius.milli().unsigned_abs().into(), 1, at)
            .map(|depth| Length::from_milli(sign * depth))
            .ok_or(CurveError::Beyond { at, radius }),
    }
}

/// The sagitta of a surface of `power`, with its sign, straight from the power: no radius is rounded on the way.
/// Correctly rounded to the µm, halves away from zero.
///
/// # Errors
/// The index is 1, or the surface ends before the distance `at` from its axis.
pub fn sagitta_of(power: Power, index: RefractiveIndex, at: Length) -> Result<Length, CurveError> {
    let (sign, steep) = (power.milli().signum(), u64::from(power.milli().unsigned_abs()));
    let bend = refracting(index)?;
    if sign == 0 {
        return Ok(Length::ZERO);
    }
    match curve_of(bend as u64, steep, at) {
        Some(depth) => Ok(Length::from_milli(sign * depth)),
        None => Err(CurveError::Beyond { at, radius: radius_of(power, index)? }),
    }
}

/// The sagitta of the radius `k / steep` in µm: (k − √(k² − steep²·y²)) / steep to the nearest, halves up. `None` where
/// the curve does not reach. `k` is at most 2³¹, `steep` at least 1.
fn curve_of(k: u64, steep: u64, at: Length) -> Option<i32> {
    let across = steep * u64::from(at.milli().unsigned_abs());
    if across > k {
        return None;
    }
    // ⌊x + ½⌋ with x = (k − √d)/steep is ⌊(2k + steep − √4d) / (2·steep)⌋, and for whole numbers the root may be
    // rounded up before.
    let root = if across == 0 { 2 * k } else { sqrt_up(4 * (k * k - across * across)) };
    i32::try_from((2 * k + steep - root) / (2 * steep)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn milli(power: i32, index: u16, at: i32) -> Result<i32, CurveError> {
        let index = RefractiveIndex::from_ten_thousandths(index).unwrap();
        sagitta_of(Power::from_milli(power), index, Length::from_milli(at)).map(Length::milli)
    }

    #[test]
    fn a_right_triangle_has_a_whole_sagitta() {
        // r = 66.25 mm and y = 35 mm leave √(66.25² − 35²) = 56.25 mm.
        assert_eq!(milli(8000, 15_300, 35_000), Ok(10_000));
        assert_eq!(milli(-8000, 15_300, -35_000), Ok(-10_000));
        // 5² = 3² + 4².
        assert_eq!(sagitta(Length::from_milli(5000), Length::from_milli(3000)), Ok(Length::from_milli(1000)));
        assert_eq!(
            sagitta(Length::from_milli(-5000), Length::from_milli(4000)),
            Ok(Length::from_milli(-2000))
        );
    }

    #[test]
    fn a_half_sphere_is_as_deep_as_its_radius_and_there_it_ends() {
        assert_eq!(milli(10_000, 15_000, 50_000), Ok(50_000));
        let (at, radius) = (Length::from_milli(50_001), Length::from_milli(50_000));
        assert_eq!(milli(10_000, 15_000, 50_001), Err(CurveError::Beyond { at, radius }));
        assert_eq!(sagitta(radius, at), Err(CurveError::Beyond { at, radius }));
        assert_eq!(milli(0, 15_000, 50_000), Ok(0));
    }

    #[test]
    fn every_result_is_the_nearest_micrometre() {
        // Exact: s is right when (r − s − ½)² ≤ r² − y² ≤ (r − s + ½)², all times four.
        for radius in [1, 7, 60_000, 83_333, 530_000, 10_000_019, i32::MAX] {
            for part in 0..=200 {
                let at = (i64::from(radius.min(100_000)) * part / 200) as i32;
                let s = sagitta(Length::from_milli(radius), Length::from_milli(at)).unwrap().milli();
                let (r, s, y) = (i128::from(radius), i128::from(s), i128::from(at));
                let four = 4 * (r * r - y * y);
                assert!(
                    (2 * (r - s) + 1).pow(2) >= four && (2 * (r - s) - 1).max(0).pow(2) <= four,
                    "{r} {y}"
                );
            }
        }
    }
}
