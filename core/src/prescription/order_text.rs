//! One eye of an order in trade notation: what is wanted of it, a power, and what comes with it.
//!
//! Behind the power stand, each once and in any order, prism (`prism 1.5 up 2 in`, `2 BI`, `2Δ base in`, or by the angle of
//! its base, `prism 2 @ 135`), an addition (`add +2.00`, `ad 2`, `+2.00 add`), and the eye (`R`, `OD`; before all as well).

use super::text::ADD;
use super::{Eye, EyeOrder, ObliquePrism, SphereCylinder, Wanted};
use crate::units::{Angle, Notation, Power, Prism, PrismPair, Scanner, TextError};
use core::fmt;

const EXAMPLE: &str = "-1.25 -0.75 x 15 prism 2 in add +2.00";
const BY_ANGLE: &str = "prism 2 @ 135";

impl EyeOrder {
    /// Reads a whole eye as ordered: [`OrderText::read`] without what had to be interpreted.
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
    /// As [`OrderText::read`].
    pub fn parse(text: &str) -> Result<Self, TextError> {
        OrderText::read(text, Notation::Order, None).map(|read| read.eye)
    }
}

/// One eye of an order as it was understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrderText {
    /// What was understood.
    pub eye: EyeOrder,
    /// A prism is written, if only to say that there is none.
    pub says_prism: bool,
    /// A prism was written by the angle of its base, which was split into its parts.
    pub oblique: Option<ObliquePrism>,
    /// Decimals such as `.12` were read as the eighth they stand for.
    pub eighths: bool,
}

impl OrderText {
    /// Reads a whole eye. `bal`, alone or before a power, is a balance lens; `none` is an eye for which nothing is made, and
    /// `old` before a power one that keeps its lens. What a supplier says that a lens is to read as has its decimals as they
    /// are, [`Notation::Reading`]. A text that names an eye has to name `of`, where that is known; the angle of a prism's
    /// base, by ISO 8429, says in or out only of a known eye.
    ///
    /// # Errors
    /// As for its parts; an addition must be above zero and at most +10 D.
    pub fn read(text: &str, notation: Notation, of: Option<Eye>) -> Result<Self, TextError> {
        let mut said = Said { of, notation, prism: None, oblique: None, add: None };
        let mut scanner = Scanner::new(text);
        said.scan_eye(&mut scanner)?;
        let wanted = said.scan_wanted(&mut scanner)?;
        let mut power = SphereCylinder::PLANO;
        if wanted.power_is_known() {
            power = SphereCylinder::scan(&mut scanner, notation)?;
            said.scan_rest(&mut scanner)?;
        }
        let Said { prism, oblique, add, .. } = said;
        let eye = EyeOrder { power, prism: prism.unwrap_or_default(), add, wanted };
        let as_written = match notation {
            Notation::Order => Self::read(text, Notation::Reading, of)?.eye,
            Notation::Reading => eye,
        };
        Ok(Self { eye, says_prism: prism.is_some(), oblique, eighths: as_written != eye })
    }
}

/// What was read so far beside the power.
struct Said {
    of: Option<Eye>,
    notation: Notation,
    prism: Option<PrismPair>,
    oblique: Option<ObliquePrism>,
    add: Option<Power>,
}

impl Said {
    /// What stands behind the power.
    fn scan_rest(&mut self, scanner: &mut Scanner<'_>) -> Result<(), TextError> {
        loop {
            scanner.marks();
            if scanner.at_end() {
                return Ok(());
            }
            let taken = self.scan_eye(scanner)?
                || self.add.is_none() && self.scan_add(scanner)?
                || self.prism.is_none() && self.scan_prism(scanner)?;
            if !taken {
                return Err(match scanner.clone().word(&["bvd", "cvd", "vd", "vertex"]) {
                    true => scanner.error(
                        "no BVD, for which an order has no place: order the power for the distance at which the \
                         lens is worn, as the prescriber wants it",
                        EXAMPLE,
                    ),
                    false => scanner.error("the end, `prism` with its base, or `add`, each once", EXAMPLE),
                });
            }
        }
    }

