//! Arguments as people type them.

use super::Failure;
use crate::settings::{NoStandard, StandardName};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, OrderText, SphereCylinder};
use bevelbook_core::units::{
    Angle, Axis, Length, Notation, Power, PrismPair, RefractiveIndex, Scanner, TextError,
};
use std::ffi::OsString;

const QUOTED: &str = "a prescription is one argument; put quotes round it: \"-1.25 -0.75 x 15\"";

/// Makes arguments that begin with a minus and a figure readable as values: `-1.25 -0.75 x 15` is a prescription,
/// not an option. Its first minus becomes the typographic one, which reads the same.
pub(crate) fn readable(args: impl IntoIterator<Item = OsString>) -> impl Iterator<Item = OsString> {
    args.into_iter().map(|arg| match arg.to_str() {
        Some(text) => {
            let mut chars = text.chars();
            match (chars.next(), chars.next()) {
                (Some('-'), Some('0'..='9' | '.' | ',')) => OsString::from(format!("\u{2212}{}", &text[1..])),
                _ => arg,
            }
        }
        None => arg,
    })
}

/// A text error with the text itself and a mark under the place.
pub(crate) fn pointed(text: &str, error: &TextError) -> String {
    let before = text.get(..error.start).unwrap_or(text).chars().count();
    let marked = text.get(error.start..error.end).map_or(1, |at| at.chars().count().max(1));
    format!(
        "expected {}\n    {text}\n    {}{}\n  write it like: {}",
        error.expected,
        " ".repeat(before),
        "^".repeat(marked),
        error.example
    )
}

/// What `parse` reads, or its error [`pointed`] at its place.
pub(crate) fn parsed<T>(text: &str, parse: impl Fn(&str) -> Result<T, TextError>) -> Result<T, String> {
    parse(text).map_err(|error| pointed(text, &error))
}

/// As [`parsed`]; a lone word that cannot be read is likely a part of a prescription without its quotes.
fn prescription<T>(text: &str, parse: impl Fn(&str) -> Result<T, TextError>) -> Result<T, String> {
    let lone = !text.trim().contains(char::is_whitespace);
    parsed(text, parse).map_err(|error| if lone { format!("{error}\n  {QUOTED}") } else { error })
}

/// What is left when a prescription is typed without quotes: it is taken in only to be refused in words that
/// help. Flattened behind the prescriptions of a command.
#[derive(clap::Args)]
pub(crate) struct Unquoted {
    #[arg(hide = true)]
    left_over: Vec<String>,
}

impl Unquoted {
    /// Fails when something is left over.
    pub(crate) fn refuse(&self) -> Result<(), Failure> {
        if self.left_over.is_empty() {
            return Ok(());
        }
        Err(Failure::Use(format!("nothing more expected, found: {}\n  {QUOTED}", self.left_over.join(" "))))
    }
}

/// A power as an instrument or a formula gives it; decimals are taken as they are.
pub(crate) fn lens(text: &str) -> Result<SphereCylinder, String> {
    prescription(text, |text| SphereCylinder::parse(text, Notation::Reading))
}

/// A power as ordered: `.12` and the like mean eighths.
pub(crate) fn ordered_lens(text: &str) -> Result<SphereCylinder, String> {
    prescription(text, |text| SphereCylinder::parse(text, Notation::Order))
}

/// Which eye: its name or its first letter.
pub(crate) fn eye(text: &str) -> Result<Eye, String> {
    let typed = text.to_lowercase();
    let meant = |eye: &Eye| typed == eye.to_string() || typed == eye.letter().to_lowercase().to_string();
    Eye::BOTH.into_iter().find(meant).ok_or_else(|| "expected right or left, or r or l".into())
}

/// One eye of an order: `.12` and the like mean eighths.
pub(crate) fn eye_order(text: &str) -> Result<OrderText, String> {
    prescription(text, OrderText::read)
}

/// Text that says something.
pub(crate) fn filled(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err("expected some text, found none".into()) } else { Ok(text.into()) }
}

/// One power with its sign.
pub(crate) fn power(text: &str) -> Result<Power, String> {
    parsed(text, |text| Power::parse(text, Notation::Reading))
}

/// The power of a surface; without a sign it is plus, as front curves are written.
pub(crate) fn surface(text: &str) -> Result<Power, String> {
    let bare = text.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',');
    if bare { power(&format!("+{}", text.trim_start())) } else { power(text) }
}

/// The refractive index of a material.
pub(crate) fn index(text: &str) -> Result<RefractiveIndex, String> {
    parsed(text, RefractiveIndex::parse)
}

/// A prism as an amount and a base direction, once or twice.
pub(crate) fn prism(text: &str) -> Result<PrismPair, String> {
    parsed(text, PrismPair::parse)
}

/// One length in millimetres.
pub(crate) fn length(text: &str) -> Result<Length, String> {
    parsed(text, Length::parse)
}

/// A length that something has, above zero.
pub(crate) fn size(text: &str) -> Result<Length, String> {
    at_least(text, Length::from_milli(1), "a size above zero, in millimetres", "52.5")
}

/// A length that may be zero and is never negative.
pub(crate) fn extra(text: &str) -> Result<Length, String> {
    at_least(text, Length::ZERO, "zero or more millimetres", "2")
}

fn at_least(
    text: &str,
    least: Length,
    expected: &'static str,
    example: &'static str,
) -> Result<Length, String> {
    parsed(text, |text| {
        let wrong = TextError { start: 0, end: text.len(), expected, example };
        Length::parse(text).and_then(|length| if length < least { Err(wrong) } else { Ok(length) })
    })
}

