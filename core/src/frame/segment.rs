//! Where a bifocal or trifocal segment sits.

use super::PupillaryDistance;
use crate::maths::divide_nearest;
use crate::prescription::Eye;
use crate::units::Length;

/// How far the top of the segment lies above the middle line of the box, height − B/2; negative is below.
///
/// The height counts from the lower side of the box. Rounded to the micrometre, halves away from zero.
pub fn segment_drop(b: Length, height: Length) -> Length {
    let doubled = 2 * i64::from(height.milli()) - i64::from(b.milli());
    Length::from_milli(divide_nearest(doubled, 2) as i32)
}

/// How far the segment of one eye is set in from the distance centre: its far PD less its near PD.
///
/// Exact for monocular figures; for binocular ones within a micrometre of half their difference, see
/// [`PupillaryDistance::of`].
pub fn segment_inset(far: PupillaryDistance, near: PupillaryDistance, eye: Eye) -> Length {
    far.of(eye) - near.of(eye)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_segment_stands_below_or_above_the_middle_line() {
        // Dispensing course notes: B 50, segment heights 22 and 28.
        let drop = |height| segment_drop(Length::from_milli(50_000), Length::from_milli(height)).milli();
        assert_eq!(drop(22_000), -3000);
        assert_eq!(drop(28_000), 3000);
    }

    #[test]
    fn a_segment_is_set_in_by_what_near_is_closer() {
        // (far − near)/2 of binocular figures, far − near of each eye of monocular ones.
        let inset = |far, near, eye| {
            let [far, near] = [far, near].map(|text| PupillaryDistance::parse(text).unwrap());
            segment_inset(far, near, eye).milli()
        };
        assert_eq!(inset("64", "60", Eye::Right), 2000);
        assert_eq!(inset("33/31", "31/29.5", Eye::Right), 2000);
        assert_eq!(inset("33/31", "31/29.5", Eye::Left), 1500);
    }
}
