//! The shape of a tolerance table: steps of magnitude, and for each what may be off.
//!
//! A [`Table`] is data that lasts as long as the program: the published editions are part of it, a shop's own is read
//! once. Where a table has no figure the judge says "not covered" and passes nothing. A percentage is of the ordered
//! power, cylinder or addition; elsewhere it has no meaning and allows nothing.

use super::rule::{Chosen, Range};
use super::{Citation, Design, Made, Places, Rule};
use core::fmt;

/// One edition of one standard, or a shop's own table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Table {
    /// The name without the edition.
    pub name: &'static str,
    /// With what stands between the two: `-2015`, `:2017`; empty for a shop's table.
    pub edition: &'static str,
    /// Rises whenever a figure is corrected.
    pub version: u16,
    /// Which principal power is judged, and by which the row is chosen.
    pub meridian: Meridian,
    /// Whether public text leaves that open: a lens for which it matters has an unconfirmed limit.
    pub meridian_is_open: bool,
    /// For single vision.
    pub single_vision: Rows,
    /// For multifocals.
    pub multifocal: Rows,
    /// For progressives.
    pub progressive: Rows,
    /// Cylinder in 1/1000 D below which the axis has no limit.
    pub axis_from: i32,
    /// By cylinder, 1/1000°.
    pub axis: Steps,
    /// Whether the axis table also covers uncut lenses.
    pub axis_uncut: bool,
    /// By addition, 1/1000 D.
    pub add: Steps,
    /// The reference point of an uncut lens.
    pub reference: Option<Reference>,
    /// Beside the optics.
    pub made: Made,
    /// What the shop asks for besides.
    pub places: Places,
    /// Where nothing was seen of the edition itself: what is said of it. Every figure of it is unconfirmed.
    pub hearsay: Option<&'static str>,
}

/// What depends on the design of the lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rows {
    /// By the power that decides, see [`Meridian`]; 1/1000 D.
    pub power: Steps,
    /// By the power that decides, inclusive and rising, the last row ending at [`Table::OPEN`]; in each by the cylinder,
    /// 1/1000 D.
    pub cylinder: &'static [(i32, Steps)],
    /// Vertical prism of the pair.
    pub vertical: Option<Centring>,
    /// Horizontal prism of the pair.
    pub horizontal: Option<Centring>,
    /// The PD, whatever the power.
    pub pd: Option<PdRule>,
    /// Height of the segment, or of the fitting cross, of one eye, µm.
    pub height: Option<Rule>,
    /// Deviation of one height against the other's, µm.
    pub height_pair: Option<Rule>,
}

/// Which principal power is judged, and by which the row of the table is chosen. Powers are those of the
/// minus-cylinder form: the sphere lies along the axis, sphere + cylinder across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(rename_all = "kebab-case")]
pub enum Meridian {
    /// The sphere meridian.
    Sphere,
    /// The one of the highest absolute power; the sphere meridian when both are alike.
    Strongest,
    /// Both are judged, each by the row of the highest absolute power.
    Each,
}

/// Rules that change with the magnitude of a value. Where there is none, nothing is covered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Steps {
    /// Upper end of each step in thousandths, inclusive and rising, with its rule.
    pub up_to: &'static [(i32, Rule)],
    /// The rule above the last step.
    pub above: Option<Rule>,
}

/// Prism between the eyes in one direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Centring {
    /// By the larger ordered prism of the two eyes in that direction, 1/1000 Δ, inclusive and rising; the last
    /// ends at [`Table::OPEN`].
    pub rows: &'static [(i32, CentringRow)],
    /// Prism of one eye, 1/1000 Δ.
    pub each: Option<Rule>,
}

/// By the ordered power of the lens that is stronger in that meridian.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CentringRow {
    /// Difference in prism between the eyes, 1/1000 Δ.
    pub prism: Rule,
    /// The power in 1/1000 D up to which it holds, inclusive.
    pub switch: i32,
    /// Where another reading of the standard switches already; between the two nothing turns a verdict.
    pub switch_or: Option<i32>,
    /// What holds above the switch.
    pub above: Above,
}

/// What holds above the power of a switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Above {
    /// The same prism: there is no switch.
    Same,
    /// A prism that grows with the power.
    Effect(Rule),
    /// The PD; horizontally only.
    Pd(PdRule),
}

/// The PD.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PdRule {
    /// How far it may be off, µm.
    pub rule: Rule,
    /// Whether it counts for each eye from its monocular PD, or in total.
    pub each_eye: bool,
}

/// The reference point of an uncut lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reference {
    /// Prism, in any direction, 1/1000 Δ.
    pub prism: Rule,
    /// Place, µm; `None` when the prism alone decides.
    pub place: Option<Rule>,
    /// Whether both have to hold; else a lens that holds one passes.
    pub both: bool,
}

/// The first row whose end is not below the magnitude of a value, and the range it is for.
fn row<T>(rows: &[(i32, T)], value: i32) -> Option<(&T, Range)> {
    // Ends are positive.
    let at = rows.iter().position(|(end, _)| value.unsigned_abs() <= end.cast_unsigned())?;
    let above = at.checked_sub(1).map_or(0, |before| rows[before].0);
    Some((&rows[at].1, Range { above, up_to: rows[at].0 }))
}

impl Steps {
    /// No rule.
    pub const NONE: Self = Self { up_to: &[], above: None };

