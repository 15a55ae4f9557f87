//! The way from one centre to another, in or out and up or down: as flags, as text, in words.

use crate::cli::arguments;
use bevelbook_core::frame::Decentration;
use bevelbook_core::prescription::LensPoint;
use bevelbook_core::units::{Length, Scanner, TextError};
use clap::Args;
use std::ops::Neg;

/// A way as flags; where no flag says how far, it is no way.
#[derive(Args)]
#[group(id = "way", multiple = true)]
pub(super) struct WayFlags {
    /// Toward the nose; negative is out.
    #[arg(long = "in", value_name = "MM", value_parser = arguments::length, conflicts_with = "outward")]
    inward: Option<Length>,
    /// Away from the nose.
    #[arg(long = "out", value_name = "MM", value_parser = arguments::extra)]
    outward: Option<Length>,
    /// Above; negative is down.
    #[arg(long, value_name = "MM", value_parser = arguments::length, conflicts_with = "down")]
    up: Option<Length>,
    /// Below.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    down: Option<Length>,
}

impl WayFlags {
    /// To the point of a lens that is looked through.
    pub(super) fn point(&self) -> LensPoint {
        let signed = |there: Option<Length>, back: Option<Length>| there.or(back.map(Neg::neg));
        LensPoint {
            inward: signed(self.inward, self.outward).unwrap_or_default(),
            up: signed(self.up, self.down).unwrap_or_default(),
        }
    }

    /// To the optical centre.
    pub(super) fn decentration(&self) -> Decentration {
        let LensPoint { inward, up } = self.point();
        Decentration { inward, up }
    }
}

/// A point as text: one or two distances with their directions, or 0 for the optical centre.
pub(super) fn point(text: &str) -> Result<LensPoint, String> {
    arguments::parsed(text, scan)
}

fn scan(text: &str) -> Result<LensPoint, TextError> {
    const EXAMPLE: &str = "2 in 8 down";
    const DIRECTIONS: [(&str, usize, bool); 4] =
        [("in", 0, false), ("out", 0, true), ("up", 1, false), ("down", 1, true)];
    let mut scanner = Scanner::new(text);
    let mut parts = [None; 2];
    loop {
        let mut before = scanner.clone();
        let Some(length) = Length::scan(&mut scanner, EXAMPLE)? else { break };
        if length < Length::ZERO {
            return Err(before.error("a distance without a sign", EXAMPLE));
        }
        let mut at_direction = scanner.clone();
        let (part, length) = match DIRECTIONS.iter().find(|(word, ..)| scanner.word(&[word])) {
            Some((_, part, back)) => (*part, if *back { -length } else { length }),
            None if length.is_zero() => (0, length),
            None => return Err(at_direction.error("the direction: in, out, up or down", EXAMPLE)),
        };
        if parts[part].replace(length).is_some() {
            return Err(at_direction.error("one way in or out and one up or down at most", EXAMPLE));
        }
        scanner.word(&[","]);
    }
    if parts == [None; 2] {
        return Err(scanner.error("a distance in millimetres and its direction", EXAMPLE));
    }
    scanner.finish(EXAMPLE)?;
    let [inward, up] = parts.map(Option::unwrap_or_default);
    Ok(LensPoint { inward, up })
}

/// A distance in words, by the direction of its sign.
pub(super) fn along(length: Length, positive: &str, negative: &str) -> String {
    match length.milli() {
        0 => "0 mm".to_owned(),
        1.. => format!("{length} mm {positive}"),
        _ => format!("{} mm {negative}", length.abs()),
    }
}

/// A point in words.
pub(super) fn in_words(point: LensPoint) -> String {
    let parts = [(point.inward, "in", "out"), (point.up, "up", "down")];
    let moved = parts.iter().filter(|(length, ..)| !length.is_zero());
    let words: Vec<String> = moved.map(|(length, one, other)| along(*length, one, other)).collect();
    if words.is_empty() { "the optical centre".to_owned() } else { words.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(inward: i32, up: i32) -> LensPoint {
        LensPoint { inward: Length::from_milli(inward), up: Length::from_milli(up) }
    }

    #[test]
    fn a_point_is_told_by_its_directions_in_either_order() {
        for text in ["2 in 8 down", "8down 2in", "2 mm in, 8 mm down"] {
            assert_eq!(point(text), Ok(at(2000, -8000)), "{text}");
        }
        assert_eq!(point("1.5 out"), Ok(at(-1500, 0)));
        assert_eq!(point("0"), Ok(LensPoint::OPTICAL_CENTRE));
    }

    #[test]
    fn a_distance_without_a_direction_or_with_two_is_not_guessed() {
        for (text, expected) in [
            ("2", "the direction: in, out, up or down"),
            ("2 in 3 out", "one way in or out and one up or down at most"),
            ("-2 in", "without a sign"),
            ("", "a distance in millimetres"),
            ("2 in inside", "nothing more"),
        ] {
            assert!(point(text).unwrap_err().contains(expected), "{text}");
        }
    }

    #[test]
    fn words_leave_out_what_is_zero() {
        assert_eq!(in_words(at(2000, -8500)), "2 mm in, 8.5 mm down");
        assert_eq!(in_words(at(-2000, 0)), "2 mm out");
        assert_eq!(in_words(LensPoint::OPTICAL_CENTRE), "the optical centre");
    }
}