/// An axis in degrees; 0 reads as 180.
pub(crate) fn axis(text: &str) -> Result<Axis, String> {
    const EXAMPLE: &str = "15";
    parsed(text, |text| {
        let mut scanner = Scanner::new(text);
        let axis = Axis::scan(&mut scanner, EXAMPLE)?;
        scanner.finish(EXAMPLE).map(|()| axis)
    })
}

/// A direction from 0 to 360 degrees.
pub(crate) fn angle(text: &str) -> Result<Angle, String> {
    const EXAMPLE: &str = "37.5";
    parsed(text, |text| {
        let mut scanner = Scanner::new(text);
        let number = scanner.decimal(EXAMPLE)?.filter(|n| (0..=360_000).contains(&n.milli));
        let wrong = || Scanner::new(text).error("an angle from 0 to 360 degrees", EXAMPLE);
        let angle = Angle::from_milli(number.ok_or_else(wrong)?.milli);
        scanner.word(&["°"]);
        scanner.finish(EXAMPLE).map(|()| angle)
    })
}

/// The distance between the pupils: right/left, or one figure across.
pub(crate) fn pupillary_distance(text: &str) -> Result<PupillaryDistance, String> {
    parsed(text, PupillaryDistance::parse)
}

/// Heights, right and left. A type of its own, so that clap does not take it for a list of values.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heights(pub(crate) [Length; 2]);

/// Heights, or another size of each lens: right/left, or one figure for both.
pub(crate) fn heights(text: &str) -> Result<Heights, String> {
    const EXAMPLE: &str = "18/18.5";
    const EXPECTED: &str = "a size above zero in millimetres, or right/left";
    parsed(text, |text| {
        let mut scanner = Scanner::new(text);
        let one = |scanner: &mut Scanner<'_>| {
            let mut before = scanner.clone();
            let height = Length::scan(scanner, EXAMPLE)?.filter(|height| *height > Length::ZERO);
            height.ok_or_else(|| before.error(EXPECTED, EXAMPLE))
        };
        let right = one(&mut scanner)?;
        let left = if scanner.word(&["/"]) { one(&mut scanner)? } else { right };
        scanner.finish(EXAMPLE).map(|()| Heights([right, left]))
    })
}

/// Front curves, right and left. A type of its own, so that clap does not take it for a list of values.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Curves(pub(crate) [Power; 2]);

/// Front curves: right/left, or one figure for both.
pub(crate) fn curves(text: &str) -> Result<Curves, String> {
    const EXAMPLE: &str = "+6.00/+5.50";
    // A curve is written without its plus as a rule.
    let signed = |part: &str| match part.starts_with(|first: char| first.is_ascii_digit()) {
        true => format!("+{part}"),
        false => part.to_owned(),
    };
    let one = |part: &str| parsed(&signed(part.trim()), |part| Power::parse(part, Notation::Reading));
    let alike = |error: String| format!("{error}\n  write both lenses like: {EXAMPLE}");
    match text.split_once('/') {
        Some((right, left)) => Ok(Curves([one(right).map_err(alike)?, one(left).map_err(alike)?])),
        None => one(text).map(|both| Curves([both; 2])),
    }
}

/// A tolerance standard by its name, with or without the edition, or `shop`.
pub(crate) fn standard(text: &str) -> Result<StandardName, String> {
    text.parse().map_err(|error: NoStandard| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minus_before_a_figure_is_a_value_and_before_a_letter_an_option() {
        let typed = ["bevelbook", "-1.25 x", "--json", "-h", "-", "-.5"].map(OsString::from);
        let read: Vec<OsString> = readable(typed).collect();
        assert_eq!(read, ["bevelbook", "−1.25 x", "--json", "-h", "-", "−.5"].map(OsString::from));
    }

    #[test]
    fn the_mark_stands_under_the_place_even_behind_a_wide_minus() {
        let text = "−1.25 0.75 x 15";
        let shown = lens(text).unwrap_err();
        assert!(shown.contains("\n    −1.25 0.75 x 15\n          ^^^^\n"), "{shown}");
    }

    #[test]
    fn a_lone_word_that_is_no_prescription_is_told_about_quotes() {
        assert!(lens("x").unwrap_err().ends_with(QUOTED));
        assert!(!lens("-1.25 0.75 x 15").unwrap_err().contains("quotes"));
    }

    #[test]
    fn a_direction_goes_once_round() {
        assert_eq!(angle("360").map(Angle::milli), Ok(360_000));
        assert_eq!(angle("37.5°").map(Angle::milli), Ok(37_500));
        assert!(angle("360.001").is_err());
        assert!(angle("-1").is_err());
        assert!(angle("up").is_err());
    }

    #[test]
    fn a_size_is_above_zero_and_an_extra_is_not_below() {
        assert!(size("0").unwrap_err().contains("above zero"));
        assert_eq!(extra("0"), Ok(Length::ZERO));
        assert!(extra("-0.5").is_err());
    }

    #[test]
    fn two_curves_are_right_before_left() {
        let read = |text| curves(text).map(|both| both.0.map(Power::milli));
        assert_eq!(read("6.00/5.50"), Ok([6000, 5500]));
        assert_eq!(read("+4"), Ok([4000, 4000]));
        for wrong in ["6/", "steep", "6/5/4"] {
            assert!(curves(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn two_heights_are_right_before_left() {
        assert_eq!(heights("18/18.5").map(|both| both.0.map(Length::milli)), Ok([18_000, 18_500]));
        assert_eq!(heights("18").map(|both| both.0.map(Length::milli)), Ok([18_000, 18_000]));
        for wrong in ["18/", "0/18", "-18/18", "18/18/18", "high"] {
            assert!(heights(wrong).is_err(), "{wrong}");
        }
    }
}
