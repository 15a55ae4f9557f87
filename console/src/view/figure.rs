//! A figure as it is shown: it knows its unit and its decimals, and is formatted here alone.
//!
//! In JSON it is a number in its unit, exact. As text `{}` is the number and `{:#}` the number with its unit, rounded
//! half away from zero to its decimals, or away from zero where it must not understate. The minus is that of a keyboard.

use bevelbook_core::tolerance::{Limit, Unit};
use bevelbook_core::units::{Angle, Length, Power, Prism};
use serde::{Serialize, Serializer};
use std::fmt;

/// A number with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Figure {
    /// In 1/100 of a thousandth, which is how exact a limit is.
    value: i64,
    unit: &'static str,
    /// How many decimals it has at least, and at most.
    decimals: (usize, usize),
    plus: bool,
    up: bool,
}

impl Figure {
    /// Thousandths of a unit, as the trade writes it: a power with its sign and a prism have two decimals or three, a
    /// length and an angle are as short as they are exact.
    #[must_use]
    pub const fn of(milli: i64, unit: Unit) -> Self {
        let least = if matches!(unit, Unit::Dioptre | Unit::PrismDioptre) { 2 } else { 0 };
        let plus = matches!(unit, Unit::Dioptre);
        Self { value: milli * 100, unit: unit.symbol(), decimals: (least, 3), plus, up: false }
    }

    /// Hundred-thousandths of what the trade has no form for.
    const fn bare(value: i64, unit: &'static str) -> Self {
        Self { value, unit, decimals: (0, 3), plus: false, up: false }
    }

    /// A direction: shown in whole degrees of a turn.
    #[must_use]
    pub fn direction(angle: Angle) -> Self {
        Self::from(angle).to(0, 0)
    }

    /// A mass: shown with one decimal.
    #[must_use]
    pub const fn grams(milligrams: i64) -> Self {
        Self::bare(milligrams * 100, "g").to(1, 1)
    }

    /// A time: shown with a decimal at most, and not understated.
    #[must_use]
    pub const fn seconds(ms: u32) -> Self {
        Self::bare(ms as i64 * 100, "s").to(0, 1).up()
    }

    /// A time in milliseconds: shown in minutes, with one decimal.
    #[must_use]
    pub const fn minutes(milliseconds: i64) -> Self {
        // A millisecond is 5/3 of a hundred-thousandth of a minute.
        Self::bare((milliseconds.saturating_mul(10) + 3) / 6, "min").to(1, 1)
    }

    /// An estimate in millimetres: shown with two decimals.
    #[must_use]
    pub fn about(millimetres: f64) -> Self {
        Self::of((millimetres * 1000.0).round() as i64, Unit::Millimetre).to(2, 2)
    }

    /// An estimate of a count: shown with a decimal.
    #[must_use]
    pub fn estimate(number: f64) -> Self {
        Self::bare((number * 1e5).round() as i64, "").to(1, 1)
    }

    /// How many there are to each of `of`: shown with two decimals. None of none.
    #[must_use]
    pub fn mean(sum: u64, of: u64) -> Option<Self> {
        let value = (u128::from(sum) * 200_000 + u128::from(of)) / (2 * u128::from(of)).max(1);
        (of > 0).then(|| Self::bare(i64::try_from(value).unwrap_or(i64::MAX), "").to(2, 2))
    }

    /// A share of `of`, in whole per cent. None of none.
    #[must_use]
    pub fn percent(part: u64, of: u64) -> Option<Self> {
        Self::mean(part.saturating_mul(100), of).map(|mean| Self { unit: "%", ..mean.to(0, 0) })
    }

    /// Tenths of what is counted: shown with one decimal.
    #[must_use]
    pub const fn tenths(tenths: u64) -> Self {
        Self::bare(tenths as i64 * 10_000, "").to(1, 1)
    }

    /// A small share, in per cent with two decimals at most.
    #[must_use]
    pub fn share(share: f64) -> Self {
        Self::bare((share * 1e7).round() as i64, "%").to(0, 2)
    }

    /// A count.
    #[must_use]
    pub fn count(many: u64) -> Self {
        Self::bare(i64::try_from(many).unwrap_or(i64::MAX).saturating_mul(100_000), "").to(0, 0)
    }

    /// As a number in its unit, for what is drawn.
    #[must_use]
    pub fn number(self) -> f64 {
        self.value as f64 / 1e5
    }

    /// A limit: never rounded, and without a plus.
    #[must_use]
    pub const fn limit(limit: Limit, unit: Unit) -> Self {
        let none = Self { plus: false, ..Self::of(0, unit) };
        Self { value: limit.hundredths_of_milli() as i64, ..none.to(none.decimals.0, 5) }
    }

