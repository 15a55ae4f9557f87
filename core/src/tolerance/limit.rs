//! A limit, held exactly.

use crate::bytes::{Reader, Take};
use crate::units::Power;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// A limit, or what is left of it, in 1/100 of a thousandth of its unit, so that a whole percentage of any
/// value in thousandths is a whole number: 2 % of 6.75 D is 13,500, which is 0.135 D.
///
/// From -21,474.83647 to +21,474.83647 of its unit; what would be beyond is held at the end. No quantity that is
/// judged comes near.
///
/// Shown without rounding, with as many decimals as are needed (at most five); a precision asks for at least
/// that many: `{:.2}` gives `0.20` and `0.135`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Limit(#[serde(with = "unsigned")] i32);

/// As the bits of an unsigned number: hardly a limit is negative, and the varint of a positive one is shorter then.
mod unsigned {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub(super) fn serialize<S: Serializer>(limit: &i32, serializer: S) -> Result<S::Ok, S::Error> {
        limit.cast_unsigned().serialize(serializer)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<i32, D::Error> {
        u32::deserialize(deserializer).map(u32::cast_signed)
    }
}

impl Take for Limit {
    fn blank() -> Self {
        Self(0)
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        self.0 = from.new_one::<u32>().cast_signed();
    }
}

/// The largest magnitude in thousandths of a unit that a limit holds.
const MOST: i32 = i32::MAX / 100;

/// The magnitude in 1/100 of a thousandth, held at the end.
const fn hundredths(milli: i32) -> i32 {
    let magnitude = milli.unsigned_abs();
    if magnitude > MOST.unsigned_abs() { MOST * 100 } else { magnitude as i32 * 100 }
}

impl Limit {
    /// From thousandths of the unit, exactly.
    pub const fn from_milli(milli: i32) -> Self {
        Self(if milli < 0 { -hundredths(milli) } else { hundredths(milli) })
    }

    /// A percentage of the magnitude of a value in thousandths of the unit, exactly.
    pub const fn percent_of(milli: i32, percent: u8) -> Self {
        Self(milli.saturating_abs().saturating_mul(percent as i32))
    }

    /// In 1/100 of a thousandth of the unit.
    pub const fn hundredths_of_milli(self) -> i32 {
        self.0
    }

    /// Whether a deviation in thousandths of the unit, of either sign, is within. Inclusive, exact.
    pub const fn holds(self, deviation_milli: i32) -> bool {
        let magnitude = deviation_milli.unsigned_abs();
        magnitude >> 24 == 0 && magnitude as i32 * 100 <= self.0
    }

    /// What the magnitude of a deviation in thousandths of the unit leaves; negative when it is out. Exact.
    #[must_use]
    pub const fn margin(self, deviation_milli: i32) -> Self {
        Self(self.0.saturating_sub(hundredths(deviation_milli)))
    }

    /// Both together. Exact.
    pub(super) const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// The prism in Δ that a shift in µm makes at `power` (Prentice's rule, P = c·F with c in centimetres). Exact for
    /// a shift of whole tenths of a millimetre; a finer one is rounded down.
    pub(super) const fn shift_as_prism(shift: i32, power: Power) -> Self {
        let prism = shift.unsigned_abs() as u64 * power.milli().unsigned_abs() as u64 / 100;
        Self(if prism > i32::MAX as u64 { i32::MAX } else { prism as i32 })
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let magnitude = self.0.unsigned_abs();
        let (whole, mut part) = (magnitude / 100_000, magnitude % 100_000);
        let least = f.precision().unwrap_or(0).min(5);
        let mut decimals = 5;
        while decimals > least && part % 10 == 0 {
            part /= 10;
            decimals -= 1;
        }
        write!(f, "{sign}{whole}")?;
        if decimals > 0 {
            write!(f, ".{part:0decimals$}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn a_limit_is_inclusive_and_never_rounded() {
        // 2 % of 6.51 D is 0.1302 D.
        let limit = Limit::percent_of(-6510, 2);
        assert_eq!(limit.hundredths_of_milli(), 13_020);
        assert!(limit.holds(130) && limit.holds(-130));
        assert!(!limit.holds(131) && !limit.holds(-131));
        assert!(Limit::from_milli(130).holds(-130) && !Limit::from_milli(130).holds(131));
    }

    #[test]
    fn shown_with_the_decimals_it_needs() {
        assert_eq!(Limit::percent_of(6750, 2).to_string(), "0.135");
        assert_eq!(Limit::percent_of(6625, 2).to_string(), "0.1325");
        assert_eq!(Limit::percent_of(6501, 2).to_string(), "0.13002");
        assert_eq!(Limit::from_milli(14_000).to_string(), "14");
        assert_eq!(std::format!("{:.2}", Limit::from_milli(200)), "0.20");
        assert_eq!(std::format!("{:.2}", Limit::percent_of(6750, 2)), "0.135");
        assert_eq!(Limit::from_milli(130).margin(-150).to_string(), "-0.02");
        assert_eq!(Limit::from_milli(0).to_string(), "0");
    }

    #[test]
    fn a_shift_becomes_prism_by_prentice() {
        // 1.0 mm at 4.50 D: 0.1 cm × 4.50 D.
        let limit = Limit::shift_as_prism(1000, Power::from_milli(-4500));
        assert_eq!(limit.to_string(), "0.45");
        // 0.101 mm at 1.999 D is 0.0201899 Δ; and a product that 32 bits do not hold.
        assert_eq!(Limit::shift_as_prism(101, Power::from_milli(1999)).to_string(), "0.02018");
        assert_eq!(Limit::shift_as_prism(100_000, Power::from_milli(50_000)).to_string(), "500");
    }

    #[test]
    fn at_the_ends_nothing_wraps() {
        let most = Limit::from_milli(i32::MAX);
        assert_eq!(most.to_string(), "21474.836");
        assert_eq!(Limit::from_milli(i32::MIN).to_string(), "-21474.836");
        assert_eq!(Limit::percent_of(i32::MIN, 255).hundredths_of_milli(), i32::MAX);
        assert_eq!(
            Limit::shift_as_prism(i32::MIN, Power::from_milli(i32::MIN)).hundredths_of_milli(),
            i32::MAX
        );
        assert_eq!(Limit::from_milli(0).margin(i32::MIN), Limit::from_milli(i32::MIN));
        assert!(!Limit::from_milli(130).holds(i32::MIN) && !Limit::from_milli(130).holds(i32::MAX));
    }
}
