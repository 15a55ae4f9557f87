//! How answers are written, the same for every calculation.

use crate::cli::Report;
use bevelbook_core::prescription::SphereCylinder;
use serde_json::{Value, json};

/// Thousandths of a unit as a JSON number of that unit: the double nearest to the exact decimal.
pub(super) fn thousandths(milli: i32) -> f64 {
    f64::from(milli) / 1000.0
}

/// A lens as JSON; a sphere has no axis.
pub(super) fn lens_fields(lens: SphereCylinder) -> Value {
    let axis = (!lens.cylinder.is_zero()).then(|| thousandths(lens.axis.milli()));
    json!({
        "sphere_d": thousandths(lens.sphere.milli()),
        "cylinder_d": thousandths(lens.cylinder.milli()),
        "axis_deg": axis,
    })
}

/// A lens as the whole answer.
pub(super) fn lens_report(lens: SphereCylinder) -> Report {
    Report::new(lens.to_string(), lens_fields(lens))
}