    /// With at least and at most so many decimals.
    #[must_use]
    pub const fn to(self, least: usize, most: usize) -> Self {
        Self { decimals: (least, most), ..self }
    }

    /// With a plus where it is above zero.
    #[must_use]
    pub const fn signed(self) -> Self {
        Self { plus: true, ..self }
    }

    /// Rounded away from zero: what is needed at least is never understated.
    #[must_use]
    pub const fn up(self) -> Self {
        Self { up: true, ..self }
    }

    /// Without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self { value: self.value.abs(), plus: false, ..self }
    }

    /// Whether it is above zero, nothing, or below zero, exactly: 1, 0, −1.
    #[must_use]
    pub const fn signum(self) -> i64 {
        self.value.signum()
    }

    /// How many times `whole` it is; none of nothing.
    #[must_use]
    pub fn share_of(self, whole: Self) -> Option<f64> {
        (whole.value != 0).then(|| self.value as f64 / whole.value as f64)
    }

    /// Which way it goes, in words: `2.5 in`.
    #[must_use]
    pub fn way(self, plus: &str, minus: &str) -> String {
        format!("{} {}", self.abs(), if self.value < 0 { minus } else { plus })
    }

    /// Toward the nose or away from it.
    #[must_use]
    pub fn inward(self) -> String {
        self.way("in", "out")
    }

    /// Up or down.
    #[must_use]
    pub fn upward(self) -> String {
        self.way("up", "down")
    }
}

macro_rules! as_figures {
    ($($quantity:ident in $unit:ident),+) => {
        $(impl From<$quantity> for Figure {
            fn from(quantity: $quantity) -> Self {
                Self::of(quantity.milli().into(), Unit::$unit)
            }
        })+
    };
}

as_figures!(Power in Dioptre, Prism in PrismDioptre, Length in Millimetre, Angle in Degree);

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (least, mut decimals) = self.decimals;
        let step = 10_i64.pow(5 - decimals as u32);
        let mut shown = (self.value.abs() + if self.up { step - 1 } else { step / 2 }) / step;
        if (self.unit, decimals) == (Unit::Degree.symbol(), 0) {
            shown %= 360;
        }
        while decimals > least && shown % 10 == 0 {
            (shown, decimals) = (shown / 10, decimals - 1);
        }
        let sign = match self.value.signum() {
            _ if shown == 0 => "",
            -1 => "-",
            _ if self.plus => "+",
            _ => "",
        };
        let one = 10_i64.pow(decimals as u32);
        let mut text = format!("{sign}{}", shown / one);
        if decimals > 0 {
            text += &format!(".{:0decimals$}", shown % one);
        }
        if f.alternate() {
            let space = if self.unit == Unit::Degree.symbol() { "" } else { " " };
            text += &format!("{space}{}", self.unit);
        }
        f.pad(&text)
    }
}

impl Serialize for Figure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.number())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(milli: i32) -> Figure {
        Length::from_milli(milli).into()
    }

    #[test]
    fn a_figure_is_exact_for_programs_however_it_is_shown() {
        let figure = mm(62_403).to(1, 1).up();
        assert_eq!(
            (figure.to_string(), serde_json::to_value(figure).unwrap()),
            ("62.5".into(), 62.403.into())
        );
        // 2 % of 6.51 D is 0.1302 D.
        let limit = Figure::limit(Limit::percent_of(-6510, 2), Unit::Dioptre);
        assert_eq!(
            (format!("{limit:#}"), serde_json::to_value(limit).unwrap()),
            ("0.1302 D".into(), 0.1302.into())
        );
    }

    #[test]
    fn figures_are_written_as_the_trade_writes_them() {
        let power = |milli| Figure::from(Power::from_milli(milli));
        assert_eq!([-1250, 125, 0].map(|milli| power(milli).to_string()), ["-1.25", "+0.125", "0.00"]);
        assert_eq!([-125, -4].map(|milli| power(milli).to(2, 2).to_string()), ["-0.13", "0.00"]);
        assert_eq!([62_000, -350].map(|milli| mm(milli).to_string()), ["62", "-0.35"]);
        assert_eq!([62_400, 62_499].map(|milli| mm(milli).to(1, 1).up().to_string()), ["62.4", "62.5"]);
        assert_eq!(
            [2750, -500, 4].map(|milli| mm(milli).to(1, 2).way("in", "out")),
            ["2.75 in", "0.5 out", "0.0 in"]
        );
        assert_eq!(format!("{:#} {:>5}|", Figure::of(-3000, Unit::Degree), mm(500).signed()), "-3°  +0.5|");
        assert_eq!(
            [359_600, 180_400].map(|milli| Figure::direction(Angle::from_milli(milli)).to_string()),
            ["0", "180"]
        );
        assert_eq!(format!("{:#}", Figure::grams(5543)), "5.5 g");
    }
}
