//! Division that names its rounding.

/// `numerator / denominator` to the nearest integer, halves away from zero.
///
/// Exact but for that rounding. The denominator must be positive; the caller keeps
/// `|numerator| + denominator / 2` below 2⁶³.
pub const fn divide_nearest(numerator: i64, denominator: i64) -> i64 {
    let half = denominator / 2;
    if numerator < 0 { (numerator - half) / denominator } else { (numerator + half) / denominator }
}

/// `value / 2^bits` to the nearest integer, halves away from zero. `bits` is 1 to 62.
pub const fn scale_down(value: i64, bits: u32) -> i64 {
    let half = 1_i64 << (bits - 1);
    if value < 0 { -((half - value) >> bits) } else { (value + half) >> bits }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_go_away_from_zero() {
        for (n, d, q) in [(5, 2, 3), (-5, 2, -3), (7, 3, 2), (-7, 3, -2), (8, 3, 3), (0, 9, 0), (-1, 3, 0)] {
            assert_eq!(divide_nearest(n, d), q, "{n}/{d}");
        }
    }

    #[test]
    fn a_power_of_two_divides_as_any_other_number() {
        for value in -2000..2000 {
            for bits in 1..8 {
                assert_eq!(scale_down(value, bits), divide_nearest(value, 1 << bits), "{value} {bits}");
            }
        }
    }
}
