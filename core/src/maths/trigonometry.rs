//! Sine, cosine and arc tangent of angles in 1/1000 degree.
//!
//! Whole degrees come from a table of correctly rounded values; by what is left, at most half a degree, the point is
//! turned on. A prescription axis is a whole degree, so the usual case is a look-up. Nothing is divided by 64 bits, and
//! of a product of two 32-bit numbers the upper half is enough: one instruction on most processors.

use crate::units::{Angle, within_turn};
use core::num::Wrapping;

/// One, with the 30 fractional bits in which sines and cosines are given.
pub const ONE: i32 = 1 << FRACTION_BITS;

const FRACTION_BITS: u32 = 30;

/// sin 0°, 1° … 90° with 30 fractional bits, each correctly rounded (made with mpmath at 50 digits).
#[rustfmt::skip] // Five degrees a row.
const SINE: [i32; 91] = [
                0,    18_739_379,    37_473_049,    56_195_305,    74_900_443,
       93_582_766,   112_236_583,   130_856_211,   149_435_979,   167_970_228,
      186_453_311,   204_879_599,   223_243_478,   241_539_355,   259_761_657,
      277_904_834,   295_963_357,   313_931_728,   331_804_471,   349_576_144,
      367_241_333,   384_794_656,   402_230_767,   419_544_355,   436_730_145,
      453_782_903,   470_697_435,   487_468_587,   504_091_252,   520_560_366,
      536_870_912,   553_017_922,   568_996_477,   584_801_711,   600_428_808,
      615_873_009,   631_129_609,   646_193_961,   661_061_475,   675_727_625,
      690_187_940,   704_438_018,   718_473_518,   732_290_163,   745_883_746,
      759_250_125,   772_385_229,   785_285_058,   797_945_680,   810_363_241,
      822_533_958,   834_454_122,   846_120_104,   857_528_349,   868_675_383,
      879_557_810,   890_172_315,   900_515_665,   910_584_710,   920_376_381,
      929_887_697,   939_115_760,   948_057_759,   956_710_970,   965_072_759,
      973_140_576,   980_911_966,   988_384_560,   995_556_083, 1_002_424_350,
    1_008_987_269, 1_015_242_840, 1_021_189_159, 1_026_824_413, 1_032_146_887,
    1_037_154_959, 1_041_847_103, 1_046_221_891, 1_050_277_989, 1_054_014_162,
    1_057_429_273, 1_060_522_280, 1_063_292_242, 1_065_738_315, 1_067_859_754,
    1_069_655_912, 1_071_126_243, 1_072_270_298, 1_073_087_729, 1_073_578_288,
    1_073_741_824,
];

/// 1/4096 of 1/1000 degree in a radian: 4096 · 180,000 / π.
const RADIAN: i32 = 234_683_513;

/// Sine and cosine of `angle` with 30 fractional bits.
///
/// Error: at most 1.1 · 2⁻³⁰; whole degrees are correctly rounded.
pub fn sin_cos(angle: Angle) -> (i32, i32) {
    let (degree, rest) = nearest_degree(within_turn(angle.milli(), 360_000));
    // The quarter turn: exact for 0 to 360, as a test of all of them shows.
    let quarter = (degree * 182) >> 14;
    let (sin, cos) = whole_degree(degree - 90 * quarter);
    // Within ±ONE no sign wraps; a check would cost as much as the sine.
    let (sin, cos) = if quarter & 1 == 0 { (sin, cos) } else { (cos, sin.wrapping_neg()) };
    let (sin, cos) = if quarter & 2 == 0 { (sin, cos) } else { (sin.wrapping_neg(), cos.wrapping_neg()) };
    turned((sin, cos), rest)
}

/// Cosine of twice an angle of 0 to 180,000 thousandths of a degree, with 30 fractional bits: what a cylinder needs.
/// Error as [`sin_cos`].
pub(crate) fn cos_doubled(milli: i32) -> i32 {
    // The same on both sides of a right angle, and of opposite sign on both sides of half of one.
    let doubled = 2 * if milli <= 90_000 { milli } else { 180_000 - milli };
    let obtuse = doubled > 90_000;
    let (degree, rest) = nearest_degree(if obtuse { 180_000 - doubled } else { doubled });
    let (_, cos) = turned(whole_degree(degree), rest);
    if obtuse { cos.wrapping_neg() } else { cos }
}

