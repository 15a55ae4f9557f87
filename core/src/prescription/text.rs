//! Prescriptions in trade notation.

use super::{EyeOrder, SphereCylinder, Wanted};
use crate::units::{Axis, Notation, Power, PrismPair, Scanner, TextError};
use core::fmt;

const EXAMPLE: &str = "-1.25 -0.75 x 15";
const ORDER_EXAMPLE: &str = "-1.25 -0.75 x 15 prism 2 in add +2.00";

impl SphereCylinder {
    /// Takes `-1.25 -0.75 x 15`, `+1.00 DS`, `pl -0.50 x 170`, `pl`, `+2.00 DC x 30`; a slash may stand between
    /// sphere and cylinder, and `x`, `×`, `@` or `axis` before the axis.
    ///
    /// # Errors
    /// A sign is missing, a cylinder has no axis or an axis no cylinder, or a number is out of range.
    pub fn scan(scanner: &mut Scanner<'_>, notation: Notation) -> Result<Self, TextError> {
        match scan_parts(scanner, notation)? {
            (lens, None) => Ok(lens),
            (_, Some(mut at_axis)) => Err(at_axis.error("a cylinder before the axis", EXAMPLE)),
        }
    }

    fn scan_axis(scanner: &mut Scanner<'_>) -> Result<Axis, TextError> {
        if axis_mark(scanner) {
            Axis::scan(scanner, EXAMPLE)
        } else {
            Err(scanner.error("the axis of the cylinder, behind an x", EXAMPLE))
        }
    }

    /// Reads one power and nothing else.
    ///
    /// # Errors
    /// As [`SphereCylinder::scan`], and when something is left over.
    pub fn parse(text: &str, notation: Notation) -> Result<Self, TextError> {
        Scanner::whole(text, EXAMPLE, |scanner| Self::scan(scanner, notation))
    }
}

/// A power, and the place of an axis that stands there without a cylinder.
fn scan_parts<'a>(
    scanner: &mut Scanner<'a>,
    notation: Notation,
) -> Result<(SphereCylinder, Option<Scanner<'a>>), TextError> {
    let plano = scanner.word(&["plano", "plan", "pl"]);
    let sphere = if plano {
        Power::ZERO
    } else {
        Power::scan(scanner, notation, EXAMPLE)?
            .ok_or_else(|| scanner.error("the sphere, in dioptres with its sign, or pl", EXAMPLE))?
    };
    if !plano && scanner.word(&["dc"]) {
        return Ok((SphereCylinder::new(Power::ZERO, sphere, SphereCylinder::scan_axis(scanner)?), None));
    }
    scanner.word(&["ds", "sph", "d"]);
    scanner.word(&["/"]);
    let cylinder = Power::scan(scanner, notation, EXAMPLE)?.unwrap_or_default();
    scanner.word(&["dc", "cyl"]);
    if !cylinder.is_zero() {
        return Ok((SphereCylinder::new(sphere, cylinder, SphereCylinder::scan_axis(scanner)?), None));
    }
    let at_axis = scanner.clone();
    let lone = axis_mark(&mut scanner.clone());
    if lone {
        SphereCylinder::scan_axis(scanner)?;
    }
    Ok((SphereCylinder::sphere(sphere), lone.then_some(at_axis)))
}

