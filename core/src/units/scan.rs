//! Reading numbers and words from a person's text, remembering where each stood.

use thiserror::Error;

/// Text that could not be read: where, what was expected there, and how a right text looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[error("expected {expected} at character {}, for example `{example}`", .start + 1)]
pub struct TextError {
    /// Byte offset of the first character that does not fit.
    pub start: usize,
    /// Byte offset just behind the last one.
    pub end: usize,
    /// What was expected at that place, as a noun phrase.
    pub expected: &'static str,
    /// A text that would be right.
    pub example: &'static str,
}

/// A decimal number as it was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Decimal {
    /// The value in thousandths.
    pub milli: i32,
    /// Whether a sign was written.
    pub signed: bool,
    /// How many decimals were written, 0 to 3.
    pub decimals: u8,
    /// Byte offset of its first character.
    pub start: usize,
    /// Byte offset just behind its last character.
    pub end: usize,
}

impl Decimal {
    /// Whether it is zero.
    pub const fn is_zero(self) -> bool {
        self.milli == 0
    }

    /// Whether it is 10 or more, or written with three characters or more, as axes are: `015`.
    pub const fn is_no_single_digit(self) -> bool {
        self.milli >= 10_000 || self.end - self.start >= 3
    }
}

/// A cursor over text. White space between items is skipped.
#[derive(Clone, Debug)]
pub struct Scanner<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scanner<'a> {
    /// Starts at the beginning of `text`.
    pub const fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    /// What `read` finds in `text`, which must hold nothing more.
    ///
    /// # Errors
    /// As `read`, and when something is left.
    pub fn whole<T>(
        text: &'a str,
        example: &'static str,
        read: impl FnOnce(&mut Self) -> Result<T, TextError>,
    ) -> Result<T, TextError> {
        let mut scanner = Self::new(text);
        let found = read(&mut scanner)?;
        scanner.finish(example)?;
        Ok(found)
    }

    /// Byte offset of the next item.
    pub fn position(&mut self) -> usize {
        self.skip_space();
        self.at
    }

    /// Whether only white space is left.
    pub fn at_end(&mut self) -> bool {
        self.position() == self.text.len()
    }

    /// An error that points at the next item.
    pub fn error(&mut self, expected: &'static str, example: &'static str) -> TextError {
        let start = self.position();
        let item = self.text[start..].find(char::is_whitespace).unwrap_or(self.text.len() - start);
        TextError { start, end: start + item, expected, example }
    }

    /// An error that points at what was taken from `start` on.
    pub fn error_of_taken(&self, start: usize, expected: &'static str, example: &'static str) -> TextError {
        TextError { start, end: self.text[..self.at].trim_end().len().max(start), expected, example }
    }

    /// Takes the marks that may stand between items: commas, semicolons, colons, slashes.
    pub fn marks(&mut self) {
        while self.word(&[",", ";", ":", "/"]) {}
    }

    /// Fails unless only white space is left.
    ///
    /// # Errors
    /// Points at what is left over.
    pub fn finish(&mut self, example: &'static str) -> Result<(), TextError> {
        if self.at_end() { Ok(()) } else { Err(self.error("nothing more", example)) }
    }

    /// Takes the first of `words` that comes next, ignoring case. A word of letters must not run on into
    /// another letter, so `in` is not found in `inch`.
    pub fn word(&mut self, words: &[&str]) -> bool {
        self.skip_space();
        let rest = &self.text[self.at..];
        for word in words {
            let Some(head) = rest.get(..word.len()) else { continue };
            let letters = word.chars().next_back().is_some_and(char::is_alphabetic);
            let runs_on = rest[word.len()..].chars().next().is_some_and(char::is_alphabetic);
            if head.eq_ignore_ascii_case(word) && !(letters && runs_on) {
                self.at += word.len();
                return true;
            }
        }
        false
    }

    /// Takes a decimal number with at most three decimals: sign `+`, `-` or a typographic minus; decimal
    /// point or comma. `Ok(None)` when no number comes next, and nothing is taken.
    ///
    /// # Errors
    /// The number has more than three decimals or more than six digits before them.
    pub fn decimal(&mut self, example: &'static str) -> Result<Option<Decimal>, TextError> {
        self.skip_space();
        let start = self.at;
        let rest = &self.text[start..];
        let (negative, signed, sign_len) = match rest.chars().next() {
            Some('+') => (false, true, 1),
            Some(minus @ ('-' | '\u{2212}' | '\u{2013}')) => (true, true, minus.len_utf8()),
            _ => (false, false, 0),
        };
        let mut magnitude: i32 = 0;
        let mut whole = 0_u8;
        let mut decimals = None;
        let mut end = start + sign_len;
        let mut wrong = None;
        for c in rest[sign_len..].chars() {
            match c {
                '0'..='9' => {
                    let digit = i32::from(c as u8 - b'0');
                    match decimals.as_mut() {
                        None if whole < 6 => whole += 1,
                        None => wrong = Some("at most six digits before the decimal point"),
                        Some(d) if *d < 3 => *d += 1,
                        Some(_) => wrong = Some("at most three decimals"),
                    }
                    if wrong.is_none() {
                        magnitude = magnitude * 10 + digit;
                    }
                }
                '.' | ',' if decimals.is_none() => decimals = Some(0_u8),
                _ => break,
            }
            end += c.len_utf8();
        }
        let decimals = match decimals {
            None | Some(0) if whole == 0 => return Ok(None),
            other => other.unwrap_or(0),
        };
        if let Some(expected) = wrong {
            return Err(TextError { start, end, expected, example });
        }
        // At most six digits before the point and three behind it: below a thousand million.
        let scaled = magnitude * [1000, 100, 10, 1][usize::from(decimals)];
        self.at = end;
        let milli = if negative { -scaled } else { scaled };
        Ok(Some(Decimal { milli, signed, decimals, start, end }))
    }

    fn skip_space(&mut self) {
        let rest = &self.text[self.at..];
        self.at += rest.len() - rest.trim_start().len();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(text: &str) -> Result<Option<i32>, &'static str> {
        let mut scanner = Scanner::new(text);
        scanner.decimal("1").map(|d| d.map(|d| d.milli)).map_err(|e| e.expected)
    }

    #[test]
    fn reads_signs_commas_and_the_typographic_minus() {
        assert_eq!(one("+1.25"), Ok(Some(1250)));
        assert_eq!(one("-.5"), Ok(Some(-500)));
        assert_eq!(one("−0,75"), Ok(Some(-750)));
        assert_eq!(one("  62"), Ok(Some(62_000)));
        assert_eq!(one("x"), Ok(None));
        assert_eq!(one("-"), Ok(None));
        assert_eq!(one("."), Ok(None));
    }

    #[test]
    fn refuses_more_than_it_can_hold_exactly() {
        assert_eq!(one("1.0625"), Err("at most three decimals"));
        assert_eq!(one("1234567"), Err("at most six digits before the decimal point"));
        assert_eq!(one("999999999999999999999"), Err("at most six digits before the decimal point"));
        assert_eq!(one("999999.999"), Ok(Some(999_999_999)));
    }

    #[test]
    fn words_end_where_the_letters_end() {
        let mut scanner = Scanner::new("In inch");
        assert!(scanner.word(&["in"]));
        assert!(!scanner.word(&["in"]));
        assert_eq!(
            scanner.finish("x"),
            Err(TextError { start: 3, end: 7, expected: "nothing more", example: "x" })
        );
    }

    #[test]
    fn places_are_byte_offsets_even_behind_a_wide_minus() {
        let mut scanner = Scanner::new("−1.25 oops");
        assert_eq!(scanner.decimal("1").unwrap().unwrap().end, 7);
        assert_eq!(scanner.error("x", "y").start, 8);
    }
}