/// The nearest whole degree of 0 to 360,000 thousandths, and what is left: −500 to 499 of them.
///
/// By a product: the smallest processors have no division.
const fn nearest_degree(milli: i32) -> (i32, i32) {
    let degree = (((milli as u32 + 500) >> 3).wrapping_mul(33_555) >> 22) as i32;
    (degree, milli - degree * 1000)
}

/// Sine and cosine of a whole degree from 0 to 90.
const fn whole_degree(degree: i32) -> (i32, i32) {
    (SINE[degree as usize], SINE[90 - degree as usize])
}

/// Sine and cosine, turned on by `rest` thousandths of a degree, at most half a degree.
fn turned((sin, cos): (i32, i32), rest: i32) -> (i32, i32) {
    if rest == 0 {
        return (sin, cos);
    }
    // No sum here comes near its type's end.
    let [sin, cos, rest] = [sin, cos, rest].map(Wrapping);
    // x is rest · 1,199,381.13 · 2⁻³⁶ and x³ / 6 is rest³ · 0.06235 · 2⁻⁴⁶; sin x = x − x³ / 6, tan x/2 = x/2 + x³ / 24.
    let cubed = (rest * rest * Wrapping(4086)) >> 16;
    let straight = rest * Wrapping(1_199_381);
    let sine = straight + ((rest * (Wrapping(132) - cubed)) >> 10);
    let half_tangent = straight + ((rest * (Wrapping(132) + (cubed >> 1))) >> 10);
    // A turn is three shears: along by the tangent of its half, across by its sine, and along again.
    let along = high(sin, half_tangent);
    let sin = sin + ((high(cos - (along >> 5), sine) + Wrapping(8)) >> 4);
    let cos = cos - ((along + high(sin, half_tangent) + Wrapping(16)) >> 5);
    (sin.0, cos.0)
}

/// The upper half of a product, rounded down.
fn high(one: Wrapping<i32>, other: Wrapping<i32>) -> Wrapping<i32> {
    Wrapping(((i64::from(one.0) * i64::from(other.0)) >> 32) as i32)
}

/// The direction of the point (`x`, `y`), above −180° and up to 180°; 0° for the origin itself.
///
/// Rounded to the nearest 1/1000 degree; error at most 0.5 + 1e-3 units of it.
pub fn atan2(y: i64, x: i64) -> Angle {
    Angle::from_milli(nearest(direction(y, x), 12))
}

/// Half of [`atan2`], rounded once: the axis that belongs to a doubled angle.
///
/// Error at most 0.5 + 1e-3 units of 1/1000 degree.
pub fn half_atan2(y: i64, x: i64) -> Angle {
    Angle::from_milli(nearest(direction(y, x), 13))
}

/// `value / 2^bits` to the nearest integer, halves away from zero.
const fn nearest(value: i32, bits: u32) -> i32 {
    let half = 1 << (bits - 1);
    if value < 0 { -((half - value) >> bits) } else { (value + half) >> bits }
}

/// [`atan2`] in 1/4096 of 1/1000 degree.
fn direction(y: i64, x: i64) -> i32 {
    const QUARTER: i32 = 90_000 << 12;
    let (height, width) = (y.unsigned_abs(), x.unsigned_abs());
    let steep = height > width;
    let first = if steep { QUARTER - octant(width, height) } else { octant(height, width) };
    let upper = if x < 0 { 2 * QUARTER - first } else { first };
    if y < 0 { -upper } else { upper }
}

