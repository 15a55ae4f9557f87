//! Refractive power.

use super::milli::milli_unit;
use super::{Decimal, OutOfRange, Scanner, TextError};

milli_unit! {
    /// Refractive power in 1/1000 dioptre.
    ///
    /// Shown with its sign, two decimals, and the third when it is needed: `+1.25`, `-0.125`, `0.00`.
    Power, limit 100_000, "dioptre", signed true, decimals 2
}

/// How the decimals of a power are to be understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notation {
    /// As prescriptions are written: `.12` and `.13` mean an eighth, likewise `.37 .38 .62 .63 .87 .88`
    /// (common practice, no source). What was understood should be shown.
    Order,
    /// As an instrument shows it: the decimals are what they are.
    Reading,
}

impl Power {
    /// Takes a power with its sign from `scanner`; zero needs none. `Ok(None)` when no number comes next.
    ///
    /// # Errors
    /// The sign is missing, or the number is beyond ±100 D or finer than 0.001 D.
    pub fn scan(
        scanner: &mut Scanner<'_>,
        notation: Notation,
        example: &'static str,
    ) -> Result<Option<Self>, TextError> {
        let Some(number) = scanner.decimal(example)? else { return Ok(None) };
        let wrong = |expected| TextError { start: number.start, end: number.end, expected, example };
        if !number.signed && number.milli != 0 {
            return Err(wrong("a power with its sign, + or -"));
        }
        Self::of(number, notation)
            .map(Some)
            .map_err(|_| wrong("a power within ±100 D (is the decimal point missing?)"))
    }

    /// What a written number means as a power.
    pub(crate) fn of(number: Decimal, notation: Notation) -> Result<Self, OutOfRange> {
        Self::try_from(match notation {
            // What is finer than a hundredth is no eighth cut short.
            Notation::Order if number.milli % 10 == 0 => nearest_eighth(number.milli),
            _ => number.milli,
        })
    }

    /// Reads one power and nothing else.
    ///
    /// # Errors
    /// As [`Power::scan`], and when there is no number or more than one.
    pub fn parse(text: &str, notation: Notation) -> Result<Self, TextError> {
        const EXAMPLE: &str = "-1.25";
        Scanner::whole(text, EXAMPLE, |scanner| {
            Self::scan(scanner, notation, EXAMPLE)?
                .ok_or_else(|| scanner.error("a power in dioptres", EXAMPLE))
        })
    }
}

/// `.12`/`.13` and their like are short for the eighth between them.
const fn nearest_eighth(milli: i32) -> i32 {
    let sign = milli.signum();
    let magnitude = milli.abs();
    let hundredths = magnitude % 1000 / 10;
    let eighth = match hundredths {
        12 | 13 => 125,
        37 | 38 => 375,
        62 | 63 => 625,
        87 | 88 => 875,
        _ => return milli,
    };
    sign * (magnitude / 1000 * 1000 + eighth)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn an_order_writes_eighths_short_and_a_reading_does_not() {
        // Common practice, no source.
        for (text, eighths) in
            [("-1.12", -1125), ("+0.13", 125), ("+2.37", 2375), ("-0.88", -875), ("+1.63", 1625)]
        {
            assert_eq!(Power::parse(text, Notation::Order).unwrap().milli(), eighths, "{text}");
        }
        assert_eq!(Power::parse("-1.12", Notation::Reading).unwrap().milli(), -1120);
        assert_eq!(Power::parse("-1.25", Notation::Order).unwrap().milli(), -1250);
    }

    #[test]
    fn a_power_without_a_sign_is_not_guessed() {
        let error = Power::parse("1.25", Notation::Order).unwrap_err();
        assert_eq!((error.start, error.end), (0, 4));
        assert_eq!(error.expected, "a power with its sign, + or -");
        assert_eq!(Power::parse("0", Notation::Order), Ok(Power::ZERO));
    }

    #[test]
    fn a_lost_decimal_point_is_named() {
        assert!(Power::parse("-125", Notation::Order).unwrap_err().expected.contains("decimal point"));
    }

    #[test]
    fn shows_what_is_needed_and_rounds_what_is_asked() {
        assert_eq!(Power::from_milli(1250).to_string(), "+1.25");
        assert_eq!(Power::from_milli(-125).to_string(), "-0.125");
        assert_eq!(Power::ZERO.to_string(), "0.00");
        assert_eq!(std::format!("{:.2}", Power::from_milli(-125)), "-0.13");
        assert_eq!(std::format!("{:.2}", Power::from_milli(-4)), "0.00");
    }
}