fn axis_mark(scanner: &mut Scanner<'_>) -> bool {
    scanner.word(&["axis", "ax", "x", "×", "@"])
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

impl EyeOrder {
    /// Reads a whole eye: a power, then `prism …` and `add …` in any order. `bal`, alone or before a power, is a balance
    /// lens; `none` is an eye for which nothing is made, and `old` before a power one that keeps its lens. Use [`OrderText::read`] to learn what
    /// had to be interpreted.
    ///
    /// ```
    /// use bevelbook_core::prescription::EyeOrder;
    /// let eye = EyeOrder::parse("-1.25 -0.75 x 15 prism 1.5 up 2 in add +2.00")?;
    /// assert_eq!(eye.add.map(|add| add.milli()), Some(2000));
    /// assert_eq!(eye.prism.base_in.milli(), 2000);
    /// # Ok::<(), bevelbook_core::units::TextError>(())
    /// ```
    ///
    /// # Errors
    /// As for its parts; an addition must be above zero and at most +10 D.
    pub fn parse(text: &str) -> Result<Self, TextError> {
        OrderText::read(text).map(|read| read.eye)
    }
}

/// One eye of an order as it was understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrderText {
    /// What was understood.
    pub eye: EyeOrder,
    /// A prism is written, if only to say that there is none.
    pub says_prism: bool,
    /// An axis is written, and no cylinder that it could belong to. It was dropped.
    pub lone_axis: bool,
    /// Decimals such as `.12` were read as the eighth they stand for.
    pub eighths: bool,
}

impl OrderText {
    /// Reads a whole eye and says what was interpreted.
    ///
    /// # Errors
    /// As [`EyeOrder::parse`].
    pub fn read(text: &str) -> Result<Self, TextError> {
        Self::read_as(text, Notation::Order)
    }

    /// The same of an eye in this notation: what a supplier says that a lens is to read as has its decimals as they are.
    ///
    /// # Errors
    /// As [`EyeOrder::parse`].
    pub fn read_as(text: &str, notation: Notation) -> Result<Self, TextError> {
        let mut scanner = Scanner::new(text);
        let wanted = scan_wanted(&mut scanner);
        if !wanted.power_is_known() {
            let eye = EyeOrder { wanted, ..EyeOrder::single_vision(SphereCylinder::PLANO) };
            return Ok(Self { eye, says_prism: false, lone_axis: false, eighths: false });
        }
        let mut again = scanner.clone();
        let (power, lone) = scan_parts(&mut scanner, notation)?;
        let (as_written, _) = scan_parts(&mut again, Notation::Reading)?;
        let mut eye = EyeOrder { wanted, ..EyeOrder::single_vision(power) };
        let mut prism = None;
        while !scanner.at_end() {
            if eye.add.is_none() && scanner.word(&["add"]) {
                eye.add = Some(scan_add(&mut scanner)?);
            } else if prism.is_none() && scanner.word(&["prism"]) {
                prism = Some(PrismPair::scan(&mut scanner)?);
            } else {
                return Err(
                    scanner.error("the end, `prism` with its base, or `add`, each once", ORDER_EXAMPLE)
                );
            }
        }
        eye.prism = prism.unwrap_or_default();
        Ok(Self { eye, says_prism: prism.is_some(), lone_axis: lone.is_some(), eighths: as_written != power })
    }
}

/// What is wanted of an eye, before its power.
fn scan_wanted(scanner: &mut Scanner<'_>) -> Wanted {
    if scanner.word(&["balance", "bal"]) {
        Wanted::Balance { known: !scanner.at_end() }
    } else if scanner.word(&["none", "old"]) {
        scanner.word(&[","]);
        scanner.word(&["old"]);
        Wanted::Nothing { known: !scanner.at_end() }
    } else {
        Wanted::Lens
    }
}

/// An addition is written with or without its plus.
fn scan_add(scanner: &mut Scanner<'_>) -> Result<Power, TextError> {
    let mut before = scanner.clone();
    let signed = scanner.clone().decimal(ORDER_EXAMPLE)?.is_some_and(|n| n.signed);
    let add = if signed {
        Power::scan(scanner, Notation::Order, ORDER_EXAMPLE)?
    } else {
        scanner.decimal(ORDER_EXAMPLE)?.map(|n| Power::from_milli(n.milli))
    };
    match add {
        Some(add) if add > Power::ZERO && add.milli() <= 10_000 => Ok(add),
        _ => Err(before.error("an addition above zero, at most 10 D", ORDER_EXAMPLE)),
    }
}

