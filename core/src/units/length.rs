//! Length.

use super::milli::{milli_unit, write_milli};
use super::{Scanner, TextError};
use core::fmt;

milli_unit! {
    /// Length in micrometres (1/1000 mm). Shown in millimetres with as many decimals as are needed: `62`, `31.5`.
    Length, limit 1_000_000, "millimetre", signed false, decimals 0
}

impl Length {
    /// Takes a length in millimetres from `scanner`, an optional `mm` behind it. `Ok(None)` when no number
    /// comes next.
    ///
    /// # Errors
    /// The number is beyond ±1000 mm or finer than 0.001 mm.
    pub fn scan(scanner: &mut Scanner<'_>, example: &'static str) -> Result<Option<Self>, TextError> {
        let Some(number) = scanner.decimal(example)? else { return Ok(None) };
        let too_long =
            TextError {
                start: number.start, end: number.end, expected: "a length within ±1000 mm", example
            };
        let length = Self::try_from(number.milli).map_err(|_| too_long)?;
        scanner.word(&["mm"]);
        Ok(Some(length))
    }

    /// Reads one length in millimetres and nothing else.
    ///
    /// # Errors
    /// As [`Length::scan`], and when there is no number or more than one.
    pub fn parse(text: &str) -> Result<Self, TextError> {
        const EXAMPLE: &str = "52.5";
        Scanner::whole(text, EXAMPLE, |scanner| {
            Self::scan(scanner, EXAMPLE)?.ok_or_else(|| scanner.error("a length in millimetres", EXAMPLE))
        })
    }
}

impl Length {
    /// As sizes and steps are shown: at least two decimals, the third when it is needed; with a sign where the
    /// formatter asks for one. `+0.40`, `0.025`.
    pub const fn fine(self) -> Fine {
        Fine(self)
    }
}

/// A length shown by [`Length::fine`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fine(Length);

impl fmt::Display for Fine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_milli(f, self.0.milli(), f.sign_plus(), 2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn millimetres_are_kept_to_the_micrometre() {
        assert_eq!(Length::parse("31.5").unwrap().milli(), 31_500);
        assert_eq!(Length::parse("0.05 mm").unwrap().milli(), 50);
        assert!(Length::parse("2000").is_err());
        assert!(Length::parse("wide").is_err());
        assert!(Length::parse("1 2").is_err());
    }

    #[test]
    fn the_longest_that_is_read_takes_all_of_its_bytes_and_none_takes_more() {
        use postcard::experimental::max_size::MaxSize;
        for milli in [-Length::LIMIT, 0, 1, Length::LIMIT] {
            let bytes = postcard::to_slice(&Length::from_milli(milli), &mut [0; 8]).unwrap().len();
            assert!(bytes <= Length::POSTCARD_MAX_SIZE);
            assert!(milli == 0 || milli == 1 || bytes == Length::POSTCARD_MAX_SIZE);
        }
    }

    #[test]
    fn shown_as_short_as_it_is_exact() {
        assert_eq!(Length::from_milli(62_000).to_string(), "62");
        assert_eq!(Length::from_milli(-350).to_string(), "-0.35");
        assert_eq!(std::format!("{:+.2}", Length::from_milli(500)), "+0.50");
        assert_eq!(
            std::format!("{:+} {}", Length::from_milli(500).fine(), Length::from_milli(25).fine()),
            "+0.50 0.025"
        );
    }
}
