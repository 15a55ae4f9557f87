//! What a sphero-cylindrical power may be off, and what it is off.
//!
//! Order and reading are compared in minus-cylinder form. Which power decides is open between editions; the 2015
//! guide names the sphere meridian of that form.

use super::{Design, Limit, Standard};
use crate::prescription::SphereCylinder;
use crate::units::{Angle, Power};

/// What a power may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Limits {
    /// D, along the sphere meridian of the minus-cylinder form.
    pub power: Limit,
    /// D.
    pub cylinder: Limit,
    /// Degrees; `None` when any axis will do.
    pub axis: Option<Limit>,
}

/// What a power is off, read less ordered, in minus-cylinder form. Exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Deviation {
    /// Along the sphere meridian.
    pub power: Power,
    /// Read less ordered minus cylinder: negative when the read cylinder is stronger.
    pub cylinder: Power,
    /// The least turn, above −90° and up to +90°; `None` when either has no cylinder and therefore no axis.
    pub axis: Option<Angle>,
}

/// The limits for an ordered power.
#[must_use]
pub fn limits(standard: Standard, design: Design, ordered: SphereCylinder) -> Limits {
    let (table, ordered) = (standard.table(), ordered.minus_cylinder());
    let rows = table.rows(design);
    let (sphere, cylinder) = (ordered.sphere.milli(), ordered.cylinder.milli());
    Limits {
        power: rows.power.rule(sphere).limit(sphere),
        cylinder: rows.cylinder.rule(cylinder).limit(cylinder),
        axis: table.axis_rule(cylinder).map(|rule| rule.limit(cylinder)),
    }
}

/// What `read` is off from `ordered`.
#[must_use]
pub fn deviation(ordered: SphereCylinder, read: SphereCylinder) -> Deviation {
    let (ordered, read) = (ordered.minus_cylinder(), read.minus_cylinder());
    let has_axis = !ordered.cylinder.is_zero() && !read.cylinder.is_zero();
    Deviation {
        power: read.sphere - ordered.sphere,
        cylinder: read.cylinder - ordered.cylinder,
        axis: has_axis.then(|| read.axis.turn_from(ordered.axis)),
    }
}

impl Limits {
    /// Whether all three are within. An axis that has a limit but could not be read does not pass.
    #[must_use]
    pub fn hold(&self, deviation: &Deviation) -> bool {
        self.hold_powers(deviation) && self.hold_axis(deviation)
    }

    /// Whether power and cylinder are within.
    pub(super) fn hold_powers(&self, deviation: &Deviation) -> bool {
        self.power.holds(deviation.power.milli()) && self.cylinder.holds(deviation.cylinder.milli())
    }

    /// Whether the axis is within.
    pub(super) fn hold_axis(&self, deviation: &Deviation) -> bool {
        let within = |limit: Limit| deviation.axis.is_some_and(|turn| limit.holds(turn.milli()));
        self.axis.is_none_or(within)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Notation;

    fn lens(text: &str) -> SphereCylinder {
        SphereCylinder::parse(text, Notation::Reading).unwrap()
    }

    #[test]
    fn the_deviation_does_not_depend_on_the_form() {
        let ordered = lens("-1.00 -1.50 x 179");
        for read in ["-1.12 -1.25 x 2", "-2.37 +1.25 x 92"] {
            let expected = Deviation {
                power: Power::from_milli(-120),
                cylinder: Power::from_milli(250),
                axis: Some(Angle::from_degrees(3)),
            };
            assert_eq!(deviation(ordered, lens(read)), expected, "{read}");
            assert_eq!(deviation(ordered.transposed(), lens(read)), expected, "{read}");
        }
    }

    #[test]
    fn limits_hold_only_when_all_three_do() {
        let ordered = lens("-1.00 -1.50 x 179");
        let limits = limits(Standard::AnsiZ801_2015, Design::SingleVision, ordered);
        let hold = |read| limits.hold(&deviation(ordered, lens(read)));
        assert!(hold("-1.13 -1.63 x 2"));
        assert!(!hold("-1.131 -1.50 x 179"));
        assert!(!hold("-1.00 -1.631 x 179"));
        assert!(!hold("-1.00 -1.50 x 175.999"));
    }

    #[test]
    fn without_a_cylinder_there_is_no_axis() {
        assert_eq!(deviation(lens("-1.00"), lens("-1.00 -0.12 x 40")).axis, None);
        // An axis that has a limit and could not be read does not pass.
        let ordered = lens("-1.00 -0.12 x 40");
        let limits = limits(Standard::AnsiZ801_2015, Design::SingleVision, ordered);
        assert!(!limits.hold(&deviation(ordered, lens("-1.00"))));
    }
}
