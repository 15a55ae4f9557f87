//! How much larger a corrected eye sees through a lens than without it.
//!
//! Shape factor 1/(1 − (t/n)·F1) times power factor 1/(1 − d·Fv').

use super::vergence::{Carried, VergenceError};
use crate::units::{Length, Power, RefractiveIndex};

/// Spectacle magnification as ratios in 1e-6: 1,087,000 is 8.7 % larger.
///
/// Shape and power factor are correctly rounded. The total is made from them before they are rounded and is
/// within 0.5 + 0.01 units where both factors are below two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct SpectacleMagnification {
    /// What front curve and thickness do.
    pub shape_micro: i32,
    /// What the power and its distance from the eye do.
    pub power_micro: i32,
    /// Both together.
    pub total_micro: i32,
}

impl SpectacleMagnification {
    /// Of a lens of back vertex power `back_vertex` with a front surface of power `front`, `centre` thick,
    /// its back `vertex` before the entrance pupil, or before the eye as far as that is neglected.
    ///
    /// # Errors
    /// A focus lies within the lens or within the distance to the eye, or a factor is above ten.
    pub fn of(
        back_vertex: Power,
        front: Power,
        centre: Length,
        index: RefractiveIndex,
        vertex: Length,
    ) -> Result<Self, VergenceError> {
        const ONE: i64 = 1_000_000;
        let shape = Carried::over(front, centre, index)?;
        let power = Carried::over(back_vertex, vertex, RefractiveIndex::AIR)?;
        let near_lens = VergenceError::FocusWithin { power: front, distance: centre };
        let near_eye = VergenceError::FocusWithin { power: back_vertex, distance: vertex };
        let finer = power.times(100 * ONE, 1).ok_or(near_eye)?;
        Ok(Self {
            shape_micro: shape.times(ONE, 1).ok_or(near_lens)? as i32,
            power_micro: power.times(ONE, 1).ok_or(near_eye)? as i32,
            total_micro: shape.times(finer, 100).ok_or(near_lens)? as i32,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_front_and_no_power_change_nothing() {
        let of = |bvp, front| {
            SpectacleMagnification::of(
                Power::from_milli(bvp),
                Power::from_milli(front),
                Length::from_milli(4000),
                RefractiveIndex::AIR,
                Length::from_milli(14_000),
            )
        };
        let one =
            SpectacleMagnification { shape_micro: 1_000_000, power_micro: 1_000_000, total_micro: 1_000_000 };
        assert_eq!(of(0, 0), Ok(one));
        assert!(matches!(of(80_000, 0), Err(VergenceError::FocusWithin { .. })));
        assert!(matches!(of(65_000, 0), Err(VergenceError::FocusWithin { .. })));
    }
}
