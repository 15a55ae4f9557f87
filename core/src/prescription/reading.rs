//! From what a focimeter shows to the power of the lens.

use super::SphereCylinder;
use crate::units::{Axis, Power};

/// The lens whose first line is sharp at `first` with the axis wheel at `wheel`, and whose second line, a
/// quarter turn away, is sharp at `second`: sphere = first, cylinder = second − first, axis = wheel. Exact.
///
/// Which line is called first decides only the sign of the cylinder: both orders describe the same lens.
pub fn from_lines(first: Power, second: Power, wheel: Axis) -> SphereCylinder {
    SphereCylinder::new(first, second - first, wheel)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn either_line_first_is_the_same_lens() {
        let (a, b, wheel) = (Power::from_milli(-1250), Power::from_milli(-2000), Axis::from_degrees(15));
        let one = from_lines(a, b, wheel);
        assert_eq!(one, from_lines(b, a, wheel.crossed()).transposed());
        assert_eq!(from_lines(a, a, wheel), SphereCylinder::sphere(a));
    }
}
