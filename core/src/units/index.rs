//! Refractive index.

use super::TextError;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The index of a lens material, in 1/10,000: 1.498 is 14,980. From 1 (air) to 3.
///
/// Shown with at least three decimals, the fourth when it is needed: `1.498`, `1.5085`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(try_from = "u16", into = "u16")]
pub struct RefractiveIndex(u16);

/// An index below 1 or above 3.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a refractive index lies from 1 to 3, not at {}.{:04}", .ten_thousandths / 10_000, .ten_thousandths % 10_000)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct IndexOutOfRange {
    /// The refused value in 1/10,000.
    pub ten_thousandths: u16,
}

impl RefractiveIndex {
    /// Air, 1.
    pub const AIR: Self = Self(10_000);
    /// The greatest that is accepted, 3.
    pub const MAX: Self = Self(30_000);

    /// From 1/10,000, exactly.
    ///
    /// # Errors
    /// It is below 1 or above 3.
    pub const fn from_ten_thousandths(ten_thousandths: u16) -> Result<Self, IndexOutOfRange> {
        if ten_thousandths < Self::AIR.0 || ten_thousandths > Self::MAX.0 {
            return Err(IndexOutOfRange { ten_thousandths });
        }
        Ok(Self(ten_thousandths))
    }

    /// In 1/10,000, 10,000 to 30,000.
    pub const fn ten_thousandths(self) -> u16 {
        self.0
    }

    /// Reads one index, with a decimal point or comma and at most four decimals, and nothing else.
    ///
    /// ```
    /// use bevelbook_core::units::RefractiveIndex;
    /// assert_eq!(RefractiveIndex::parse("1.498")?.ten_thousandths(), 14_980);
    /// # Ok::<(), bevelbook_core::units::TextError>(())
    /// ```
    ///
    /// # Errors
    /// The text is no number, has more than four decimals, or is below 1 or above 3.
    pub fn parse(text: &str) -> Result<Self, TextError> {
        const EXPECTED: &str = "a refractive index from 1 to 3, with at most four decimals";
        let trimmed = text.trim();
        let start = text.len() - text.trim_start().len();
        let wrong = TextError { start, end: start + trimmed.len(), expected: EXPECTED, example: "1.498" };
        let (whole, decimals) = trimmed.split_once(['.', ',']).unwrap_or((trimmed, ""));
        let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
        if whole.len() != 1 || decimals.len() > 4 || !digits(whole) || !digits(decimals) {
            return Err(wrong);
        }
        let places = whole.bytes().chain(decimals.bytes()).chain([b'0'; 4]).take(5);
        let value = places.fold(0_u32, |value, digit| value * 10 + u32::from(digit - b'0'));
        u16::try_from(value).ok().and_then(|value| Self::from_ten_thousandths(value).ok()).ok_or(wrong)
    }
}

impl TryFrom<u16> for RefractiveIndex {
    type Error = IndexOutOfRange;
    fn try_from(ten_thousandths: u16) -> Result<Self, IndexOutOfRange> {
        Self::from_ten_thousandths(ten_thousandths)
    }
}

impl From<RefractiveIndex> for u16 {
    fn from(index: RefractiveIndex) -> Self {
        index.0
    }
}

impl fmt::Display for RefractiveIndex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / 10_000, self.0 % 10_000);
        if part % 10 == 0 { write!(f, "{whole}.{:03}", part / 10) } else { write!(f, "{whole}.{part:04}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn reads_what_material_lists_write() {
        for (text, expected) in
            [("1.498", 14_980), ("1,5", 15_000), ("1.5085", 15_085), ("1", 10_000), (" 1.74 ", 17_400)]
        {
            assert_eq!(RefractiveIndex::parse(text).map(RefractiveIndex::ten_thousandths), Ok(expected));
        }
    }

    #[test]
    fn refuses_what_no_lens_is_made_of() {
        for text in ["", "0.999", "3.0001", "15", "1.49801", "1.4.9", "-1.5", "+1.5", "cr39", "9.9999", "1.x"]
        {
            assert!(RefractiveIndex::parse(text).is_err(), "{text}");
        }
        let error = RefractiveIndex::parse(" 49 ").unwrap_err();
        assert_eq!((error.start, error.end), (1, 3));
        assert_eq!(
            RefractiveIndex::from_ten_thousandths(4980).unwrap_err().to_string(),
            "a refractive index lies from 1 to 3, not at 0.4980"
        );
    }

    #[test]
    fn what_is_shown_reads_back() {
        for text in ["1.498", "1.500", "1.5085", "1.740"] {
            assert_eq!(RefractiveIndex::parse(text).unwrap().to_string(), text);
        }
    }
}
