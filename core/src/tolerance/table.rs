//! The shape of a tolerance table: steps of magnitude, and for each what may be off.
//!
//! A [`Table`] only borrows its rows: those of a published edition are static, those of a shop belong to a
//! [`ShopTable`](super::ShopTable). Where a table has no figure the judge says "not covered" and passes nothing.

use super::design::Design;
use super::rule::{Chosen, Range, Rule, Steps};
use core::fmt;

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

/// Prism between the eyes in one direction, by the ordered power of the lens that is stronger in that meridian.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct CentringRow {
    /// The power in 1/1000 D up to which the prism rule holds, inclusive.
    pub(super) switch: i32,
    /// Where another reading of the standard switches already; between the two nothing turns a verdict.
    pub(super) switch_or: Option<i32>,
    /// Difference in prism between the eyes, 1/1000 Δ.
    pub(super) prism: Rule,
    /// What holds above the switch.
    pub(super) above: Above,
}

/// What holds above the power of a switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Above {
    /// The same prism: there is no switch.
    Nothing,
    /// A prism that grows with the power.
    Effect(Rule),
    /// The PD in µm.
    Pd {
        /// How far it may be off.
        rule: Rule,
        /// Whether it counts for each eye from its monocular PD, or in total.
        each_eye: bool,
    },
}

impl CentringRow {
    /// The prism rule for every power.
    pub(super) const fn always(prism: Rule) -> Self {
        Self { switch: Range::OPEN, switch_or: None, prism, above: Above::Nothing }
    }
}

/// Centring in one direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Centring<'t> {
    /// By the larger ordered prism of the two eyes in that direction, 1/1000 Δ, inclusive and rising; the last
    /// ends at [`Range::OPEN`].
    pub(super) rows: &'t [(i32, CentringRow)],
    /// Prism of one eye, 1/1000 Δ.
    pub(super) each: Option<Rule>,
}

impl Centring<'_> {
    /// The row for the larger ordered prism in 1/1000 Δ, and its range.
    pub(super) fn row(&self, prism: u32) -> Option<(&CentringRow, Range)> {
        let ((_, row), range) = row(self.rows, |(end, _)| *end, prism)?;
        Some((row, range))
    }
}

/// The first row whose end is not below `magnitude`, and the range it is for.
fn row<T>(rows: &[T], end: impl Fn(&T) -> i32, magnitude: u32) -> Option<(&T, Range)> {
    let mut above = 0;
    for row in rows {
        let up_to = end(row);
        // Ends are positive.
        if magnitude <= up_to.cast_unsigned() {
            return Some((row, Range { above, up_to }));
        }
        above = up_to;
    }
    None
}

/// The PD as such, whatever the power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PdRule {
    /// How far it may be off, µm.
    pub rule: Rule,
    /// Whether it counts for each eye from its monocular PD, or in total.
    pub each_eye: bool,
}

/// What depends on the design of the lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rows<'t> {
    /// By the power that decides, see [`Meridian`].
    pub(super) power: Steps<'t>,
    pub(super) cylinder: Cylinders<'t>,
    pub(super) vertical: Option<Centring<'t>>,
    pub(super) horizontal: Option<Centring<'t>>,
    pub(super) pd: Option<PdRule>,
    /// Height of the segment, or of the fitting cross, of one eye.
    pub(super) height: Option<Rule>,
    /// Deviation of one height against the other's.
    pub(super) height_pair: Option<Rule>,
}

impl Rows<'_> {
    /// Nothing is covered.
    pub(super) const NONE: Rows<'static> = Rows {
        power: Steps { up_to: &[], above: None },
        cylinder: Cylinders::Alone(Steps { up_to: &[], above: None }),
        vertical: None,
        horizontal: None,
        pd: None,
        height: None,
        height_pair: None,
    };
}

/// What a cylinder may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cylinders<'t> {
    /// By the cylinder alone.
    Alone(Steps<'t>),
    /// By the cylinder, in rows by the power that decides; the last row ends at [`Range::OPEN`].
    ByPower(&'t [(i32, Steps<'t>)]),
}

