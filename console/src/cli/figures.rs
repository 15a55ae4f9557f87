//! Numbers in JSON: in the unit that the field's name ends in, exact, not rounded to a display step.

use crate::view::Lens;
use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Length, Power, Prism};
use serde_json::{Value, json};

/// Thousandths as a decimal number.
pub(crate) fn milli(thousandths: i32) -> f64 {
    f64::from(thousandths) / 1000.0
}

/// Dioptres.
pub(crate) fn dioptres(power: Power) -> f64 {
    milli(power.milli())
}

/// Millimetres.
pub(crate) fn millimetres(length: Length) -> f64 {
    milli(length.milli())
}

/// Prism dioptres.
pub(crate) fn prism_dioptres(prism: Prism) -> f64 {
    milli(prism.milli())
}

/// A power with its three fields.
pub(crate) fn lens(lens: SphereCylinder) -> Value {
    json!(Lens::from(lens))
}
