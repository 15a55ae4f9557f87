//! Powers in trade notation.
//!
//! Sphere, cylinder and axis in this order, each with or without its word: `-1.25 -0.75 x 15`, `SPH -1.25 CYL -0.75
//! AXIS 15`, `-1.25 DS / -0.75 DC x 15`. White space, a comma, a semicolon, a colon or a slash may stand between them. What
//! can be meant in two ways is refused: nobody is to grind what was guessed.

use super::SphereCylinder;
use crate::units::{Axis, Decimal, Notation, Power, PrismPair, Scanner, TextError};
use core::fmt;

const EXAMPLE: &str = "-1.25 -0.75 x 15";
const PLANO: [&str; 3] = ["plano", "plan", "pl"];
/// Before or behind the sphere.
const SPHERE: [&str; 6] = ["sphere", "sph", "ds", "d.s.", "s", "d"];
/// Before or behind the cylinder.
const CYLINDER: [&str; 5] = ["cylinder", "cyl", "dc", "d.c.", "c"];
/// Behind a power that is a cylinder alone; with the mark of its axis too.
const LONE_CYLINDER: [&str; 3] = ["dc", "d.c.", "dcx"];
const AXIS: [&str; 7] = ["axis", "ax", "a", "x", "×", "*", "dcx"];
/// Beside a power it is what is written of the power at a meridian, and of the axis of a cylinder too.
const AT: [&str; 1] = ["@"];
/// Before or behind an addition.
pub(super) const ADD: [&str; 3] = ["addition", "add", "ad"];

impl SphereCylinder {
    /// What is expected where an axis stands behind a sphere: the error of a text that can be meant in two ways.
    pub const LONE_AXIS: &str =
        "a cylinder before the axis: is the power the cylinder, or has the lens none?";

    /// What is expected where an @ stands behind a cylinder: the other error of a text that can be meant in two ways.
    pub const AT_MERIDIAN: &str = "an x before the axis: @ can mean the power at that meridian too";

    /// Takes `-1.25 -0.75 x 15`, `+1.00 DS`, `pl -0.50 x 170`, `pl`, `+2.00 DC x 30`, and what else the trade writes for
    /// them. An axis needs no mark where it cannot be anything else: 10 and above, or three digits.
    ///
    /// # Errors
    /// A sign is missing, a cylinder has no axis or an axis no cylinder, or a number is out of range.
    pub fn scan(scanner: &mut Scanner<'_>, notation: Notation) -> Result<Self, TextError> {
        scanner.word(&SPHERE);
        scanner.marks();
        let plano = scanner.word(&PLANO);
        let sphere = if plano {
            Power::ZERO
        } else {
            Power::scan(scanner, notation, EXAMPLE)?
                .ok_or_else(|| scanner.error("the sphere, in dioptres with its sign, or pl", EXAMPLE))?
        };
        if !plano && scanner.clone().word(&LONE_CYLINDER) {
            scanner.word(&CYLINDER);
            return Ok(Self::new(Power::ZERO, sphere, scan_axis(scanner)?));
        }
        scanner.word(&SPHERE);
        scanner.marks();
        let named = scanner.word(&CYLINDER);
        scanner.marks();
        let cylinder = match scan_cylinder(scanner, notation)? {
            Some(cylinder) => cylinder,
            None if named => return Err(scanner.error("the cylinder, in dioptres with its sign", EXAMPLE)),
            None => Power::ZERO,
        };
        scanner.word(&CYLINDER);
        if cylinder.is_zero() {
            no_axis(scanner)?;
            return Ok(Self::sphere(sphere));
        }
        Ok(Self::new(sphere, cylinder, scan_axis(scanner)?))
    }

    /// Reads one power and nothing else.
    ///
    /// # Errors
    /// As [`SphereCylinder::scan`], and when something is left over.
    pub fn parse(text: &str, notation: Notation) -> Result<Self, TextError> {
        Scanner::whole(text, EXAMPLE, |scanner| Self::scan(scanner, notation))
    }
}

