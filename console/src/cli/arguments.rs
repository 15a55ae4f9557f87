//! Arguments as people type them.

use super::either::either;
use crate::settings::{NoStandard, StandardName, has_room, is_one_line};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, OrderText, SphereCylinder};
use bevelbook_core::record::Possible;
use bevelbook_core::units::{
    Angle, Axis, Length, Notation, Power, PrismPair, RefractiveIndex, Scanner, TextError,
};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use std::convert::Infallible;
use std::ffi::OsString;
use std::fmt::Display;
use std::ops::RangeInclusive;

/// What to do where a prescription was typed in words of their own.
pub(super) const QUOTED: &str = "a prescription is one argument; put quotes round it: \"-1.25 -0.75 x 15\"";

/// Makes arguments that begin with a minus and a figure readable as values: `-1.25 -0.75 x 15` is a prescription, and
/// `-/30` a PD without its right half, not an option. Its first minus becomes the typographic one, which reads the same.
pub(crate) fn readable(args: impl IntoIterator<Item = OsString>) -> impl Iterator<Item = OsString> {
    let figure = |rest: &str| rest.starts_with(|first: char| first.is_ascii_digit() || ".,/".contains(first));
    args.into_iter().map(move |arg| match arg.to_str().and_then(|text| text.strip_prefix('-')) {
        Some(rest) if figure(rest) => format!("\u{2212}{rest}").into(),
        _ => arg,
    })
}

/// A text error with the text itself and a mark under the place.
pub(crate) fn pointed(text: &str, error: &TextError) -> String {
    format!("{}\n  write it like: {}", marked(text, error), error.example)
}

/// What was expected, the text, and a mark under the place.
fn marked(text: &str, error: &TextError) -> String {
    let before = text.get(..error.start).unwrap_or(text).chars().count();
    let marked = text.get(error.start..error.end).map_or(1, |at| at.chars().count().max(1));
    format!("expected {}\n    {text}\n    {}{}", error.expected, " ".repeat(before), "^".repeat(marked))
}

/// What `parse` reads, or its error [`pointed`] at its place.
pub(crate) fn parsed<T>(text: &str, parse: impl Fn(&str) -> Result<T, TextError>) -> Result<T, String> {
    parse(text).map_err(|error| pointed(text, &error))
}