impl Cylinders<'_> {
    /// The rule for an ordered cylinder of a lens with this deciding power.
    pub(super) fn rule(&self, deciding: i32, cylinder: i32) -> Option<Chosen<'_>> {
        let rows = match self {
            Self::Alone(steps) => return steps.rule(cylinder),
            Self::ByPower(rows) => rows,
        };
        let magnitude = deciding.unsigned_abs();
        let ((_, steps), power) = row(rows, |(end, _)| *end, magnitude)?;
        Some(Chosen { power, ..steps.rule(cylinder)? })
    }
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

/// Limits of what is specified, or made, beside the optics.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// Distance between the segments, µm in total.
    pub segment_place: Option<Rule>,
    /// Tilt of a segment, 1/1000°.
    pub segment_tilt: Option<Rule>,
    /// Width and depth of a segment, µm.
    pub segment_size: Option<Rule>,
    /// Base curve, 1/1000 D.
    pub base_curve: Option<Rule>,
    /// Warpage, 1/1000 D.
    pub warpage: Option<Rule>,
    /// Centre thickness, when it is specified, µm.
    pub thickness: Option<Rule>,
}

/// One edition of one standard, or a shop's own table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Table<'t> {
    pub(super) name: &'t str,
    /// With what stands between the two: `-2015`, `:2017`; empty for a shop's table.
    pub(super) edition: &'t str,
    pub(super) version: u16,
    /// Which principal power is judged, and by which the row is chosen.
    pub(super) meridian: Meridian,
    /// Whether public text leaves that open: a lens for which it matters has an unconfirmed limit.
    pub(super) meridian_is_open: bool,
    /// Single vision and multifocal share the optics; multifocals add heights.
    pub(super) single_vision: Rows<'t>,
    pub(super) multifocal: Rows<'t>,
    pub(super) progressive: Rows<'t>,
    /// Cylinder in 1/1000 D below which the axis has no limit.
    pub(super) axis_from: i32,
    /// By cylinder.
    pub(super) axis: Steps<'t>,
    /// Whether the axis table also covers uncut lenses.
    pub(super) axis_uncut: bool,
    /// By addition.
    pub(super) add: Steps<'t>,
    pub(super) reference: Option<Reference>,
    pub(super) made: Made,
}

impl<'t> Table<'t> {
    /// The name without the edition.
    #[must_use]
    pub const fn name(&self) -> &'t str {
        self.name
    }

    /// Rises whenever a figure is corrected.
    #[must_use]
    pub const fn version(&self) -> u16 {
        self.version
    }

    /// Whether it says anything of the reference point of an uncut lens.
    #[must_use]
    pub const fn has_reference_point(&self) -> bool {
        self.reference.is_some()
    }

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

    pub(super) const fn rows(&self, design: Design) -> &Rows<'t> {
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

impl fmt::Display for Table<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.name, self.edition)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::Standard;

    #[test]
    fn steps_rise_and_the_last_row_is_open() {
        for standard in Standard::ALL {
            let table = standard.table();
            let rise = |steps: &Steps<'_>| {
                steps.up_to.first().is_none_or(|first| first.0 > 0)
                    && steps.up_to.windows(2).all(|two| two[0].0 < two[1].0)
            };
            for design in [Design::SingleVision, Design::Multifocal, Design::Progressive] {
                let rows = table.rows(design);
                assert!(rise(&rows.power), "{standard}");
                match rows.cylinder {
                    Cylinders::Alone(steps) => assert!(rise(&steps), "{standard}"),
                    Cylinders::ByPower(rows) => {
                        assert!(rows.windows(2).all(|two| two[0].0 < two[1].0), "{standard}");
                        assert!(rows.iter().all(|(_, steps)| rise(steps)), "{standard}");
                        assert_eq!(rows.last().unwrap().0, Range::OPEN, "{standard}");
                    }
                }
                for centring in [rows.vertical, rows.horizontal].into_iter().flatten() {
                    assert_eq!(centring.rows.last().unwrap().0, Range::OPEN, "{standard}");
                }
            }
            assert!(rise(&table.axis) && rise(&table.add), "{standard}");
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
