//! Square root.

/// The square root of `square` to the nearest integer. There are no ties: (k + ½)² is never an integer.
pub const fn sqrt_nearest(square: u64) -> u64 {
    let floor = square.isqrt();
    // floor² + floor + ¼ is the square half way up.
    if square - floor * floor > floor { floor + 1 } else { floor }
}

/// The square root of `square` rounded up to the next integer: a bound that never understates.
pub const fn sqrt_up(square: u64) -> u64 {
    let floor = square.isqrt();
    if floor * floor < square { floor + 1 } else { floor }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn never_understates_and_is_tight() {
        for square in (0..200_000).chain([u64::from(u32::MAX), 1 << 52, (1 << 52) + 1]) {
            let root = sqrt_up(square);
            assert!(root * root >= square && (root == 0 || (root - 1).pow(2) < square), "{square}");
        }
    }

    #[test]
    fn is_the_nearest_integer() {
        let mut worst: f64 = 0.0;
        for square in (0..200_000).chain([u64::from(u32::MAX), 1 << 52, (1 << 52) + 12_345]) {
            let root = sqrt_nearest(square);
            worst = worst.max((root as f64 - (square as f64).sqrt()).abs());
            // (2·root ± 1)² bracket 4·square.
            assert!(root == 0 || (2 * root - 1).pow(2) < 4 * square, "{square}");
            assert!(4 * square < (2 * root + 1).pow(2), "{square}");
        }
        std::println!("accuracy|square root|200003|{worst:.4}|0.5|1");
        assert!(worst <= 0.5, "{worst}");
        assert_eq!(sqrt_nearest(u64::MAX), 1 << 32);
    }
}
