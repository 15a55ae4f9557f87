//! Numbers of a record.

use crate::maths::divide_nearest;
use crate::units::{Angle, Length};

/// A whole number with an optional sign, of at most nine digits.
pub(super) fn whole(text: &str) -> Option<i32> {
    let text = text.trim();
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    if digits.is_empty() || digits.len() > 9 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    text.parse().ok()
}

/// Millimetres with a decimal point to the nearest micrometre, halves away from zero; at most a metre.
pub(super) fn decimal(text: &str) -> Option<Length> {
    let (negative, digits) = match text.strip_prefix('-') {
        Some(digits) => (true, digits),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (before, behind) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if before.len() + behind.len() == 0 || before.len() > 4 || !all_digits(before) || !all_digits(behind) {
        return None;
    }
    // One digit more than is kept, to round by: the nearest does not need what follows it.
    let tenths = before.bytes().chain(behind.bytes().chain([b'0'; 4]).take(4));
    let tenths = tenths.fold(0_i64, |sum, digit| sum * 10 + i64::from(digit - b'0'));
    let micro = divide_nearest(tenths, 10) as i32;
    Length::try_from(if negative { -micro } else { micro }).ok()
}

/// The numbers of a line; an empty one behind the last `;` is none.
pub(super) fn parts(text: &str) -> impl Iterator<Item = &str> {
    let text = text.trim();
    text.strip_suffix(';').unwrap_or(text).split(';')
}

/// The lengths of one line, checked when the line was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Values<'a>(pub(super) &'a str);

impl<'a> Values<'a> {
    /// Them in order, exactly: 1/100 mm are 10 µm.
    pub fn iter(self) -> impl Iterator<Item = Length> + 'a {
        parts(self.0).filter_map(whole).map(|hundredths| Length::from_milli(hundredths * 10))
    }
}

/// The angles of one line, checked when the line was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Angles<'a>(pub(super) &'a str);

impl<'a> Angles<'a> {
    /// Them in order, exactly: 1/100 degree are 10/1000.
    pub fn iter(self) -> impl Iterator<Item = Angle> + 'a {
        parts(self.0).filter_map(whole).map(|hundredths| Angle::from_milli(hundredths * 10))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn millimetres_with_any_number_of_decimals() {
        let micro = |text| decimal(text).map(Length::milli);
        for (text, expected) in [
            ("50.40", 50_400),
            ("-6.0055", -6006),
            ("140.3444", 140_344),
            ("33", 33_000),
            (".5", 500),
            ("4.", 4000),
        ] {
            assert_eq!(micro(text), Some(expected), "{text}");
        }
        for text in ["", ".", "-", "50,4", "5e1", "12345", "1000.001", "1 2", "+-3"] {
            assert_eq!(micro(text), None, "{text}");
        }
    }

    #[test]
    fn whole_numbers_only() {
        assert_eq!(whole(" 2560 "), Some(2560));
        assert_eq!(whole("-12"), Some(-12));
        for text in ["", "+", "25.6", "2560000000", "x", "--1"] {
            assert_eq!(whole(text), None, "{text}");
        }
    }
}
