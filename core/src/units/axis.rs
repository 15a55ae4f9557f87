//! Angles and the axis of a cylinder.

use super::milli::{encoded_bytes, milli_unit, write_milli};
use super::{OutOfRange, Scanner, TextError};
use crate::bytes::{Reader, Take};
use core::fmt;

milli_unit! {
    /// An angle in 1/1000 degree, by ISO 8429: 0° points to the viewer's right as one faces the wearer, and
    /// angles grow anticlockwise, the same for both eyes.
    Angle, limit 720_000, "degree", signed false, decimals 0
}

impl Angle {
    /// From whole degrees.
    pub const fn from_degrees(degrees: i16) -> Self {
        Self::from_milli(degrees as i32 * 1000)
    }
}

/// The axis of a cylinder in 1/1000 degree, above 0 and up to 180; the horizontal is written 180, never 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(try_from = "i32", into = "i32")]
pub struct Axis(i32);

impl Axis {
    /// The horizontal, 180°.
    pub const HORIZONTAL: Self = Self(180_000);
    /// The vertical, 90°.
    pub const VERTICAL: Self = Self(90_000);

    /// From any angle in 1/1000 degree; a whole number of half turns makes no difference.
    pub const fn from_milli(milli: i32) -> Self {
        match within_turn(milli, 180_000) {
            0 => Self::HORIZONTAL,
            rest => Self(rest),
        }
    }

    /// From whole degrees; 0 reads as 180.
    pub const fn from_degrees(degrees: i16) -> Self {
        Self::from_milli(degrees as i32 * 1000)
    }

    /// In 1/1000 degree, 1 to 180,000.
    pub const fn milli(self) -> i32 {
        self.0
    }

    /// As an angle.
    pub const fn angle(self) -> Angle {
        Angle::from_milli(self.0)
    }

    /// The axis a quarter turn away.
    #[must_use]
    pub const fn crossed(self) -> Self {
        Self::from_milli(self.0 + 90_000)
    }

    /// The axis seen in a mirror about the vertical, 180 − A: a common slip between the two eyes.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        Self::from_milli(-self.0)
    }

    /// The least turn from `other` to `self`, above −90° and up to +90°; 2 against 179 is +3.
    pub const fn turn_from(self, other: Self) -> Angle {
        let turn = within_turn(self.0 - other.0, 180_000);
        Angle::from_milli(if turn > 90_000 { turn - 180_000 } else { turn })
    }

    /// Takes an axis in degrees, 0 to 180, an optional degree sign behind it.
    ///
    /// # Errors
    /// There is no number, or it is not from 0 to 180.
    pub fn scan(scanner: &mut Scanner<'_>, example: &'static str) -> Result<Self, TextError> {
        const EXPECTED: &str = "an axis from 1 to 180 degrees";
        let mut before = scanner.clone();
        match scanner.decimal(example)? {
            Some(number) if !number.signed && number.milli <= 180_000 => {
                scanner.word(&["°"]);
                Ok(Self::from_milli(number.milli))
            }
            _ => Err(before.error(EXPECTED, example)),
        }
    }
}

impl TryFrom<i32> for Axis {
    type Error = OutOfRange;
    fn try_from(milli: i32) -> Result<Self, OutOfRange> {
        if (1..=180_000).contains(&milli) {
            Ok(Self(milli))
        } else {
            Err(OutOfRange { milli, limit: 180_000 })
        }
    }
}

impl From<Axis> for i32 {
    fn from(axis: Axis) -> i32 {
        axis.0
    }
}

impl Take for Axis {
    fn blank() -> Self {
        Self::HORIZONTAL
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        match Self::try_from(from.new_one::<i32>()) {
            Ok(axis) => *self = axis,
            Err(_) => from.refuse(),
        }
    }
}

impl postcard::experimental::max_size::MaxSize for Axis {
    const POSTCARD_MAX_SIZE: usize = encoded_bytes(180_000);
}

impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_milli(f, self.0, false, 0)
    }
}

/// `value` less whole turns, from 0 to below `turn`, which is positive. Exact.
///
/// What lies within a turn of that range, as nearly all angles do, costs no division.
pub(crate) const fn within_turn(value: i32, turn: i32) -> i32 {
    if 0 <= value && value < turn {
        value
    } else if value < 0 && value >= -turn {
        value + turn
    } else {
        value.rem_euclid(turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_reads_as_180() {
        assert_eq!(Axis::from_degrees(0), Axis::HORIZONTAL);
        assert_eq!(Axis::from_degrees(360), Axis::HORIZONTAL);
        assert_eq!(Axis::from_degrees(-15), Axis::from_degrees(165));
        assert!(Axis::try_from(0).is_err());
        assert!(Axis::try_from(180_001).is_err());
    }

    #[test]
    fn a_turn_is_taken_off_as_by_division() {
        for value in (-1000..1000).chain([i32::MIN, i32::MAX]) {
            assert_eq!(within_turn(value, 180), value.rem_euclid(180), "{value}");
        }
    }

    #[test]
    fn an_axis_error_wraps_at_180() {
        // 002 against 179 is an error of 3 degrees: arithmetic on the half circle.
        assert_eq!(Axis::from_degrees(2).turn_from(Axis::from_degrees(179)), Angle::from_degrees(3));
        assert_eq!(Axis::from_degrees(179).turn_from(Axis::from_degrees(2)), Angle::from_degrees(-3));
        assert_eq!(Axis::from_degrees(100).turn_from(Axis::from_degrees(10)), Angle::from_degrees(90));
    }

    #[test]
    fn mirrored_and_crossed_are_their_own_inverses() {
        for degrees in 1..=180 {
            let axis = Axis::from_degrees(degrees);
            assert_eq!(axis.mirrored().mirrored(), axis);
            assert_eq!(axis.crossed().crossed(), axis);
        }
    }
}
