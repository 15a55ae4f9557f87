//! A wrapped front: each lens turned about the vertical, so that what is measured straight across is longer along the lens.

use crate::maths::{ONE, divide_nearest, sin_cos};
use crate::units::{Angle, Length};

/// Wraps beyond this are no frame's; at them the rule would run away.
const LIMIT: Angle = Angle::from_degrees(45);

/// How far from the middle of the bridge, along a front that is wrapped by `wrap`, lies what stands straight before a
/// pupil: PD over the cosine of the wrap. Of wraps beyond ±45 degrees nothing is said.
///
/// Within 0.501 µm for PDs up to 100 mm. ISO 8624 tells of 7 degrees at 34 mm that the centre shifts by 0.25 mm; this is
/// 0.255.
///
/// ```
/// use bevelbook_core::{frame::along_front, units::{Angle, Length}};
/// let along = along_front(Length::from_milli(34_000), Angle::from_degrees(7));
/// assert_eq!(along.map(Length::milli), Some(34_255));
/// ```
pub fn along_front(monocular_pd: Length, wrap: Angle) -> Option<Length> {
    if wrap.abs() > LIMIT {
        return None;
    }
    let (_, cos) = sin_cos(wrap);
    let along = divide_nearest(i64::from(monocular_pd.milli()) * i64::from(ONE), i64::from(cos));
    Some(Length::from_milli(along as i32))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_pd_over_the_cosine_to_half_a_micrometre() {
        for degrees in -45..=45 {
            for milli in (0..=100_000).step_by(997) {
                let along = along_front(Length::from_milli(milli), Angle::from_degrees(degrees)).unwrap();
                let exact = f64::from(milli) / f64::from(degrees).to_radians().cos();
                assert!((f64::from(along.milli()) - exact).abs() <= 0.501, "{milli} at {degrees}");
            }
        }
        assert_eq!(along_front(Length::from_milli(34_000), Angle::from_degrees(46)), None);
        assert_eq!(along_front(Length::from_milli(34_000), Angle::from_degrees(90)), None);
    }
}
