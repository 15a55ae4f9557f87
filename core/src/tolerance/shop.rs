//! A table of the shop's own, or of a local rule: bounded, owned, and judged by the same judge.
//!
//! What it leaves out is not covered. Its rules cite [`ShopTable::SOURCE`]; what that table is taken from, its owner
//! says beside it.

use super::design::Design;
use super::limit::Limit;
use super::rule::{Bound, Confirmed, Range, Rule, Steps};
use super::table::{Above, Centring, CentringRow, Cylinders, Made, Meridian, PdRule, Reference, Rows, Table};
use crate::units::Power;
use heapless::{String, Vec};

/// Why a step cannot be added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum StepError {
    /// Its end does not lie above that of the step before it; thousandths.
    #[error("the step to {} must end above {}", Limit::from_milli(*.end), Limit::from_milli(*.before))]
    NotRising {
        /// The end of the step before.
        before: i32,
        /// The end of this one.
        end: i32,
    },
    /// There is no room for another.
    #[error("there is room for {most} steps")]
    Full {
        /// How many there may be.
        most: usize,
    },
}

/// Rules by magnitude.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopSteps {
    up_to: Vec<(i32, Rule), { Self::MOST }>,
    above: Option<Rule>,
}

impl ShopSteps {
    /// Most steps below the last, open one.
    pub const MOST: usize = 8;

    /// Adds the rule up to a magnitude in thousandths, inclusive.
    ///
    /// # Errors
    /// The magnitude is not above that of the step before (the first: not above zero), or there is no room.
    pub fn push(&mut self, end: i32, rule: Rule) -> Result<(), StepError> {
        let before = self.up_to.last().map_or(0, |(end, _)| *end);
        if end <= before {
            return Err(StepError::NotRising { before, end });
        }
        self.up_to.push((end, rule)).map_err(|_| StepError::Full { most: Self::MOST })
    }

    /// Sets the rule above the last step.
    pub fn set_above(&mut self, rule: Rule) {
        self.above = Some(rule);
    }

    fn steps(&self) -> Steps<'_> {
        Steps { up_to: &self.up_to, above: self.above }
    }
}

/// Centring in one direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShopCentring {
    row: [(i32, CentringRow); 1],
    each: Option<Rule>,
}

impl ShopCentring {
    /// `prism` of the pair up to a power of the lens that is stronger in that meridian, inclusive, and what holds
    /// above it; without a switch for every power. `each` limits the prism of each eye besides.
    #[must_use]
    pub fn new(prism: Rule, each: Option<Rule>, switch: Option<(Power, Above)>) -> Self {
        let row = match switch {
            None => CentringRow::always(prism),
            Some((power, above)) => {
                CentringRow { switch: power.milli(), above, ..CentringRow::always(prism) }
            }
        };
        Self { row: [(Range::OPEN, row)], each }
    }

    fn centring(&self) -> Centring<'_> {
        Centring { rows: &self.row, each: self.each }
    }
}

/// What may differ between progressives and other lenses.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopRows {
    /// By the power that decides, 1/1000 D.
    pub power: ShopSteps,
    /// By the cylinder, 1/1000 D.
    pub cylinder: ShopSteps,
    /// Vertical prism of the pair.
    pub vertical: Option<ShopCentring>,
    /// Horizontal prism of the pair.
    pub horizontal: Option<ShopCentring>,
    /// The PD, whatever the power.
    pub pd: Option<PdRule>,
    /// Height of a segment or fitting cross, µm.
    pub height: Option<Rule>,
    /// Heights against each other, µm.
    pub height_pair: Option<Rule>,
}

impl ShopRows {
    fn rows(&self) -> Rows<'_> {
        Rows {
            power: self.power.steps(),
            cylinder: Cylinders::Alone(self.cylinder.steps()),
            vertical: self.vertical.as_ref().map(ShopCentring::centring),
            horizontal: self.horizontal.as_ref().map(ShopCentring::centring),
            pd: self.pd,
            height: self.height,
            height_pair: self.height_pair,
        }
    }
}

/// A table that owns its rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopTable {
    /// What it is called.
    pub name: String<{ Self::NAME }>,
    /// Of the shop's counting; it is kept with a sign-off.
    pub version: u16,
    /// Which principal power is judged.
    pub meridian: Meridian,
    /// For single vision, multifocal and progressive: its rows, or that the design is not covered.
    pub rows: [Option<ShopRows>; 3],
    /// Cylinder in 1/1000 D below which any axis will do.
    pub axis_from: i32,
    /// By cylinder, 1/1000°.
    pub axis: ShopSteps,
    /// By addition, 1/1000 D.
    pub add: ShopSteps,
    /// The reference point of an uncut lens.
    pub reference: Option<Reference>,
    /// Beside the optics.
    pub made: Made,
}

impl ShopTable {
    /// Most bytes of a name.
    pub const NAME: usize = 64;
    /// What every rule of it cites.
    pub const SOURCE: &'static str = "the shop's own table";

