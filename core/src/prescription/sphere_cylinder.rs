//! Sphere, cylinder and axis, and the exact change between its two forms.

use crate::bytes::coded;
use crate::units::{Axis, Power};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// A sphero-cylindrical power, in either cylinder sign.
    ///
    /// With a zero cylinder the axis has no meaning and is held as 180.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct SphereCylinder {
        /// Power along the axis.
        pub sphere: Power,
        /// What is added a quarter turn from the axis.
        pub cylinder: Power,
        /// The axis of the cylinder.
        pub axis: Axis,
    }
}

impl SphereCylinder {
    /// No power.
    pub const PLANO: Self = Self::sphere(Power::ZERO);

    /// A sphere without cylinder.
    pub const fn sphere(sphere: Power) -> Self {
        Self { sphere, cylinder: Power::ZERO, axis: Axis::HORIZONTAL }
    }

    /// From its parts; the axis of a zero cylinder is dropped.
    pub const fn new(sphere: Power, cylinder: Power, axis: Axis) -> Self {
        Self { sphere, cylinder, axis: if cylinder.is_zero() { Axis::HORIZONTAL } else { axis } }
    }

    /// The combined power, sphere + cylinder: what lies a quarter turn from the axis. Exact.
    pub fn combined_power(self) -> Power {
        self.sphere + self.cylinder
    }

    /// The same lens written with the other cylinder sign. Exact; twice is the identity.
    ///
    /// ```
    /// use bevelbook_core::prescription::SphereCylinder;
    /// use bevelbook_core::units::Notation;
    /// let lens = SphereCylinder::parse("+0.50 -2.00 x 30", Notation::Order)?;
    /// assert_eq!(lens.transposed(), SphereCylinder::parse("-1.50 +2.00 x 120", Notation::Order)?);
    /// # Ok::<(), bevelbook_core::units::TextError>(())
    /// ```
    #[must_use]
    pub fn transposed(self) -> Self {
        Self::new(self.combined_power(), -self.cylinder, self.axis.crossed())
    }

    /// Written with a minus cylinder.
    #[must_use]
    pub fn minus_cylinder(self) -> Self {
        if self.cylinder > Power::ZERO { self.transposed() } else { self }
    }

    /// Written with a plus cylinder.
    #[must_use]
    pub fn plus_cylinder(self) -> Self {
        if self.cylinder < Power::ZERO { self.transposed() } else { self }
    }

    /// The principal power of the greatest magnitude.
    pub fn strongest(self) -> Power {
        let (one, other) = (self.sphere, self.combined_power());
        if other.abs() > one.abs() { other } else { one }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn transposing_twice_is_the_identity() {
        for sphere in (-2000..=2000).step_by(125) {
            for cylinder in (-1000..=1000).step_by(125) {
                for axis in 1..=180 {
                    let lens = SphereCylinder::new(
                        Power::from_milli(sphere),
                        Power::from_milli(cylinder),
                        Axis::from_degrees(axis),
                    );
                    assert_eq!(lens.transposed().transposed(), lens);
                }
            }
        }
    }

    #[test]
    fn each_form_has_its_sign() {
        let lens =
            SphereCylinder::new(Power::from_milli(1000), Power::from_milli(-500), Axis::from_degrees(10));
        assert_eq!(lens.minus_cylinder(), lens);
        assert_eq!(lens.plus_cylinder().minus_cylinder(), lens);
        assert_eq!(lens.plus_cylinder().cylinder, Power::from_milli(500));
        assert_eq!(lens.strongest(), Power::from_milli(1000));
        assert_eq!(SphereCylinder::PLANO.transposed(), SphereCylinder::PLANO);
    }
}
