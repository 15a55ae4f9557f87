//! What a sphero-cylindrical power may be off, and what it is off.
//!
//! Order and reading are compared in minus-cylinder form: the sphere is the power along the axis, sphere + cylinder
//! the power across it. Which of the two is judged depends on the standard, see [`Meridian`].

use super::rule::Chosen;
use super::table::{Rows, Table};
use super::{Design, Limit, Meridian, Quantity};
use crate::prescription::SphereCylinder;
use crate::units::{Angle, Power};

/// What a power of a mounted lens may be off. What has no limit in the table is not covered and holds nothing up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Limits {
    /// Which power the limit is for.
    pub judged: JudgedPower,
    /// D, of the judged power, of each when both are judged.
    pub power: Option<Limit>,
    /// D.
    pub cylinder: Option<Limit>,
    /// Degrees; `None` when any axis will do, or when it is not covered.
    pub axis: Option<Limit>,
    /// Whether every figure of these was seen in public text.
    pub confirmed: bool,
}

/// Which power of the minus-cylinder form is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum JudgedPower {
    /// The sphere.
    Along,
    /// Sphere and cylinder together.
    Across,
    /// Both.
    Both,
}

/// What a power is off, read less ordered, in minus-cylinder form. Exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Deviation {
    /// Along the axis: the sphere.
    pub power: Power,
    /// Across the axis: sphere and cylinder together.
    pub across: Power,
    /// Read less ordered minus cylinder: negative when the read cylinder is stronger.
    pub cylinder: Power,
    /// The least turn, above −90° and up to +90°; `None` when either has no cylinder and therefore no axis.
    pub axis: Option<Angle>,
}

/// The rules for one ordered power.
pub(super) struct PowerRules<'t> {
    rows: &'t Rows<'t>,
    /// Ordered, in minus-cylinder form.
    pub(super) ordered: SphereCylinder,
    pub(super) judged: JudgedPower,
    /// The power that chooses the row, and that a percentage is of.
    pub(super) deciding: Power,
    /// Whether the choice of meridian, where public text leaves it open, changes the limit.
    pub(super) hangs_on_meridian: bool,
}

impl<'t> PowerRules<'t> {
    pub(super) fn of(table: &'t Table<'t>, design: Design, ordered: SphereCylinder) -> Self {
        let (rows, ordered) = (table.rows(design), ordered.minus_cylinder());
        let sphere = ordered.sphere;
        let (judged, deciding) = match table.meridian {
            Meridian::Sphere => (JudgedPower::Along, sphere),
            Meridian::Each => (JudgedPower::Both, ordered.strongest()),
            Meridian::Strongest if ordered.combined_power().abs() > sphere.abs() => {
                (JudgedPower::Across, ordered.combined_power())
            }
            Meridian::Strongest => (JudgedPower::Along, sphere),
        };
        let limit = |power: Power| {
            rows.power.rule(power.milli()).map(|chosen| chosen.rule.limit(power.milli(), power))
        };
        let hangs_on_meridian = table.meridian_is_open && limit(sphere) != limit(ordered.strongest());
        Self { rows, ordered, judged, deciding, hangs_on_meridian }
    }

    /// Of the judged power.
    pub(super) fn power(&self) -> Option<Chosen<'t>> {
        self.rows.power.rule(self.deciding.milli())
    }

    /// Of the cylinder.
    pub(super) fn cylinder(&self) -> Option<Chosen<'t>> {
        self.rows.cylinder.rule(self.deciding.milli(), self.ordered.cylinder.milli())
    }

    /// Whether a reading without cylinder is within, or not covered.
    pub(super) fn no_cylinder_holds(&self) -> bool {
        let ordered = self.ordered.cylinder.milli();
        self.cylinder().is_none_or(|chosen| chosen.rule.limit(ordered, Power::ZERO).holds(ordered))
    }

    /// Hands each judged power to `judge`: quantity, ordered and read, of a reading in minus-cylinder form.
    pub(super) fn judged(&self, read: &SphereCylinder, mut judge: impl FnMut(Quantity, [i32; 2])) {
        let ordered = &self.ordered;
        if self.judged != JudgedPower::Across {
            judge(Quantity::Power, [ordered.sphere.milli(), read.sphere.milli()]);
            // A sphere read of a sphere has one power, not two.
            if self.judged == JudgedPower::Along || (ordered.cylinder.is_zero() && read.cylinder.is_zero()) {
                return;
            }
        }
        let across = [ordered.combined_power(), read.combined_power()];
        judge(Quantity::PowerAcross, across.map(Power::milli));
    }
}

