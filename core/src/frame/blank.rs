//! The smallest round blank that a shape can be cut from.

use super::Decentration;
use crate::maths::sqrt_up;
use crate::units::Length;

/// The least diameter of a blank whose optical centre is its middle: ED + 2·√(in² + up²) + allowance.
///
/// The root is rounded up to the micrometre, so the result never understates. It is an upper bound for a real
/// shape: the longest radius seldom points straight away from the decentration. With no allowance this is the
/// theoretical size (dispensing course notes); 2 mm is the usual allowance (common practice, no source).
pub fn least_blank(ed: Length, decentration: &Decentration, allowance: Length) -> Length {
    ed + Length::from_milli(sqrt_up(4 * decentration.square()) as i32) + allowance
}

/// The smallest of the `stocked` diameters that is at least `needed`, or `None` when none is large enough.
pub fn stocked_blank(needed: Length, stocked: &[Length]) -> Option<Length> {
    stocked.iter().copied().filter(|diameter| *diameter >= needed).min()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blank(ed: i32, inward: i32, up: i32, allowance: i32) -> i32 {
        let [ed, inward, up, allowance] = [ed, inward, up, allowance].map(Length::from_milli);
        least_blank(ed, &Decentration { inward, up }, allowance).milli()
    }

    #[test]
    fn decentration_counts_twice() {
        // Dispensing course notes: ED 44, frame PD 64, PD 64 and PD 60, without allowance.
        assert_eq!(blank(44_000, 0, 0, 0), 44_000);
        assert_eq!(blank(44_000, 2000, 0, 0), 48_000);
        assert_eq!(blank(44_000, -2000, 0, 2000), 50_000);
        // Inward 3 and down 4 are 5 mm along the diagonal.
        assert_eq!(blank(44_000, 3000, -4000, 0), 54_000);
    }

    #[test]
    fn the_least_blank_never_understates() {
        // 2·√2 µm = 2.83 µm.
        assert_eq!(blank(0, 1, 1, 0), 3);
        for inward in 0..60 {
            for up in 0..60 {
                let root = i64::from(blank(0, inward * 97, up * 89, 0));
                let square = 4 * (i64::from(inward * 97).pow(2) + i64::from(up * 89).pow(2));
                assert!(root * root >= square && (root - 1).max(0).pow(2) <= square, "{inward} {up}");
            }
        }
    }

    #[test]
    fn the_smallest_blank_on_the_shelf_that_serves() {
        let shelf = [75_000, 65_000, 70_000].map(Length::from_milli);
        let take = |needed| stocked_blank(Length::from_milli(needed), &shelf).map(Length::milli);
        assert_eq!(take(60_000), Some(65_000));
        assert_eq!(take(65_000), Some(65_000));
        assert_eq!(take(65_001), Some(70_000));
        assert_eq!(take(75_001), None);
    }
}
