//! Prism and its base directions.

use super::milli::milli_unit;
use super::{Scanner, TextError};
use crate::bytes::coded;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

milli_unit! {
    /// Prismatic effect in 1/1000 prism dioptre (Δ, one centimetre of deviation at one metre).
    Prism, limit 100_000, "prism dioptre", signed false, decimals 2
}

impl Prism {
    pub(crate) const UNIT: [&str; 3] = ["Δ", "∆", "pd"];

    /// Takes an amount of prism, a unit behind it or not.
    ///
    /// # Errors
    /// There is no number, it has a sign, or it is beyond 100 Δ.
    pub(crate) fn scan_amount(scanner: &mut Scanner<'_>, example: &'static str) -> Result<Self, TextError> {
        let mut before = scanner.clone();
        match scanner.decimal(example)? {
            Some(number) if !number.signed && number.milli <= Self::LIMIT => {
                scanner.word(&Self::UNIT);
                Ok(Self::from_milli(number.milli))
            }
            _ => Err(before.error("an amount of prism without a sign, below 100", example)),
        }
    }
}

coded! {
    /// Prism of one eye as a prescription writes it: a horizontal part toward or from the nose and a vertical one.
    ///
    /// Shown and read as `1.50 up 2.00 in`; the letters of the trade (`BU BD BI BO`) and `base up` are read too.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct PrismPair {
        /// Base in; negative is base out.
        pub base_in: Prism,
        /// Base up; negative is base down.
        pub base_up: Prism,
    }
}

impl PrismPair {
    const EXAMPLE: &str = "1.5 up 2 in";

    /// No prism.
    pub const NONE: Self = Self { base_in: Prism::ZERO, base_up: Prism::ZERO };

    /// Whether both parts are zero.
    pub const fn is_none(self) -> bool {
        self.base_in.is_zero() && self.base_up.is_zero()
    }

    /// Takes one or two parts, each an amount and a base direction.
    ///
    /// # Errors
    /// There is no amount, it has a sign, its direction is missing, or a direction comes twice.
    pub fn scan(scanner: &mut Scanner<'_>) -> Result<Self, TextError> {
        let mut parts: [Option<Prism>; 2] = [None; 2];
        loop {
            let mut ahead = scanner.clone();
            let further = ahead.decimal(Self::EXAMPLE)?;
            // A sign is that of an addition behind the prism.
            if further.is_none() || parts != [None; 2] && further.is_some_and(|number| number.signed) {
                break;
            }
            let amount = Prism::scan_amount(scanner, Self::EXAMPLE)?;
            let mut at_base = scanner.clone();
            let (slot, signed) = match Self::base(scanner) {
                Some((slot, sign)) => (slot, Prism::from_milli(sign * amount.milli())),
                None if amount.is_zero() => (0, amount),
                None => {
                    return Err(at_base.error("the base direction: up, down, in or out", Self::EXAMPLE));
                }
            };
            if parts[slot].replace(signed).is_some() {
                return Err(at_base.error("one horizontal and one vertical part at most", Self::EXAMPLE));
            }
            scanner.marks();
            scanner.word(&["&", "and"]);
        }
        if parts == [None; 2] {
            return Err(scanner.error("an amount of prism", Self::EXAMPLE));
        }
        let [base_in, base_up] = parts.map(Option::unwrap_or_default);
        Ok(Self { base_in, base_up })
    }

    /// Whether, behind a number, comes what makes that number an amount of prism: its unit or its base.
    pub(crate) fn follows(scanner: &Scanner<'_>) -> bool {
        let mut ahead = scanner.clone();
        ahead.word(&Prism::UNIT) || ahead.word(&["base"]) || Self::base(&mut ahead).is_some()
    }

    /// Takes a direction: 0 for the horizontal part and 1 for the vertical one, with its sign.
    fn base(scanner: &mut Scanner<'_>) -> Option<(usize, i32)> {
        const BASES: [(&[&str], usize, i32); 4] = [
            (&["in", "bi"], 0, 1),
            (&["out", "bo"], 0, -1),
            (&["up", "bu"], 1, 1),
            (&["down", "dn", "bd"], 1, -1),
        ];
        scanner.word(&["base"]);
        let found = BASES.iter().find(|(words, ..)| scanner.word(words));
        found.map(|(_, part, sign)| (*part, *sign))
    }

    /// Reads a prism and nothing else.
    ///
    /// # Errors
    /// As [`PrismPair::scan`], and when something is left over.
    pub fn parse(text: &str) -> Result<Self, TextError> {
        Scanner::whole(text, Self::EXAMPLE, Self::scan)
    }
}

impl core::ops::Add for PrismPair {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { base_in: self.base_in + other.base_in, base_up: self.base_up + other.base_up }
    }
}

impl core::ops::Sub for PrismPair {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { base_in: self.base_in - other.base_in, base_up: self.base_up - other.base_up }
    }
}

impl fmt::Display for PrismPair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (h, v) = (self.base_in, self.base_up);
        let up = if v.milli() < 0 { "down" } else { "up" };
        let inward = if h.milli() < 0 { "out" } else { "in" };
        match (v.is_zero(), h.is_zero()) {
            (true, true) => f.write_str("none"),
            (false, true) => write!(f, "{} {up}", v.abs()),
            (true, false) => write!(f, "{} {inward}", h.abs()),
            (false, false) => write!(f, "{} {up} {} {inward}", v.abs(), h.abs()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    fn pair(base_in: i32, base_up: i32) -> PrismPair {
        PrismPair { base_in: Prism::from_milli(base_in), base_up: Prism::from_milli(base_up) }
    }

    #[test]
    fn reads_the_ways_the_trade_writes_it() {
        for text in ["1.5 up 2 in", "1.5up 2in", "2Δ BI 1.5Δ BU", "1.5 base up 2 base in", "2 in, 1.5 up"] {
            assert_eq!(PrismPair::parse(text), Ok(pair(2000, 1500)), "{text}");
        }
        assert_eq!(PrismPair::parse("0.75 down"), Ok(pair(0, -750)));
        assert_eq!(PrismPair::parse("3 out"), Ok(pair(-3000, 0)));
    }

    #[test]
    fn a_base_must_be_named_once() {
        assert_eq!(PrismPair::parse("1.5").unwrap_err().expected, "the base direction: up, down, in or out");
        assert_eq!(PrismPair::parse("1 up 2 down").unwrap_err().start, 7);
        assert!(PrismPair::parse("-1 up").is_err());
        assert!(PrismPair::parse("").is_err());
    }

    #[test]
    fn what_is_shown_reads_back() {
        for prism in [pair(2000, 1500), pair(-750, 0), pair(0, -125), pair(-1, 1)] {
            assert_eq!(PrismPair::parse(&prism.to_string()), Ok(prism));
        }
    }
}
