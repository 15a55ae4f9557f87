//! One judged quantity.

use super::{Basis, Citation, Limit, Quantity, Subject, Unit};

/// One quantity compared with its limit. Values are thousandths of the quantity's unit.
///
/// A judgement's findings cite their rule; those of limits that travelled cite nothing (`Finding<()>`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Finding<C = Citation> {
    /// Whose quantity it is.
    pub subject: Subject,
    /// What was judged.
    pub quantity: Quantity,
    /// What was ordered.
    pub ordered: i32,
    /// What was read.
    pub measured: i32,
    /// Measured less ordered; for an axis the least turn.
    pub deviation: i32,
    /// What the deviation may be, of either sign, inclusive. Where two readings of a rule differ, the larger.
    pub limit: Limit,
    /// Where two readings of a rule differ, the smaller limit.
    pub stricter: Option<Limit>,
    /// How measured value and limit came to be comparable.
    pub basis: Basis,
    /// The rule, and where its figure was published.
    pub cited: C,
}

/// How near a deviation is to its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Holding {
    /// Within the limit.
    Within,
    /// Within by one reading of the rule and out by another: the verdict does not turn on it.
    AtLimit,
    /// Beyond the limit.
    Out,
}

impl Finding<()> {
    /// `values` are ordered and measured; the deviation is their difference. Judged as read.
    pub(super) const fn new(subject: Subject, quantity: Quantity, values: [i32; 2], limit: Limit) -> Self {
        let [ordered, measured] = values;
        let deviation = measured - ordered;
        let (stricter, basis) = (None, Basis::AsRead);
        Self { subject, quantity, ordered, measured, deviation, limit, stricter, basis, cited: () }
    }

    /// The same with its rule.
    pub(super) fn cited(self, cited: Citation) -> Finding {
        let Self { subject, quantity, ordered, measured, deviation, limit, stricter, basis, cited: () } =
            self;
        Finding { subject, quantity, ordered, measured, deviation, limit, stricter, basis, cited }
    }
}

impl<C> Finding<C> {
    /// Whether the deviation is within the limit; equal to it is within. What is at the limit is within.
    pub const fn is_within(&self) -> bool {
        self.limit.holds(self.deviation)
    }

    /// Within, out, or within by only one of two readings of the rule.
    pub fn holding(&self) -> Holding {
        if !self.is_within() {
            Holding::Out
        } else if self.stricter.is_some_and(|limit| !limit.holds(self.deviation)) {
            Holding::AtLimit
        } else {
            Holding::Within
        }
    }

    /// What is left of the limit; negative when out.
    pub const fn margin(&self) -> Limit {
        self.limit.margin(self.deviation)
    }

    /// The unit of its values.
    pub const fn unit(&self) -> Unit {
        self.quantity.unit()
    }
}