/// The limits for an ordered power, of a mounted lens.
#[must_use]
pub fn limits<'t>(by: impl Into<&'t Table<'t>>, design: Design, ordered: SphereCylinder) -> Limits {
    let table = by.into();
    let rules = PowerRules::of(table, design, ordered);
    let (power, cylinder) = (rules.deciding, rules.ordered.cylinder);
    let axis = (!table.any_axis(cylinder.milli())).then(|| table.axis.rule(cylinder.milli())).flatten();
    let limit =
        |chosen: Option<Chosen<'_>>, of: Power| chosen.map(|chosen| chosen.rule.limit(of.milli(), of));
    let confirmed = [rules.power(), rules.cylinder(), axis]
        .into_iter()
        .flatten()
        .all(|chosen| chosen.rule.confirmed != super::Confirmed::Never);
    Limits {
        judged: rules.judged,
        power: limit(rules.power(), power),
        cylinder: limit(rules.cylinder(), cylinder),
        axis: limit(axis, cylinder),
        confirmed: confirmed && !rules.hangs_on_meridian,
    }
}

/// What `read` is off from `ordered`.
#[must_use]
pub fn deviation(ordered: SphereCylinder, read: SphereCylinder) -> Deviation {
    let (ordered, read) = (ordered.minus_cylinder(), read.minus_cylinder());
    let has_axis = !ordered.cylinder.is_zero() && !read.cylinder.is_zero();
    Deviation {
        power: read.sphere - ordered.sphere,
        across: read.combined_power() - ordered.combined_power(),
        cylinder: read.cylinder - ordered.cylinder,
        axis: has_axis.then(|| read.axis.turn_from(ordered.axis)),
    }
}

impl Limits {
    /// What the judged power is off; where both are judged, the one that is further off.
    #[must_use]
    pub fn judged_power(&self, off: &Deviation) -> Power {
        match self.judged {
            JudgedPower::Along => off.power,
            JudgedPower::Across => off.across,
            JudgedPower::Both if off.across.abs() > off.power.abs() => off.across,
            JudgedPower::Both => off.power,
        }
    }

    /// Whether all are within. An axis that has a limit but could not be read does not pass.
    #[must_use]
    pub fn hold(&self, off: &Deviation) -> bool {
        self.hold_powers(off) && self.hold_axis(off)
    }

    /// Whether the powers and the cylinder are within.
    #[must_use]
    pub fn hold_powers(&self, off: &Deviation) -> bool {
        self.holds_power(off) && self.holds_cylinder(off.cylinder)
    }

    pub(super) fn holds_power(&self, off: &Deviation) -> bool {
        self.power.is_none_or(|limit| limit.holds(self.judged_power(off).milli()))
    }

    pub(super) fn holds_cylinder(&self, off: Power) -> bool {
        self.cylinder.is_none_or(|limit| limit.holds(off.milli()))
    }