    /// Takes the name of the eye, which must be the one that is read.
    fn scan_eye(&mut self, scanner: &mut Scanner<'_>) -> Result<bool, TextError> {
        let mut before = scanner.clone();
        let named = if scanner.word(&["right", "od", "re", "r"]) {
            Eye::Right
        } else if scanner.word(&["left", "os", "le", "l"]) {
            Eye::Left
        } else {
            return Ok(false);
        };
        match self.of.replace(named) {
            Some(Eye::Right) if named == Eye::Left => {
                Err(before.error("the right eye, for which this is given, not the left", EXAMPLE))
            }
            Some(Eye::Left) if named == Eye::Right => {
                Err(before.error("the left eye, for which this is given, not the right", EXAMPLE))
            }
            _ => {
                scanner.marks();
                Ok(true)
            }
        }
    }

    /// What is wanted of the eye, before its power.
    fn scan_wanted(&mut self, scanner: &mut Scanner<'_>) -> Result<Wanted, TextError> {
        let balance = scanner.word(&["balance", "bal"]);
        if !balance && !scanner.word(&["none", "old"]) {
            return Ok(Wanted::Lens);
        }
        scanner.marks();
        scanner.word(&["old"]);
        self.scan_eye(scanner)?;
        let known = !scanner.at_end();
        Ok(if balance { Wanted::Balance { known } } else { Wanted::Nothing { known } })
    }

    /// An addition, its word before or behind it; before it the plus may be left out.
    fn scan_add(&mut self, scanner: &mut Scanner<'_>) -> Result<bool, TextError> {
        let mut before = scanner.clone();
        let named = scanner.word(&ADD);
        scanner.word(&[":"]);
        let number = scanner.decimal(EXAMPLE)?;
        if !(named || number.is_some_and(|number| number.signed) && scanner.word(&ADD)) {
            *scanner = before;
            return Ok(false);
        }
        self.add = number
            .and_then(|number| Power::of(number, self.notation).ok())
            .filter(|add| (1..=10_000).contains(&add.milli()));
        match self.add {
            Some(_) => Ok(true),
            None => {
                before.word(&ADD);
                Err(before.error("an addition above zero, at most 10 D", EXAMPLE))
            }
        }
    }

    /// Prism: by its parts, or by the angle of its base. Without its word its unit or base has to say what it is.
    fn scan_prism(&mut self, scanner: &mut Scanner<'_>) -> Result<bool, TextError> {
        let named = scanner.word(&["prism"]);
        scanner.word(&[":"]);
        if named && scanner.word(&["none"]) {
            self.prism = Some(PrismPair::NONE);
            return Ok(true);
        }
        let mut ahead = scanner.clone();
        let number = ahead.decimal(EXAMPLE)?;
        let tells = PrismPair::follows(&ahead) || ahead.clone().word(&["@"]);
        if !(named || tells && number.is_some_and(|number| !number.signed)) {
            return Ok(false);
        }
        ahead.word(&Prism::UNIT);
        let base = ahead.word(&["base"]);
        if ahead.word(&["@", "at"]) || base && ahead.clone().decimal(EXAMPLE)?.is_some() {
            let total = Prism::scan_amount(scanner, BY_ANGLE)?;
            *scanner = ahead;
            self.scan_base(scanner, total)?;
        } else {
            self.prism = Some(PrismPair::scan(scanner)?);
        }
        Ok(true)
    }

    /// The angle of a prism's base, by ISO 8429.
    fn scan_base(&mut self, scanner: &mut Scanner<'_>, total: Prism) -> Result<(), TextError> {
        let mut before = scanner.clone();
        let Some(eye) = self.of else {
            return Err(before.error("parts up and in: of no known eye does an angle say in or out", EXAMPLE));
        };
        let angle = scanner.decimal(BY_ANGLE)?.filter(|angle| !angle.signed && angle.milli <= 360_000);
        let Some(angle) = angle else {
            return Err(before.error("the angle of the base, from 0 to 360 degrees", BY_ANGLE));
        };
        scanner.word(&["°"]);
        let oblique = ObliquePrism { total, base: Some(Angle::from_milli(angle.milli)) };
        self.oblique = Some(oblique);
        self.prism = Some(oblique.split(eye));
        Ok(())
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
mod tests;
