//! Places on a lens in words.

use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Angle;

/// The side of a lens toward which an angle points, in words: `nasal`, `temporal down`. The angle is that of ISO 8429:
/// from the viewer's right, anticlockwise as one faces the wearer. Eight sides of 45°; one that lies on a border
/// belongs to the next anticlockwise.
#[must_use]
pub fn side(eye: Eye, angle: Angle) -> &'static str {
    // Eighths of a turn from the nose of the right eye; the left eye is its mirror.
    let eighth = (angle.milli().rem_euclid(360_000) + 22_500) / 45_000;
    match if eye == Eye::Right { eighth % 8 } else { (12 - eighth) % 8 } {
        0 => "nasal",
        1 => "nasal up",
        2 => "up",
        3 => "temporal up",
        4 => "temporal",
        5 => "temporal down",
        6 => "down",
        _ => "nasal down",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_degrees_is_the_nose_of_the_right_eye_and_the_temple_of_the_left() {
        let said = |eye, degrees| side(eye, Angle::from_degrees(degrees));
        assert_eq!(
            [0, 45, 90, 180, 225, 270, 315, 359].map(|degrees| said(Eye::Right, degrees)),
            ["nasal", "nasal up", "up", "temporal", "temporal down", "down", "nasal down", "nasal"]
        );
        assert_eq!(
            [0, 135, 180, 225].map(|degrees| said(Eye::Left, degrees)),
            ["temporal", "nasal up", "nasal", "nasal down"]
        );
        assert_eq!((said(Eye::Right, 22), said(Eye::Right, 23)), ("nasal", "nasal up"));
    }
}
