//! The point of a lens that an eye looks through, from the optical centre: as flags, as text, in words.

use super::frame::way;
use crate::cli::{Failure, arguments};
use bevelbook_core::prescription::LensPoint;
use bevelbook_core::units::{Length, Scanner, TextError};
use clap::Args;

/// The point as flags, each of two opposite ones leaving out the other.
#[derive(Args)]
pub(super) struct PointFlags {
    /// Point looked through, from the optical centre toward the nose; negative is out.
    #[arg(long = "in", value_name = "MM", value_parser = arguments::length)]
    inward: Option<Length>,
    /// Point looked through, from the optical centre away from the nose.
    #[arg(long = "out", value_name = "MM", value_parser = arguments::extra)]
    outward: Option<Length>,
    /// Point looked through, above the optical centre; negative is down.
    #[arg(long, value_name = "MM", value_parser = arguments::length)]
    up: Option<Length>,
    /// Point looked through, below the optical centre.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    down: Option<Length>,
}

impl PointFlags {
    /// The point that was given, or `None`; a direction left out is at the height, or in the line, of the optical
    /// centre.
    pub(super) fn point(&self) -> Result<Option<LensPoint>, Failure> {
        let inward = one_of(["--in", "--out"], self.inward, self.outward)?;
        let up = one_of(["--up", "--down"], self.up, self.down)?;
        Ok((inward.is_some() || up.is_some())
            .then(|| LensPoint { inward: inward.unwrap_or(Length::ZERO), up: up.unwrap_or(Length::ZERO) }))
    }
}

/// A distance by the flag that counts it or by the one that counts it the other way.
pub(super) fn one_of(
    flags: [&str; 2],
    there: Option<Length>,
    opposite: Option<Length>,
) -> Result<Option<Length>, Failure> {
    match (there, opposite) {
        (Some(_), Some(_)) => {
            let [one, other] = flags;
            Err(Failure::Use(format!(
                "{one} and {other} are opposite ways of one distance; give one of them, for example {other} 2"
            )))
        }
        (there, opposite) => Ok(there.or(opposite.map(|length| -length))),
    }
}

/// A point as text: one or two distances with their directions, or 0 for the optical centre.
pub(super) fn point(text: &str) -> Result<LensPoint, String> {
    arguments::parsed(text, scan)
}

fn scan(text: &str) -> Result<LensPoint, TextError> {
    const EXAMPLE: &str = "2 in 8 down";
    let mut scanner = Scanner::new(text);
    let (mut inward, mut up) = (None, None);
    loop {
        let mut before = scanner.clone();
        let Some(length) = Length::scan(&mut scanner, EXAMPLE)? else { break };
        if length < Length::ZERO {
            return Err(before.error("a distance without a sign", EXAMPLE));
        }
        let mut at_way = scanner.clone();
        let (slot, length) = if scanner.word(&["in"]) {
            (&mut inward, length)
        } else if scanner.word(&["out"]) {
            (&mut inward, -length)
        } else if scanner.word(&["up"]) {
            (&mut up, length)
        } else if scanner.word(&["down"]) {
            (&mut up, -length)
        } else if length.is_zero() {
            (&mut inward, length)
        } else {
            return Err(at_way.error("the direction: in, out, up or down", EXAMPLE));
        };
        if slot.replace(length).is_some() {
            return Err(at_way.error("one way in or out and one up or down at most", EXAMPLE));
        }
        scanner.word(&[","]);
    }
    if inward.is_none() && up.is_none() {
        return Err(scanner.error("a distance in millimetres and its direction", EXAMPLE));
    }
    scanner.finish(EXAMPLE)?;
    Ok(LensPoint { inward: inward.unwrap_or_default(), up: up.unwrap_or_default() })
}

/// A point in words.
pub(super) fn in_words(point: LensPoint) -> String {
    let parts = [(point.inward, "in", "out"), (point.up, "up", "down")];
    let moved = parts.iter().filter(|(length, ..)| !length.is_zero());
    let words: Vec<String> = moved.map(|(length, one, other)| way(*length, one, other)).collect();
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