    /// The rule for a value in thousandths, of either sign; `None` when the table has none.
    pub(super) fn rule(&self, value: i32) -> Option<Chosen> {
        let (rule, own) = match row(self.up_to, value) {
            Some((rule, own)) => (*rule, own),
            None => {
                let above = self.up_to.last().map_or(0, |(end, _)| *end);
                (self.above?, Range { above, up_to: Table::OPEN })
            }
        };
        Some(Chosen { own, ..rule.into() })
    }
}

impl Rows {
    /// Nothing is covered.
    pub const NONE: Self = Self {
        power: Steps::NONE,
        cylinder: &[],
        vertical: None,
        horizontal: None,
        pd: None,
        height: None,
        height_pair: None,
    };

    /// The rule for an ordered cylinder of a lens with this deciding power.
    pub(super) fn cylinder(&self, deciding: i32, cylinder: i32) -> Option<Chosen> {
        let (steps, power) = row(self.cylinder, deciding)?;
        Some(Chosen { power, ..steps.rule(cylinder)? })
    }
}

impl Centring {
    /// The row for the larger ordered prism in 1/1000 Δ, and its range.
    pub(super) fn row(&self, prism: i32) -> Option<(&'static CentringRow, Range)> {
        row(self.rows, prism)
    }
}

impl CentringRow {
    /// The prism rule for every power.
    pub const fn always(prism: Rule) -> Self {
        Self { prism, switch: Table::OPEN, switch_or: None, above: Above::Same }
    }
}

impl Table {
    /// The end of a last row, which has none.
    pub const OPEN: i32 = Range::OPEN;

    /// The same table with another answer to which principal power decides. `None` where public text names the
    /// meridian, so that there is nothing to choose.
    #[must_use]
    pub fn with_meridian(self, meridian: Meridian) -> Option<Self> {
        self.meridian_is_open.then_some(Self { meridian, ..self })
    }

    /// The same table, but the reference point of an uncut lens has to hold by its prism and by its place: the
    /// stricter reading, taught by some.
    #[must_use]
    pub fn with_both_at_reference(self) -> Self {
        let both = |reference| Reference { both: true, ..reference };
        Self { reference: self.reference.map(both), ..self }
    }

    /// The same table with what the shop asks for besides.
    #[must_use]
    pub fn with_places(self, places: Places) -> Self {
        Self { places, ..self }
    }

    /// What a rule of this table is cited by.
    pub(super) fn vouch(&self, cited: Citation) -> Citation {
        match self.hearsay {
            Some(source) if !self.places.cites(cited.source) => {
                Citation { source, confirmed: false, ..cited }
            }
            _ => cited,
        }
    }

    pub(super) const fn rows(&self, design: Design) -> &Rows {
        match design {
            Design::SingleVision => &self.single_vision,
            Design::Multifocal => &self.multifocal,
            Design::Progressive => &self.progressive,
        }
    }

    /// Whether an ordered cylinder in 1/1000 D, of either sign, is so low that any axis will do.
    pub(super) const fn any_axis(&self, cylinder: i32) -> bool {
        self.axis_from > 0 && cylinder.unsigned_abs() < self.axis_from.cast_unsigned()
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.name, self.edition)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::{Bound, Standard};

    #[test]
    fn a_step_ends_where_it_says_and_the_next_begins_above() {
        static UP_TO: [(i32, Rule); 2] = [(1000, Rule::fixed(1, "")), (2000, Rule::fixed(2, ""))];
        let steps = Steps { up_to: &UP_TO, above: None };
        let bound = |value| steps.rule(value).map(|chosen| chosen.rule.bound);
        assert_eq!([0, 1000, -1000].map(bound), [Some(Bound::milli(1)); 3]);
        assert_eq!([1001, -2000].map(bound), [Some(Bound::milli(2)); 2]);
        // Nothing is made up where the table ends.
        assert_eq!(bound(2001), None);
        assert!(Steps::NONE.rule(0).is_none());
    }

    #[test]
    fn steps_rise_and_the_last_row_is_open() {
        fn rise<T>(rows: &[(i32, T)]) -> bool {
            rows.first().is_none_or(|first| first.0 > 0) && rows.windows(2).all(|two| two[0].0 < two[1].0)
        }
        for standard in Standard::ALL {
            let table = standard.table();
            for design in Design::ALL {
                let rows = table.rows(design);
                assert!(rise(rows.power.up_to) && rise(rows.cylinder), "{standard}");
                assert!(rows.cylinder.iter().all(|(_, steps)| rise(steps.up_to)), "{standard}");
                assert_eq!(rows.cylinder.last().unwrap().0, Table::OPEN, "{standard}");
                for centring in [rows.vertical, rows.horizontal].into_iter().flatten() {
                    assert!(rise(centring.rows), "{standard}");
                    assert_eq!(centring.rows.last().unwrap().0, Table::OPEN, "{standard}");
                }
            }
            assert!(rise(table.axis.up_to) && rise(table.add.up_to), "{standard}");
        }
    }

    #[test]
    fn only_an_open_question_can_be_answered_by_the_shop() {
        let open: std::vec::Vec<Standard> = Standard::ALL
            .iter()
            .copied()
            .filter(|standard| standard.table().with_meridian(Meridian::Strongest).is_some())
            .collect();
        assert_eq!(open, [Standard::AnsiZ801_2010, Standard::AnsiZ801_2005]);
    }
}
