//! The shape of a tolerance table: steps of magnitude, and for each what may be off.
//!
//! Another edition, another standard or a shop's own stricter limits are further tables of this shape.

use super::{Design, Limit};

/// One limit of a standard, with what has to be said beside it.
#[derive(Debug)]
pub(super) struct Rule {
    pub(super) bound: Bound,
    /// The rule in words, naming the step it belongs to.
    pub(super) words: &'static str,
    /// Where the figure was published.
    pub(super) source: &'static str,
    /// False while the figure is from memory.
    pub(super) confirmed: bool,
}

/// How far off a value may be.
#[derive(Clone, Copy, Debug)]
pub(super) enum Bound {
    /// Thousandths of the unit.
    Fixed(i32),
    /// Percent of the ordered value.
    Percent(u8),
}

impl Rule {
    pub(super) const fn fixed(milli: i32, words: &'static str, source: &'static str) -> Self {
        Self { bound: Bound::Fixed(milli), words, source, confirmed: true }
    }

    pub(super) const fn percent(percent: u8, words: &'static str, source: &'static str) -> Self {
        Self { bound: Bound::Percent(percent), words, source, confirmed: true }
    }

    /// The same, marked as from memory.
    pub(super) const fn unconfirmed(self) -> Self {
        Self { confirmed: false, ..self }
    }

    /// The limit for an ordered value in thousandths.
    pub(super) const fn limit(&self, ordered: i32) -> Limit {
        match self.bound {
            Bound::Fixed(milli) => Limit::from_milli(milli),
            Bound::Percent(percent) => Limit::percent_of(ordered, percent),
        }
    }
}

/// Rules that change with the magnitude of the ordered value.
#[derive(Debug)]
pub(super) struct Steps {
    /// Upper end of each step in thousandths, inclusive and rising, with its rule.
    pub(super) up_to: &'static [(i32, Rule)],
    /// The rule above the last step.
    pub(super) above: Rule,
}

impl Steps {
    /// The rule for an ordered value in thousandths, of either sign.
    pub(super) fn rule(&self, ordered: i32) -> &Rule {
        let magnitude = ordered.unsigned_abs();
        let step = self.up_to.iter().find(|(end, _)| magnitude <= end.unsigned_abs());
        step.map_or(&self.above, |(_, rule)| rule)
    }
}

/// Centring in one direction: a prism up to a power, a shift above it.
#[derive(Debug)]
pub(super) struct Centring {
    /// The power of the lens that is stronger in that meridian, in 1/1000 D, up to which the prism rule holds,
    /// inclusive.
    pub(super) switch: i32,
    /// Difference in prism between the eyes, 1/1000 Δ.
    pub(super) prism: Rule,
    /// Shift in µm.
    pub(super) shift: Rule,
    /// Whether the shift is counted for each eye from its monocular PD, or in total.
    pub(super) each_eye: bool,
}

/// What depends on the design of the lens.
#[derive(Debug)]
pub(super) struct Rows {
    pub(super) power: Steps,
    pub(super) cylinder: Steps,
    pub(super) vertical: Centring,
    pub(super) horizontal: Centring,
    /// Height of the segment, or of the fitting cross, of one eye.
    pub(super) height: Rule,
    /// Deviation of one height against the other's.
    pub(super) height_pair: Rule,
}

/// One edition of one standard.
#[derive(Debug)]
pub(super) struct Table {
    pub(super) name: &'static str,
    pub(super) edition: &'static str,
    pub(super) version: u16,
    /// Single vision and multifocal.
    pub(super) fixed_power: &'static Rows,
    pub(super) progressive: &'static Rows,
    /// Cylinder in 1/1000 D below which the axis has no limit.
    pub(super) axis_from: i32,
    /// By cylinder.
    pub(super) axis: Steps,
    /// By addition.
    pub(super) add: Steps,
    /// Prism at the reference point of an uncut lens, in any direction.
    pub(super) reference_prism: Rule,
    /// Place of the reference point: a lens that holds this or the prism passes.
    pub(super) reference_shift: Rule,
}

impl Table {
    pub(super) const fn rows(&self, design: Design) -> &'static Rows {
        match design {
            Design::SingleVision | Design::Multifocal => self.fixed_power,
            Design::Progressive => self.progressive,
        }
    }

    /// The rule for the axis of an ordered cylinder in 1/1000 D, of either sign; `None` when any axis will do.
    pub(super) fn axis_rule(&self, cylinder: i32) -> Option<&Rule> {
        (cylinder.unsigned_abs() >= self.axis_from.unsigned_abs()).then(|| self.axis.rule(cylinder))
    }
}