/// What `scan` takes of a text and leaves nothing of.
fn scanned<T>(
    text: &str,
    example: &'static str,
    scan: impl Fn(&mut Scanner<'_>) -> Result<T, TextError>,
) -> Result<T, String> {
    parsed(text, |text| Scanner::whole(text, example, &scan))
}

/// The error of a text that is wrong as a whole.
pub(crate) fn wrong(text: &str, expected: &'static str, example: &'static str) -> String {
    pointed(text, &TextError { start: 0, end: text.len(), expected, example })
}

/// As [`parsed`]; a lone word that cannot be read is likely a part of a prescription without its quotes. Of what can be
/// meant in two ways it is asked which, in the figures that were typed.
pub(super) fn prescription<T>(text: &str, parse: impl Fn(&str) -> Result<T, TextError>) -> Result<T, String> {
    let lone = !text.trim().contains(char::is_whitespace);
    parse(text).map_err(|error| match either(text, &error) {
        Some([one, other]) => {
            format!("{}\n  write one of the two: {one}, or {other}", marked(text, &error))
        }
        None if lone => format!("{}\n  {QUOTED}", pointed(text, &error)),
        None => pointed(text, &error),
    })
}

/// What is left when a prescription is typed without quotes: it is taken in only to be refused in words that
/// help. Flattened behind the prescriptions of a command.
#[derive(clap::Args)]
pub(crate) struct Unquoted {
    #[arg(hide = true, value_name = "MORE", value_parser = nothing)]
    left_over: Vec<Infallible>,
}

fn nothing(_: &str) -> Result<Infallible, String> {
    Err(format!("nothing more expected; {QUOTED}"))
}

/// A prescription, and nothing behind it.
#[derive(clap::Args)]
pub(crate) struct Rx {
    /// Prescription, in quotes.
    #[arg(value_name = "RX", value_parser = lens)]
    pub(crate) lens: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
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
pub(crate) fn eye_order(text: &str, eye: Eye) -> Result<OrderText, String> {
    prescription(text, |text| OrderText::read(text, Notation::Order, Some(eye)))
}

/// Text that says something.
pub(crate) fn filled(text: &str) -> Result<String, String> {
    let text = words(text)?;
    if text.is_empty() { Err("expected some text, found none".into()) } else { Ok(text) }
}

/// Text that may be empty.
pub(crate) fn words(text: &str) -> Result<String, String> {
    let text = text.trim();
    has_room(text).map_err(|long| format!("the text has {long}"))?;
    Ok(text.into())
}

/// One line of letters, which may be empty.
pub(crate) fn line(text: &str) -> Result<String, String> {
    words(text).and_then(|text| is_one_line(&text).map(|()| text).map_err(|why| why.to_string()))
}

/// A name: one line that says something. Blanks between its words are one, so that a slip of the space bar makes no other name.
pub(crate) fn name(text: &str) -> Result<String, String> {
    line(text).and_then(|text| filled(&text)).map(|name| spaced(&name))
}

/// The words of a text with one blank between them.
pub(crate) fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
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
    within(text, 1..=i32::MAX, "a size above zero, in millimetres", "52.5")
}

/// A length that may be zero and is never negative.
pub(crate) fn extra(text: &str) -> Result<Length, String> {
    within(text, 0..=i32::MAX, "zero or more millimetres", "2")
}

/// A length within a range of micrometres.
pub(crate) fn within(
    text: &str,
    micrometres: RangeInclusive<i32>,
    expected: &'static str,
    example: &'static str,
) -> Result<Length, String> {
    let length = length(text)?;
    let fits = micrometres.contains(&length.milli());
    if fits { Ok(length) } else { Err(wrong(text, expected, example)) }
}

/// A length that a fact of the bench can say.
pub(crate) fn bounded(text: &str, bound: Possible, example: &'static str) -> Result<Length, String> {
    within(text, bound.range, bound.expected, example)
}

/// An axis in degrees; 0 reads as 180.
pub(crate) fn axis(text: &str) -> Result<Axis, String> {
    scanned(text, "15", |scanner| Axis::scan(scanner, "15"))
}

/// A direction from 0 to 360 degrees.
pub(crate) fn angle(text: &str) -> Result<Angle, String> {
    thousandths(text, 360_000, &["°"], "an angle from 0 to 360 degrees", "37.5").map(Angle::from_milli)
}

/// A number from zero to `most` thousandths, without a minus, its unit behind it or not.
pub(crate) fn thousandths(
    text: &str,
    most: i32,
    unit: &[&str],
    expected: &'static str,
    example: &'static str,
) -> Result<i32, String> {
    scanned(text, example, |scanner| {
        let mut before = scanner.clone();
        let number = scanner.decimal(example)?.filter(|number| (0..=most).contains(&number.milli));
        scanner.word(unit);
        number.map(|number| number.milli).ok_or_else(|| before.error(expected, example))
    })
}

/// The distance between the pupils: right/left, or one figure across.
pub(crate) fn pupillary_distance(text: &str) -> Result<PupillaryDistance, String> {
    parsed(text, PupillaryDistance::parse)
}

/// One of something for each lens, right and left. A type of its own, so that clap does not take it for a list of values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sides<T>(pub(crate) [T; 2]);

/// Heights, or another size of each lens: right/left, or one figure for both.
pub(crate) fn heights(text: &str) -> Result<Sides<Length>, String> {
    sides(text, size, "18/18.5")
}

pub(super) fn sides<T: Copy>(
    text: &str,
    one: impl Fn(&str) -> Result<T, String>,
    example: &str,
) -> Result<Sides<T>, String> {
    let (right, left) = text.split_once('/').unwrap_or((text, text));
    let both = one(right).and_then(|right| Ok(Sides([right, one(left)?])));
    both.map_err(|error| format!("{error}\n  write both lenses like: {example}"))
}

/// A parser for values that are known by a name.
pub(crate) fn one_of<N: Into<PossibleValue>, T: Copy + Send + Sync + 'static>(
    choices: impl IntoIterator<Item = (N, T)>,
) -> impl TypedValueParser<Value = T> {
    let choices: Vec<(PossibleValue, T)> =
        choices.into_iter().map(|(name, value)| (name.into(), value)).collect();
    let names = choices.iter().map(|(name, _)| name.clone());
    PossibleValuesParser::new(names.collect::<Vec<_>>()).try_map(move |typed| {
        let meant = choices.iter().find(|(name, _)| name.matches(&typed, true));
        meant.map(|(_, value)| *value).ok_or("not in the list")
    })
}

/// A parser for values that are known by their shown name, with hyphens for spaces.
pub(crate) fn named<T: Copy + Display + Send + Sync + 'static>(
    all: &'static [T],
) -> impl TypedValueParser<Value = T> {
    one_of(all.iter().map(|value| (value.to_string().replace(' ', "-"), *value)).collect::<Vec<_>>())
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
    fn a_text_has_at_most_two_hundred_letters() {
        assert!(filled(&"é".repeat(200)).is_ok() && words("").is_ok());
        let said = words(&"é".repeat(201)).unwrap_err();
        assert_eq!(said, "the text has 201 letters, where at most 200 are allowed");
        assert!(filled(&"x".repeat(70_000)).is_err());
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
    fn two_heights_are_right_before_left() {
        assert_eq!(heights("18/18.5").map(|both| both.0.map(Length::milli)), Ok([18_000, 18_500]));
        assert_eq!(heights("18").map(|both| both.0.map(Length::milli)), Ok([18_000, 18_000]));
        for wrong in ["18/", "0/18", "-18/18", "18/18/18", "high"] {
            assert!(heights(wrong).is_err(), "{wrong}");
        }
    }
}