impl fmt::Display for EyeOrder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.wanted.words())?;
        if !self.wanted.power_is_known() {
            return Ok(());
        }
        let space = if self.wanted.words().is_empty() { "" } else { " " };
        write!(f, "{space}{}", self.power)?;
        if !self.prism.is_none() {
            write!(f, " prism {}", self.prism)?;
        }
        if let Some(add) = self.add {
            write!(f, " add {add}")?;
        }
        Ok(())
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
        assert_eq!(read("-1.25 -0.75 x 15"), Ok((-1250, -750, 15)));
        assert_eq!(read("−1.25 −0.75×15°"), Ok((-1250, -750, 15)));
        assert_eq!(read("+6.00/-3.00 @ 140"), Ok((6000, -3000, 140)));
        assert_eq!(read("-1,25 / -0,75 axis 15"), Ok((-1250, -750, 15)));
        assert_eq!(read("+1.00 DS"), Ok((1000, 0, 180)));
        assert_eq!(read("+1.00"), Ok((1000, 0, 180)));
        assert_eq!(read("pl -0.50 x 170"), Ok((0, -500, 170)));
        assert_eq!(read("plano"), Ok((0, 0, 180)));
        assert_eq!(read("+2.00 DC x 30"), Ok((0, 2000, 30)));
        assert_eq!(read("-2.12 -0.37 x 0"), Ok((-2125, -375, 180)));
    }

    #[test]
    fn says_what_is_missing() {
        assert_eq!(read("-1.25 -0.75"), Err("the axis of the cylinder, behind an x"));
        assert_eq!(read("-1.25 x 15"), Err("a cylinder before the axis"));
        assert_eq!(read("-1.25 DS x 15"), Err("a cylinder before the axis"));
        assert_eq!(read("-1.25 0.00 x 15"), Err("a cylinder before the axis"));
        assert_eq!(read("-1.25 -0.75 x 190"), Err("an axis from 1 to 180 degrees"));
        assert_eq!(read("-1.25 -0.75 x"), Err("an axis from 1 to 180 degrees"));
        assert_eq!(read("1.25"), Err("a power with its sign, + or -"));
        assert_eq!(read(""), Err("the sphere, in dioptres with its sign, or pl"));
        assert_eq!(read("-1.25 0.75 x 15"), Err("a power with its sign, + or -"));
    }

    #[test]
    fn an_order_says_what_was_interpreted() {
        let read = |text| OrderText::read(text).map(|read| (read.lone_axis, read.eighths));
        assert_eq!(read("-1.25 -0.75 x 15"), Ok((false, false)));
        assert_eq!(read("-1.25 x 15"), Ok((true, false)));
        assert_eq!(read("-1.25 0.00 x 15"), Ok((true, false)));
        assert_eq!(read("-1.25 DS x 15 add 2"), Ok((true, false)));
        assert_eq!(read("-1.12 -0.75 x 15"), Ok((false, true)));
        assert!(read("-1.25 x 190").is_err());
    }

    #[test]
    fn what_is_shown_reads_back() {
        for text in ["-1.25 -0.75 x 15", "+1.00 DS", "pl", "pl -0.50 x 170", "-0.125 +4.75 x 7"] {
            assert_eq!(SphereCylinder::parse(text, Notation::Order).unwrap().to_string(), text);
        }
        for text in [
            "-1.25 -0.75 x 15 prism 1.50 up 2.00 in add +2.00",
            "pl add +0.75",
            "bal",
            "bal -2.00 DS",
            "none",
            "none, old -2.00 -0.50 x 10 add +1.50",
        ] {
            assert_eq!(EyeOrder::parse(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn prism_and_add_come_once_in_any_order() {
        assert_eq!(EyeOrder::parse("pl add 2 prism 1 up"), EyeOrder::parse("pl prism 1 up add +2.00"));
        assert!(EyeOrder::parse("pl add 2 add 2").is_err());
        assert!(EyeOrder::parse("pl add -2").is_err());
        assert!(EyeOrder::parse("pl prism 2").is_err());
    }
}
