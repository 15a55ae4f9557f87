//! The crossed-cylinder form: two cylinders a quarter turn apart and no sphere.

use super::SphereCylinder;
use crate::units::{Axis, Power};
use core::fmt;

/// A lens as two cylinders, one at an axis and one across it. A cylinder has its power across its own axis.
///
/// Shown as `-2.00 DC x 180 / +3.00 DC x 90`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct CrossedCylinders {
    /// Power of the cylinder whose axis is [`axis`](Self::axis).
    pub at_axis: Power,
    /// Power of the cylinder whose axis is a quarter turn away.
    pub across: Power,
    /// The axis of the first cylinder.
    pub axis: Axis,
}

impl From<SphereCylinder> for CrossedCylinders {
    /// S/C × A is (S + C) DC × A with S DC × A ± 90. Exact.
    fn from(lens: SphereCylinder) -> Self {
        Self { at_axis: lens.combined_power(), across: lens.sphere, axis: lens.axis }
    }
}

impl From<CrossedCylinders> for SphereCylinder {
    /// The cylinder across becomes the sphere, what the other has beyond it the cylinder. Exact.
    fn from(lens: CrossedCylinders) -> Self {
        Self::new(lens.across, lens.at_axis - lens.across, lens.axis)
    }
}

impl fmt::Display for CrossedCylinders {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} DC x {} / {} DC x {}", self.across, self.axis.crossed(), self.at_axis, self.axis)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Notation;
    use std::string::ToString;

    #[test]
    fn every_lens_survives_the_way_there_and_back() {
        for cylinder in (-6000..=6000).step_by(125) {
            for axis in 1..=180 {
                let lens = SphereCylinder::new(
                    Power::from_milli(-2250),
                    Power::from_milli(cylinder),
                    Axis::from_degrees(axis),
                );
                assert_eq!(SphereCylinder::from(CrossedCylinders::from(lens)), lens);
            }
        }
    }

    #[test]
    fn both_forms_of_a_lens_are_the_same_two_cylinders() {
        let lens = SphereCylinder::parse("-2.00 +5.00 x 90", Notation::Order).unwrap();
        assert_eq!(CrossedCylinders::from(lens).to_string(), "-2.00 DC x 180 / +3.00 DC x 90");
        let turned = CrossedCylinders::from(lens.transposed());
        assert_eq!(turned.to_string(), "+3.00 DC x 90 / -2.00 DC x 180");
    }
}
