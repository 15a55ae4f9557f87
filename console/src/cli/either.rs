//! A prescription that can be meant in two ways: which two, in the figures that were typed.

use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Axis, Notation, Power, Scanner, TextError};

const FORM: &str = "15";

/// The two powers that a person may have meant: who wrote an axis without a cylinder, a cylinder alone or a sphere; who
/// wrote an @ behind a cylinder, its axis or the meridian of its power.
pub(super) fn either(text: &str, error: &TextError) -> Option<[SphereCylinder; 2]> {
    let (before, behind) = (text.get(..error.start)?, text.get(error.start..error.end)?);
    let figures = behind.trim_start_matches(|c: char| !c.is_ascii_digit());
    let axis = Scanner::whole(figures, FORM, |scanner| Axis::scan(scanner, FORM)).ok()?;
    let mut powers = before
        .split([' ', '/', ';', '\t'])
        .filter_map(|word| Power::parse(word.trim_end_matches(','), Notation::Reading).ok());
    let sphere = powers.next()?;
    match error.expected {
        SphereCylinder::LONE_AXIS => {
            Some([SphereCylinder::new(Power::ZERO, sphere, axis), SphereCylinder::sphere(sphere)])
        }
        SphereCylinder::AT_MERIDIAN => {
            let (sphere, cylinder) =
                powers.next().map_or((Power::ZERO, sphere), |cylinder| (sphere, cylinder));
            Some([axis, axis.crossed()].map(|axis| SphereCylinder::new(sphere, cylinder, axis)))
        }
        _ => None,
    }
}