    /// A table of this name that covers nothing yet; `None` when the name is longer than [`ShopTable::NAME`] bytes.
    #[must_use]
    pub fn named(name: &str, version: u16) -> Option<Self> {
        Some(Self {
            name: String::try_from(name).ok()?,
            version,
            meridian: Meridian::Sphere,
            rows: [const { None }; 3],
            axis_from: 1,
            axis: ShopSteps::default(),
            add: ShopSteps::default(),
            reference: None,
            made: Made::default(),
        })
    }

    /// A rule of such a table.
    #[must_use]
    pub const fn rule(bound: Bound, confirmed: bool) -> Rule {
        let confirmed = if confirmed { Confirmed::Always } else { Confirmed::Never };
        Rule { bound, source: Self::SOURCE, confirmed }
    }

    /// Gives `rows` to a design.
    pub fn cover(&mut self, design: Design, rows: ShopRows) {
        self.rows[design as usize] = Some(rows);
    }

    /// The table to judge by.
    #[must_use]
    pub fn table(&self) -> Table<'_> {
        let rows = |design: Design| self.rows[design as usize].as_ref().map_or(Rows::NONE, ShopRows::rows);
        Table {
            name: &self.name,
            edition: "",
            version: self.version,
            meridian: self.meridian,
            meridian_is_open: false,
            single_vision: rows(Design::SingleVision),
            multifocal: rows(Design::Multifocal),
            progressive: rows(Design::Progressive),
            axis_from: self.axis_from,
            axis: self.axis.steps(),
            axis_uncut: true,
            add: self.add.steps(),
            reference: self.reference,
            made: self.made,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prescription::{Eye, EyeOrder, SphereCylinder};
    use crate::tolerance::{EyeReading, Uncovered, Verdict, judge_mounted_eye};
    use crate::units::Notation;

    fn fixed(milli: i32) -> Rule {
        ShopTable::rule(Bound::milli(milli), true)
    }

    fn tight() -> ShopTable {
        let mut table = ShopTable::named("tight", 3).unwrap();
        let mut rows = ShopRows::default();
        rows.power.push(6000, fixed(60)).unwrap();
        rows.power.set_above(ShopTable::rule(Bound::Percent(1), true));
        table.cover(Design::SingleVision, rows);
        table
    }

    fn judged(table: &ShopTable, design: Design, ordered: &str, read: &str) -> (Verdict, usize) {
        let read = EyeReading::of_power(SphereCylinder::parse(read, Notation::Reading).unwrap());
        let order = EyeOrder::parse(ordered).unwrap();
        let found = judge_mounted_eye(&table.table(), design, Eye::Right, &order, &read);
        (found.verdict(), found.not_covered().len())
    }

    #[test]
    fn the_same_judge_runs_on_a_table_of_the_shop() {
        let table = tight();
        // The cylinder and its axis are not in it: that is said, and neither passes nor fails.
        assert_eq!(judged(&table, Design::SingleVision, "-6.00", "-6.06 DS"), (Verdict::Within, 1));
        assert_eq!(judged(&table, Design::SingleVision, "-6.00", "-6.061 DS"), (Verdict::Out, 1));
        assert_eq!(judged(&table, Design::SingleVision, "-7.00", "-7.07 DS"), (Verdict::Within, 1));
        assert_eq!(judged(&table, Design::SingleVision, "-7.00", "-7.071 DS"), (Verdict::Out, 1));
        assert_eq!(judged(&table, Design::SingleVision, "-6.00 -1.00 x 10", "-6.00 -1.00 x 40").1, 2);
        assert_eq!(table.table().name(), "tight");
    }

    #[test]
    fn a_design_that_is_not_covered_is_not_judged() {
        assert_eq!(judged(&tight(), Design::Progressive, "-6.00", "-6.00 DS"), (Verdict::NotJudged, 2));
        let mut table = tight();
        table.rows = [const { None }; 3];
        let order = EyeOrder::parse("-6.00 add 2").unwrap();
        let read = EyeReading::of_power(order.power);
        let found = judge_mounted_eye(&table.table(), Design::Multifocal, Eye::Left, &order, &read);
        let left: std::vec::Vec<Uncovered> = found.not_covered().iter().map(|left| left.what).collect();
        assert_eq!(left, [Uncovered::Power, Uncovered::Cylinder, Uncovered::Add]);
    }

    #[test]
    fn steps_have_to_rise_and_are_counted() {
        let mut steps = ShopSteps::default();
        assert_eq!(steps.push(0, fixed(1)), Err(StepError::NotRising { before: 0, end: 0 }));
        for step in 1..=ShopSteps::MOST as i32 {
            steps.push(step * 1000, fixed(1)).unwrap();
        }
        assert_eq!(steps.push(8000, fixed(1)), Err(StepError::NotRising { before: 8000, end: 8000 }));
        assert_eq!(steps.push(9000, fixed(1)), Err(StepError::Full { most: 8 }));
        assert_eq!(ShopTable::named(&"x".repeat(65), 1), None);
    }
}
