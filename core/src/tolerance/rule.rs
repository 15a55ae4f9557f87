//! One limit of a table, and its words.

use super::{Limit, Quantity, Unit};
use crate::units::Power;
use core::fmt;

/// How far off a value may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Bound {
    /// A figure.
    Fixed(Limit),
    /// Whole percent of the ordered value.
    Percent(u8),
    /// A prism and, on top of it, the prism that a shift makes by Prentice's rule.
    Effect {
        /// Δ.
        prism: Limit,
        /// µm.
        shift: i32,
    },
}

impl Bound {
    /// A figure in thousandths of the unit.
    pub const fn milli(milli: i32) -> Self {
        Self::Fixed(Limit::from_milli(milli))
    }
}

/// One limit, with what has to be said beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Rule {
    /// How far off.
    pub bound: Bound,
    /// Where the figure was published.
    pub source: &'static str,
    /// False when the figure is from memory.
    pub confirmed: bool,
}

impl Rule {
    /// A published figure in thousandths of the unit.
    pub const fn fixed(milli: i32, source: &'static str) -> Self {
        Self { bound: Bound::milli(milli), source, confirmed: true }
    }

    /// A published percentage of the ordered value.
    pub const fn percent(percent: u8, source: &'static str) -> Self {
        Self { bound: Bound::Percent(percent), source, confirmed: true }
    }

    /// A prism in 1/1000 Δ and the effect of a shift in µm.
    pub const fn effect(prism: i32, shift: i32, source: &'static str) -> Self {
        let bound = Bound::Effect { prism: Limit::from_milli(prism), shift };
        Self { bound, source, confirmed: true }
    }

    /// The same, marked as from memory.
    #[must_use]
    pub const fn unconfirmed(self) -> Self {
        Self { confirmed: false, ..self }
    }

    /// Twice the figure.
    pub(super) const fn doubled(self) -> Self {
        let figure = self.figure();
        Self { bound: Bound::Fixed(figure.plus(figure)), ..self }
    }

    /// The limit where nothing scales it.
    pub(super) const fn figure(self) -> Limit {
        self.limit(0, Power::ZERO)
    }

    /// The limit for an ordered value in thousandths, in a meridian of this power.
    pub(super) const fn limit(&self, ordered: i32, power: Power) -> Limit {
        match self.bound {
            Bound::Fixed(limit) => limit,
            Bound::Percent(percent) => Limit::percent_of(ordered, percent),
            Bound::Effect { prism, shift } => prism.plus(Limit::shift_as_prism(shift, power)),
        }
    }
}

/// The magnitudes for which a rule is made, in thousandths: above the one, up to the other, inclusive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Range {
    pub(super) above: i32,
    pub(super) up_to: i32,
}

impl Range {
    /// No end above.
    pub(super) const OPEN: i32 = i32::MAX;
    /// All magnitudes.
    pub(super) const ALL: Self = Self { above: 0, up_to: Self::OPEN };

    fn write(self, f: &mut fmt::Formatter<'_>, of: &str, unit: Unit) -> fmt::Result {
        let (above, up_to) = (Limit::from_milli(self.above), Limit::from_milli(self.up_to));
        let symbol = unit.symbol();
        match (self.above > 0, self.up_to < Self::OPEN) {
            (false, false) => Ok(()),
            (false, true) => write!(f, "{of} to {up_to:.2} {symbol}"),
            (true, false) => write!(f, "{of} above {above:.2} {symbol}"),
            (true, true) => write!(f, "{of} above {above:.2} to {up_to:.2} {symbol}"),
        }
    }
}

/// A rule as it was applied. Shown in words that are made from its figures, so that the two never differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct RuleWords {
    pub(super) quantity: Quantity,
    /// Range of the value that the rule's own table steps by.
    pub(super) own: Range,
    /// Range of the power that chose the row.
    pub(super) power: Range,
    pub(super) bound: Bound,
}

