//! Division that names its rounding.

/// `numerator / denominator` to the nearest integer, halves away from zero.
///
/// Exact but for that rounding. The denominator must be positive; the caller keeps
/// `|numerator| + denominator / 2` below 2⁶³.
pub const fn divide_nearest(numerator: i64, denominator: i64) -> i64 {
    let half = denominator / 2;
    if numerator < 0 { (numerator - half) / denominator } else { (numerator + half) / denominator }
}

/// `value × times / parts` to the nearest integer, halves away from zero, by divisions of 32 bits alone: a small processor
/// takes a kilobyte of flash for those of 64.
///
/// Exact but for that rounding. Both are positive; the caller keeps `parts × (times + 1)` and the result below 2³¹.
pub const fn times_over(value: i32, times: i32, parts: i32) -> i32 {
    // What is left over has the sign of the value, so it rounds as the whole does.
    let (whole, rest) = (value / parts, value % parts * times);
    let half = if rest < 0 { -(parts / 2) } else { parts / 2 };
    whole * times + (rest + half) / parts
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
    fn a_ratio_of_small_numbers_needs_no_wide_division() {
        for (times, parts) in
            [(1, 1), (1, 2), (2, 1), (710, 113), (113, 710), (355, 113), (113, 355), (7, 10_000)]
        {
            let ends = [-2_000_000, -1_000_000, 1_000_000, 2_000_000];
            for value in (-3000..3000).chain(ends.into_iter().flat_map(|end| end - 400..end + 400)) {
                let wide = divide_nearest(i64::from(value) * i64::from(times), i64::from(parts));
                assert_eq!(i64::from(times_over(value, times, parts)), wide, "{value} * {times} / {parts}");
            }
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
