//! Sine, cosine and arc tangent of angles in 1/1000 degree.
//!
//! Whole degrees come from a table of correctly rounded values; what is left, at most half a degree, is added
//! with the first terms of its series. A prescription axis is a whole degree, so the usual case is a look-up.

use super::round::{divide_nearest, scale_down};
use crate::units::{Angle, within_turn};

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

/// Radians in 1/1000 degree, with 44 fractional bits: π / 180,000.
const RADIANS: i64 = 307_041_569;

/// 1/1000 degrees in a radian, with 12 fractional bits: 180,000 / π.
const MILLIDEGREES: i64 = 234_683_513;

/// Sine and cosine of `angle` with 30 fractional bits.
///
/// Error: at most 2⁻²⁹ (two units); whole degrees are correctly rounded.
pub fn sin_cos(angle: Angle) -> (i32, i32) {
    let turn = within_turn(angle.milli(), 360_000);
    let (half, in_half) = if turn < 180_000 { (false, turn) } else { (true, turn - 180_000) };
    let (sin, cos) = if in_half < 90_000 {
        first_quadrant(in_half)
    } else {
        let (sin, cos) = first_quadrant(in_half - 90_000);
        (cos, sin.wrapping_neg())
    };
    // Within ±ONE no sign wraps; a check would cost as much as the sine.
    if half { (sin.wrapping_neg(), cos.wrapping_neg()) } else { (sin, cos) }
}

/// Cosine of twice an angle of 0 to 180,000 thousandths of a degree, with 30 fractional bits: what a cylinder needs.
/// Error as [`sin_cos`].
pub(crate) fn cos_doubled(milli: i32) -> i32 {
    // The same on both sides of a right angle, and of opposite sign on both sides of half of one.
    let doubled = 2 * if milli <= 90_000 { milli } else { 180_000 - milli };
    if doubled <= 90_000 {
        first_quadrant(doubled).1
    } else {
        first_quadrant(180_000 - doubled).1.wrapping_neg()
    }
}

/// Sine and cosine of 0 to 90,000 thousandths of a degree.
fn first_quadrant(milli: i32) -> (i32, i32) {
    let degree = thousands(milli + 500);
    let rest = milli - degree * 1000;
    let (sin, cos) = whole_degree(degree);
    if rest == 0 {
        return (sin, cos);
    }
    // sin x = x − x³/6 and cos x = 1 − x²/2 + x⁴/24 leave 5e-13 for |x| of half a degree. Two guard bits.
    let x = scale_down(i64::from(rest) * RADIANS, 12);
    let square = scale_down(x * x, 32);
    let small_sin = x - divide_nearest(scale_down(x * square, 32), 6);
    let small_cos =
        (1 << 32) - divide_nearest(square, 2) + divide_nearest(scale_down(square * square, 32), 24);
    let (sin, cos) = (i64::from(sin), i64::from(cos));
    let rotated = |a: i64, b: i64| scale_down(a * small_cos + b * small_sin, 32) as i32;
    (rotated(sin, cos), rotated(cos, -sin))
}

/// `milli / 1000` of 0 to 90,500, by a product: the smallest processors have no division.
const fn thousands(milli: i32) -> i32 {
    (((milli as u32 >> 3) * 33_555) >> 22) as i32
}

/// Sine and cosine of a whole degree from 0 to 90.
const fn whole_degree(degree: i32) -> (i32, i32) {
    (SINE[degree as usize], SINE[(90 - degree) as usize])
}

/// The direction of the point (`x`, `y`), above −180° and up to 180°; 0° for the origin itself.
///
/// Rounded to the nearest 1/1000 degree; error at most 0.5 + 1e-3 units of it.
pub fn atan2(y: i64, x: i64) -> Angle {
    Angle::from_milli(scale_down(direction(y, x), 12) as i32)
}

/// Half of [`atan2`], rounded once: the axis that belongs to a doubled angle.
///
/// Error at most 0.5 + 1e-3 units of 1/1000 degree.
pub fn half_atan2(y: i64, x: i64) -> Angle {
    Angle::from_milli(scale_down(direction(y, x), 13) as i32)
}

/// [`atan2`] in 1/4096 of 1/1000 degree.
fn direction(y: i64, x: i64) -> i64 {
    const QUARTER: i64 = 90_000 << 12;
    let (height, width) = (y.unsigned_abs(), x.unsigned_abs());
    if height == 0 && width == 0 {
        return 0;
    }
    let steep = height > width;
    let first = if steep { QUARTER - octant(width, height) } else { octant(height, width) };
    let upper = if x < 0 { 2 * QUARTER - first } else { first };
    if y < 0 { -upper } else { upper }
}

/// Arc tangent of `small / large` (at most one) in 1/4096 of 1/1000 degree.
fn octant(small: u64, large: u64) -> i64 {
    // Bring the larger side to 30 bits.
    let shift = 34 - large.leading_zeros() as i32;
    let fit = |side: u64| (if shift > 0 { side >> shift } else { side << -shift }) as i64;
    let (small, large) = (fit(small), fit(large));
    // A guess within a quarter of a degree: atan z ≈ 45° z + 15.64° z (1 − z).
    let z = ((small >> 15) << 15) / (large >> 15).max(1);
    let degree = (z * (45_000 + scale_down(15_640 * (32_768 - z), 15)) / 1000 + 16_384) >> 15;
    // Turn the point back by the guess; what is left is small enough for a series.
    let (sin, cos) = whole_degree((degree as i32).clamp(0, 45));
    let (sin, cos) = (i64::from(sin), i64::from(cos));
    let along = (large * cos + small * sin) >> FRACTION_BITS;
    let across = small * cos - large * sin;
    let tangent = (across << 2) / along;
    let cube = scale_down(scale_down(tangent * tangent, 32) * tangent, 32);
    degree * (1000 << 12) + scale_down((tangent - cube / 3) * MILLIDEGREES, 32)
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
        std::println!("accuracy|sine and cosine, every 0.001°|362000|{:.4}|2|2⁻³⁰", worst * f64::from(ONE));
        assert!(worst <= 2_f64.powi(-29), "{worst:e}");
    }

    #[test]
    fn thousands_are_those_of_a_division() {
        for milli in 0..=90_500 {
            assert_eq!(thousands(milli), milli / 1000, "{milli}");
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