/// Arc tangent of `small / large` (at most one, 0 of nothing) in 1/4096 of 1/1000 degree.
fn octant(small: u64, large: u64) -> i32 {
    if large == 0 {
        return 0;
    }
    // Bring the larger side to 31 bits.
    let zeros = large.leading_zeros();
    let [small, large] = [small, large].map(|side| ((side << zeros) >> 33) as i32);
    // A guess within a quarter of a degree: atan z ≈ 45° z + 15.64° z (1 − z). z has 15 fractional bits, the guess 24.
    let z = ((small as u32 & !0x7fff) / (large as u32 >> 15)) as i32;
    let degree = (z * (31_048 - ((z * 8_008) >> 15)) + (1 << 23)) >> 24;
    // Turn the point back by the guess: along has 29 bits or 30, across at most a 76th of it and 5 bits more.
    let (sin, cos) = whole_degree(degree.min(45));
    let product = |one: i32, other: i32| i64::from(one) * i64::from(other);
    let along = Wrapping(((product(large, cos) + product(small, sin)) >> 31) as i32);
    let across = Wrapping(((product(small, cos) - product(large, sin)) >> 26) as i32);
    // across / along with 32 fractional bits, by a reciprocal of 14 bits and what is missing by it.
    let reciprocal = Wrapping((((1_u32 << 31) / (along.0 as u32 >> 15)) << 13) as i32);
    let guess = high(across, reciprocal);
    let tangent = guess + high(across - high(guess << 5, along), reciprocal);
    // What is left is small enough for two terms of the series; t³ with 47 fractional bits.
    let long = tangent << 5;
    let cubed = high(high(long, long), long);
    let arc = tangent - high(cubed, Wrapping((1 << 17) / 3));
    degree * (1000 << 12) + high(arc, Wrapping(RADIAN)).0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_millidegree_is_within_the_stated_bound() {
        // Reference: f64 of the standard library.
        let mut worst: f64 = 0.0;
        for milli in -1000..361_000 {
            let (sin, cos) = sin_cos(Angle::from_milli(milli));
            let exact = f64::from(milli).to_radians() / 1000.0;
            worst = worst.max((f64::from(sin) / f64::from(ONE) - exact.sin()).abs());
            worst = worst.max((f64::from(cos) / f64::from(ONE) - exact.cos()).abs());
        }
        std::println!("accuracy|sine and cosine, every 0.001°|362000|{:.4}|1.1|2⁻³⁰", worst * f64::from(ONE));
        assert!(worst * f64::from(ONE) <= 1.1, "{worst:e}");
    }

    #[test]
    fn the_nearest_degree_is_that_of_a_division() {
        for milli in 0..=360_000 {
            let degree = (milli + 500) / 1000;
            assert_eq!(nearest_degree(milli), (degree, milli - 1000 * degree), "{milli}");
        }
    }

    #[test]
    fn the_cosine_of_a_doubled_angle_is_that_of_the_whole_turn() {
        for milli in 0..=180_000 {
            let (_, cos) = sin_cos(Angle::from_milli(2 * milli));
            assert!(cos.abs_diff(cos_doubled(milli)) <= 1, "{milli}");
        }
    }

    #[test]
    fn whole_degrees_are_correctly_rounded() {
        for degree in 0..=360_i16 {
            let (sin, cos) = sin_cos(Angle::from_degrees(degree));
            let exact = f64::from(degree).to_radians();
            assert_eq!(f64::from(sin), (exact.sin() * f64::from(ONE)).round(), "sin {degree}");
            assert_eq!(f64::from(cos), (exact.cos() * f64::from(ONE)).round(), "cos {degree}");
        }
    }

    #[test]
    fn directions_of_points_near_and_far_are_within_the_stated_bound() {
        let mut worst: f64 = 0.0;
        let mut worst_half: f64 = 0.0;
        for step in 0..72_000 {
            let angle = f64::from(step) * 0.005_f64.to_radians();
            for radius in [1e3, 1e6, 3e8, 9e17] {
                let (y, x) = ((radius * angle.sin()) as i64, (radius * angle.cos()) as i64);
                let exact = (y as f64).atan2(x as f64).to_degrees() * 1000.0;
                worst = worst.max((f64::from(atan2(y, x).milli()) - exact).abs());
                worst_half = worst_half.max((f64::from(half_atan2(y, x).milli()) - exact / 2.0).abs());
            }
        }
        std::println!("accuracy|direction of a point|288000|{worst:.4}|0.501|0.001°");
        std::println!("accuracy|half a direction|288000|{worst_half:.4}|0.501|0.001°");
        assert!(worst <= 0.501, "{worst}");
        assert!(worst_half <= 0.501, "{worst_half}");
    }

    #[test]
    fn small_points_on_the_axes_and_diagonals_are_exact() {
        let eighth = [(0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1)];
        for (step, (y, x)) in eighth.into_iter().enumerate() {
            let degrees = 45 * step as i16;
            let expected = Angle::from_degrees(if degrees > 180 { degrees - 360 } else { degrees });
            assert_eq!(atan2(y, x), expected);
            assert_eq!(atan2(y * 7919, x * 7919), expected);
        }
        assert_eq!(atan2(0, 0), Angle::ZERO);
        assert_eq!(atan2(i64::MIN, i64::MIN), Angle::from_degrees(-135));
    }
}