impl fmt::Display for RuleWords {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let quantity = self.quantity;
        quantity.fmt(f)?;
        let (own, unit) = match quantity {
            Quantity::Axis => (", cylinder", Unit::Dioptre),
            Quantity::Vertical | Quantity::Horizontal => (", ordered prism", Unit::PrismDioptre),
            Quantity::Power | Quantity::PowerAcross => (", strongest meridian", Unit::Dioptre),
            _ => ("", quantity.unit()),
        };
        self.own.write(f, own, unit)?;
        let power = match quantity {
            Quantity::Cylinder => ", highest principal power",
            _ => ", power in that meridian",
        };
        self.power.write(f, power, Unit::Dioptre)?;
        match self.bound {
            Bound::Fixed(limit) if quantity.unit() == Unit::Degree => write!(f, ": {limit}°"),
            Bound::Fixed(limit) => {
                let least = if quantity.unit() == Unit::Millimetre { 1 } else { 2 };
                write!(f, ": {limit:.least$} {}", quantity.unit().symbol())
            }
            Bound::Percent(percent) => write!(f, ": {percent} %"),
            Bound::Effect { prism, shift } => {
                let shift = Limit::from_milli(shift);
                match prism == Limit::from_milli(0) {
                    true => write!(f, ": the effect of {shift:.1} mm"),
                    false => write!(f, ": {prism:.2} Δ and the effect of {shift:.1} mm"),
                }
            }
        }
    }
}

/// What a finding rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Citation {
    /// The rule; shown in words.
    pub rule: RuleWords,
    /// Where its figure was published.
    pub source: &'static str,
    /// False when the figure is from memory; to be printed beside the verdict.
    pub confirmed: bool,
}

impl Citation {
    /// Of a figure whose rule is not at hand: nothing vouches for it.
    pub(super) const fn none(quantity: Quantity, limit: Limit) -> Self {
        let (own, power) = (Range::ALL, Range::ALL);
        let rule = RuleWords { quantity, own, power, bound: Bound::Fixed(limit) };
        Self { rule, source: "", confirmed: false }
    }
}

/// A rule with the ranges that chose it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chosen {
    pub(super) rule: Rule,
    pub(super) own: Range,
    pub(super) power: Range,
}

impl From<Rule> for Chosen {
    fn from(rule: Rule) -> Self {
        Self { rule, own: Range::ALL, power: Range::ALL }
    }
}

impl Chosen {
    /// The limit for an ordered value in thousandths.
    pub(super) const fn limit(&self, ordered: i32) -> Limit {
        self.rule.limit(ordered, Power::ZERO)
    }

    pub(super) fn cite(&self, quantity: Quantity) -> Citation {
        let Self { rule: Rule { bound, source, confirmed }, own, power } = *self;
        let rule = RuleWords { quantity, own, power, bound };
        Citation { rule, source, confirmed }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn words_are_made_from_the_figures() {
        let said = |quantity, own, power, rule: Rule| {
            RuleWords { quantity, own, power, bound: rule.bound }.to_string()
        };
        let range = |above, up_to| Range { above, up_to };
        let fixed = |milli| Rule::fixed(milli, "");
        assert_eq!(
            said(Quantity::Power, range(0, 6500), Range::ALL, fixed(130)),
            "power, strongest meridian to 6.50 D: 0.13 D"
        );
        assert_eq!(
            said(Quantity::Cylinder, range(750, 4000), range(20_000, Range::OPEN), fixed(250)),
            "cylinder above 0.75 to 4.00 D, highest principal power above 20.00 D: 0.25 D"
        );
        assert_eq!(
            said(Quantity::Axis, range(0, 125), Range::ALL, fixed(7000)),
            "axis, cylinder to 0.125 D: 7°"
        );
        assert_eq!(
            said(
                Quantity::Horizontal,
                range(2000, 10_000),
                range(3370, Range::OPEN),
                Rule::effect(330, 2000, "")
            ),
            "horizontal prism of the pair, ordered prism above 2.00 to 10.00 Δ, power in that meridian above \
             3.37 D: 0.33 Δ and the effect of 2.0 mm"
        );
        assert_eq!(
            said(Quantity::Vertical, Range::ALL, Range::ALL, Rule::effect(0, 1000, "")),
            "vertical prism of the pair: the effect of 1.0 mm"
        );
        assert_eq!(said(Quantity::Pd, Range::ALL, Range::ALL, fixed(2500)), "PD: 2.5 mm");
        assert_eq!(said(Quantity::Power, Range::ALL, Range::ALL, Rule::percent(2, "")), "power: 2 %");
    }
}
