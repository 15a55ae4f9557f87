//! Numbers in JSON: in the unit that the field's name ends in, exact, not rounded to a display step.

use bevelbook_core::prescription::{EyeOrder, SphereCylinder};
use bevelbook_core::units::{Axis, Length, Power, Prism};
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

/// Degrees, or null where there is no cylinder to have an axis.
pub(crate) fn axis_degrees(axis: Axis, cylinder: Power) -> Value {
    if cylinder.is_zero() { Value::Null } else { json!(milli(axis.milli())) }
}

/// A power with its three fields.
pub(crate) fn lens(lens: SphereCylinder) -> Value {
    json!({
        "sphere_d": dioptres(lens.sphere),
        "cylinder_d": dioptres(lens.cylinder),
        "axis_deg": axis_degrees(lens.axis, lens.cylinder),
    })
}

/// One eye of an order.
pub(crate) fn eye_order(eye: &EyeOrder) -> Value {
    let mut value = lens(eye.power);
    value["base_in_pd"] = json!(prism_dioptres(eye.prism.base_in));
    value["base_up_pd"] = json!(prism_dioptres(eye.prism.base_up));
    value["add_d"] = json!(eye.add.map(dioptres));
    value
}