/// The cylinder, unless the number that comes is an addition or a prism.
fn scan_cylinder(scanner: &mut Scanner<'_>, notation: Notation) -> Result<Option<Power>, TextError> {
    let mut ahead = scanner.clone();
    let Some(number) = ahead.decimal(EXAMPLE)? else { return Ok(None) };
    match number.signed {
        true if ahead.word(&ADD) => return Ok(None),
        false if PrismPair::follows(&ahead) => return Ok(None),
        // A cylinder that lost its sign, or a prism by the angle of its base.
        false if ahead.clone().word(&AT) && !number.is_zero() => {
            const EITHER: &str = "-1.25 -0.75 x 15, or -1.25 DS prism 2 @ 135";
            return Err(scanner.error("a cylinder with its sign, or the word prism before a prism", EITHER));
        }
        false if is_axis(number) && !ahead.word(&AXIS) && !ahead.word(&ADD) => {
            return Err(lone_axis(&ahead, number.start));
        }
        _ => {}
    }
    Power::scan(scanner, notation, EXAMPLE)
}

/// The axis of a cylinder, behind its mark or alone.
fn scan_axis(scanner: &mut Scanner<'_>) -> Result<Axis, TextError> {
    scanner.marks();
    if scanner.word(&AXIS) {
        scanner.marks();
        return Axis::scan(scanner, EXAMPLE);
    }
    let start = scanner.position();
    if scanner.word(&AT) {
        Axis::scan(scanner, EXAMPLE)?;
        const BOTH: &str = "-1.25 -0.75 x 15, or for the power at 15 -1.25 -0.75 x 105";
        return Err(scanner.error_of_taken(start, SphereCylinder::AT_MERIDIAN, BOTH));
    }
    let mut ahead = scanner.clone();
    let alone = ahead.decimal(EXAMPLE)?.filter(|number| is_axis(*number) && number.is_no_single_digit());
    match alone {
        Some(_) if !PrismPair::follows(&ahead) && !ahead.word(&AT) => Axis::scan(scanner, EXAMPLE),
        _ => Err(scanner.error("the axis of the cylinder, behind an x", EXAMPLE)),
    }
}

/// Whether a number can be an axis: whole, without a sign, from 1 to 180.
const fn is_axis(number: Decimal) -> bool {
    !number.signed && number.milli % 1000 == 0 && 1 <= number.milli / 1000 && number.milli <= 180_000
}

/// Refuses an axis that stands there without a cylinder.
fn no_axis(scanner: &Scanner<'_>) -> Result<(), TextError> {
    let mut ahead = scanner.clone();
    ahead.marks();
    let start = ahead.position();
    if !(ahead.word(&AXIS) || ahead.word(&AT)) {
        return Ok(());
    }
    ahead.marks();
    Axis::scan(&mut ahead, EXAMPLE)?;
    Err(lone_axis(&ahead, start))
}

fn lone_axis(behind: &Scanner<'_>, start: usize) -> TextError {
    behind.error_of_taken(start, SphereCylinder::LONE_AXIS, "pl -0.50 x 170, or -0.50 DS")
}