    pub(super) fn hold_axis(&self, off: &Deviation) -> bool {
        self.axis.is_none_or(|limit| off.axis.is_some_and(|turn| limit.holds(turn.milli())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::Standard;
    use crate::units::Notation;

    fn lens(text: &str) -> SphereCylinder {
        SphereCylinder::parse(text, Notation::Reading).unwrap()
    }

    fn hold(standard: Standard, ordered: &str, read: &str) -> bool {
        let ordered = lens(ordered);
        limits(standard, Design::SingleVision, ordered).hold(&deviation(ordered, lens(read)))
    }

    #[test]
    fn the_deviation_does_not_depend_on_the_form() {
        let ordered = lens("-1.00 -1.50 x 179");
        for read in ["-1.12 -1.25 x 2", "-2.37 +1.25 x 92"] {
            let expected = Deviation {
                power: Power::from_milli(-120),
                across: Power::from_milli(130),
                cylinder: Power::from_milli(250),
                axis: Some(Angle::from_degrees(3)),
            };
            assert_eq!(deviation(ordered, lens(read)), expected, "{read}");
            assert_eq!(deviation(ordered.transposed(), lens(read)), expected, "{read}");
        }
    }

    #[test]
    fn limits_hold_only_when_all_three_do() {
        let hold = |read| hold(Standard::AnsiZ801_2015, "-1.00 -1.50 x 179", read);
        assert!(hold("-1.13 -1.63 x 2"));
        assert!(!hold("-1.131 -1.50 x 179"));
        assert!(!hold("-1.00 -1.631 x 179"));
        assert!(!hold("-1.00 -1.50 x 175.999"));
    }

    #[test]
    fn without_a_cylinder_there_is_no_axis() {
        assert_eq!(deviation(lens("-1.00"), lens("-1.00 -0.12 x 40")).axis, None);
        // An axis that has a limit and could not be read does not pass.
        assert!(!hold(Standard::AnsiZ801_2015, "-1.00 -0.12 x 40", "-1.00"));
    }

    #[test]
    fn the_double_limit_asks_each_power_and_the_cylinder() {
        // -10.00 passes from 9.82 to 10.18 with a cylinder within 0.12 D (paper on GB 10810.1).
        for (read, expected) in [
            ("-9.82 DS", true),
            ("-10.18 DS", true),
            ("-9.819 DS", false),
            ("-10.181 DS", false),
            ("-9.94 -0.12 x 90", true),
            // Both powers hold, the cylinder does not: 0.13 D.
            ("-9.94 -0.13 x 90", false),
            // The cylinder holds, the power across the axis does not: -10.19 D.
            ("-10.08 -0.11 x 90", false),
        ] {
            assert_eq!(hold(Standard::Iso21987_2017, "-10.00", read), expected, "{read}");
        }
        // ANSI looks at the sphere meridian alone.
        assert!(hold(Standard::AnsiZ801_2015, "-10.00", "-10.08 -0.13 x 90"));
    }

    #[test]
    fn the_strongest_meridian_of_1999_takes_its_own_row() {
        // -5.50 -2.00: 2 % of 7.50 D is 0.15 D across the axis; the later edition judges -5.50 D by 0.13 D.
        let ordered = lens("-5.50 -2.00 x 10");
        let of = |standard| limits(standard, Design::SingleVision, ordered);
        let (old, new) = (of(Standard::AnsiZ801_1999), of(Standard::AnsiZ801_2015));
        assert_eq!((old.judged, old.power), (JudgedPower::Across, Some(Limit::from_milli(150))));
        assert_eq!((new.judged, new.power), (JudgedPower::Along, Some(Limit::from_milli(130))));
        let read = "-5.64 -2.00 x 10";
        assert!(hold(Standard::AnsiZ801_1999, "-5.50 -2.00 x 10", read));
        assert!(!hold(Standard::AnsiZ801_2015, "-5.50 -2.00 x 10", read));
        // With 2010 it is open; where it matters the limit says so.
        assert!(!of(Standard::AnsiZ801_2010).confirmed && new.confirmed);
        let strongest = Standard::AnsiZ801_2010.table().with_meridian(Meridian::Strongest).unwrap();
        assert_eq!(limits(&strongest, Design::SingleVision, ordered).power, old.power);
        let low = lens("-1.50 -2.00 x 10");
        assert!(limits(Standard::AnsiZ801_2010, Design::SingleVision, low).confirmed);
    }
}
