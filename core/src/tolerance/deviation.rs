//! What a sphero-cylindrical power is off.
//!
//! Order and reading are compared in minus-cylinder form: the sphere is the power along the axis, sphere + cylinder
//! the power across it.

use crate::prescription::SphereCylinder;
use crate::units::{Angle, Power};

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

/// What `read` is off from `ordered`.
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