impl fmt::Display for SphereCylinder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.sphere.is_zero(), self.cylinder.is_zero()) {
            (true, true) => f.write_str("pl"),
            (false, true) => write!(f, "{} DS", self.sphere),
            (true, false) => write!(f, "pl {} x {}", self.cylinder, self.axis),
            (false, false) => write!(f, "{} {} x {}", self.sphere, self.cylinder, self.axis),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    fn read(text: &str) -> Result<(i32, i32, i32), &'static str> {
        SphereCylinder::parse(text, Notation::Order)
            .map(|l| (l.sphere.milli(), l.cylinder.milli(), l.axis.milli() / 1000))
            .map_err(|e| e.expected)
    }

    #[test]
    fn reads_the_notations_of_the_trade() {
        for text in [
            "-1.25 -0.75 x 15",
            "−1.25 −0.75×15°",
            "-1.25/-0.75/15",
            "-1.25 -0.75 * 15",
            "-1,25 / -0,75 axis 15",
            "-1.25, -0.75, 15",
            "-1,25; -0,75; 15",
            "-1.25 -0.75 15",
            "-1.25 -0.75 015",
            "SPH -1.25 CYL -0.75 AXIS 15",
            "sph: -1.25 cyl: -0.75 axis: 15",
            "S -1.25 C -0.75 A 15",
            "S-1.25C-0.75A15",
            "-1.25 DS / -0.75 DC x 15",
            "-1.25 D.S. -0.75 D.C. ax 15",
            "-1.25 -0.75 DCx15",
            "-1.25 sph -0.75 cyl 15",
        ] {
            assert_eq!(read(text), Ok((-1250, -750, 15)), "{text}");
        }
        for text in ["+1.00 DS", "+1.00 D.S.", "+1.00", "sph +1.00", "+1.00 0.00", "+1.00/0"] {
            assert_eq!(read(text), Ok((1000, 0, 180)), "{text}");
        }
        for text in ["+2.00 DC x 30", "+2.00 DCx30", "+2.00 D.C. 30", "pl +2.00 x 30", "plano / +2.00 / 30"] {
            assert_eq!(read(text), Ok((0, 2000, 30)), "{text}");
        }
        assert_eq!(read("plano"), Ok((0, 0, 180)));
        assert_eq!(read("-2.12 -0.37 x 0"), Ok((-2125, -375, 180)));
    }

    #[test]
    fn says_what_is_missing() {
        const AXIS: &str = "the axis of the cylinder, behind an x";
        assert_eq!(read("-1.25 -0.75"), Err(AXIS));
        assert_eq!(read("-1.25 -0.75 x 190"), Err("an axis from 1 to 180 degrees"));
        assert_eq!(read("-1.25 -0.75 x"), Err("an axis from 1 to 180 degrees"));
        assert_eq!(read("-1.25 cyl"), Err("the cylinder, in dioptres with its sign"));
        assert_eq!(read("1.25"), Err("a power with its sign, + or -"));
        assert_eq!(read(""), Err("the sphere, in dioptres with its sign, or pl"));
        assert_eq!(read("-1.25 0.75 x 15"), Err("a power with its sign, + or -"));
        assert_eq!(read("-1.25 2 add"), Err("a power with its sign, + or -"));
        assert_eq!(read("-1.25 2 x 15"), Err("a power with its sign, + or -"));
    }

    #[test]
    fn a_number_alone_is_an_axis_only_where_it_can_be_nothing_else() {
        // 2 may be an addition, 15 with a base or an angle behind it is prism.
        for text in ["2", "2.25", "000", "190", "15.5", "15 in", "15Δ", "15 @ 135", "15 base up"] {
            let text = std::format!("-1.25 -0.75 {text}");
            assert_eq!(read(&text), Err("the axis of the cylinder, behind an x"), "{text}");
        }
        let error = SphereCylinder::parse("-1.25 0.75 @ 15", Notation::Order).unwrap_err();
        assert_eq!((error.start, error.end), (6, 10));
        assert!(error.expected.contains("with its sign, or the word prism"));
    }

    #[test]
    fn an_axis_without_a_cylinder_is_asked_about_at_its_place() {
        for (text, place) in [
            ("-0.50 x 170", "x 170"),
            ("-0.50x170", "x170"),
            ("-0.50 DS x 170", "x 170"),
            ("-0.50 0.00 x 170", "x 170"),
            ("-0.50 / 170", "170"),
            ("-0.50 170", "170"),
            ("-0.50 @ 170°", "@ 170°"),
            ("pl axis 15", "axis 15"),
        ] {
            for notation in [Notation::Order, Notation::Reading] {
                let error = SphereCylinder::parse(text, notation).unwrap_err();
                assert_eq!(
                    (error.expected, &text[error.start..error.end]),
                    (SphereCylinder::LONE_AXIS, place)
                );
                assert_eq!(error.example, "pl -0.50 x 170, or -0.50 DS");
            }
        }
        assert_eq!(read("-0.50 x 190"), Err("an axis from 1 to 180 degrees"));
    }

    #[test]
    fn a_power_at_a_meridian_is_no_axis() {
        for text in ["-1.25 -0.75 @ 15", "-1.25/-0.75@15°", "pl -0.75 @ 15", "+2.00 DC @ 30"] {
            let error = SphereCylinder::parse(text, Notation::Order).unwrap_err();
            assert_eq!(
                (error.expected, text.find('@')),
                (SphereCylinder::AT_MERIDIAN, Some(error.start)),
                "{text}"
            );
        }
        assert_eq!(read("-1.25 -0.75 @ 190"), Err("an axis from 1 to 180 degrees"));
    }

    #[test]
    fn what_is_shown_reads_back() {
        for text in ["-1.25 -0.75 x 15", "+1.00 DS", "pl", "pl -0.50 x 170", "-0.125 +4.75 x 7"] {
            assert_eq!(SphereCylinder::parse(text, Notation::Order).unwrap().to_string(), text);
        }
    }
}
