//! A limit, held exactly.

use crate::units::Power;
use core::fmt;

/// A limit, or what is left of it, in 1/100 of a thousandth of its unit, so that a whole percentage of any
/// value in thousandths is a whole number: 2 % of 6.75 D is 13,500, which is 0.135 D.
///
/// Shown without rounding, with as many decimals as are needed (at most five); a precision asks for at least
/// that many: `{:.2}` gives `0.20` and `0.135`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Limit(i64);

impl Limit {
    /// From thousandths of the unit, exactly.
    #[must_use]
    pub const fn from_milli(milli: i32) -> Self {
        Self(milli as i64 * 100)
    }

    /// A percentage of the magnitude of a value in thousandths of the unit, exactly.
    #[must_use]
    pub const fn percent_of(milli: i32, percent: u8) -> Self {
        Self((milli as i64).abs() * percent as i64)
    }

    /// In 1/100 of a thousandth of the unit.
    #[must_use]
    pub const fn hundredths_of_milli(self) -> i64 {
        self.0
    }

    /// Whether a deviation in thousandths of the unit, of either sign, is within. Inclusive, exact.
    #[must_use]
    pub const fn holds(self, deviation_milli: i32) -> bool {
        self.margin(deviation_milli).0 >= 0
    }

    /// What the magnitude of a deviation in thousandths of the unit leaves; negative when it is out. Exact.
    #[must_use]
    pub const fn margin(self, deviation_milli: i32) -> Self {
        Self(self.0 - (deviation_milli as i64).abs() * 100)
    }

    /// Both together. Exact.
    pub(super) const fn plus(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }

    /// The smaller and the larger of two.
    pub(super) fn sorted(self, other: Self) -> [Self; 2] {
        if self <= other { [self, other] } else { [other, self] }
    }

    /// This limit in millimetres as the prism in Δ that such a shift makes at `power` (Prentice's rule,
    /// P = c·F with c in centimetres). Exact for limits of whole tenths of a millimetre; a finer one is rounded
    /// down.
    #[must_use]
    pub(super) const fn shift_as_prism(self, power: Power) -> Self {
        Self(self.0 * (power.milli() as i64).abs() / 10_000)
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
        let limit = Limit::from_milli(1000).shift_as_prism(Power::from_milli(-4500));
        assert_eq!(limit.to_string(), "0.45");
    }
}
