//! The power that keeps its effect when a lens is moved along the line of sight.

use super::SphereCylinder;
use super::vergence::{Carried, VergenceError};
use crate::maths::divide_nearest;
use crate::units::{Length, Power, RefractiveIndex};

impl SphereCylinder {
    /// The lens that has the effect of this one from `toward_eye` nearer the eye (negative: farther away):
    /// each principal power becomes F/(1 − dF), the axis stays. A lens ordered for 14 mm and worn at 12 mm
    /// moves by +2 mm.
    ///
    /// The sphere is correctly rounded to 1/1000 D, the cylinder within 0.501 units of it for powers up to
    /// ±100 D.
    ///
    /// # Errors
    /// The focus of a principal power lies within the distance, or a result is beyond ±100 D.
    pub fn moved_toward_eye(self, toward_eye: Length) -> Result<Self, VergenceError> {
        let carried = |power| Carried::over(power, toward_eye, RefractiveIndex::AIR);
        let along = carried(self.sphere)?;
        let across = carried(self.combined_power())?;
        let cylinder = divide_nearest(across.micro()? - along.micro()?, 1000);
        Ok(Self::new(along.power()?, Power::try_from(cylinder as i32)?, self.axis))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Axis, Notation};
    use std::string::ToString;

    #[test]
    fn a_focus_within_the_way_is_refused() {
        let strong = SphereCylinder::sphere(Power::from_milli(20_000));
        assert!(strong.moved_toward_eye(Length::from_milli(39_000)).is_ok());
        assert!(matches!(
            strong.moved_toward_eye(Length::from_milli(49_999)),
            Err(VergenceError::OutOfRange(_))
        ));
        let error = strong.moved_toward_eye(Length::from_milli(50_000)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "light of +20.00 D comes to a focus within 50 mm; is the distance right?"
        );
        assert!(strong.moved_toward_eye(Length::from_milli(60_000)).is_err());
    }

    #[test]
    fn both_forms_of_a_lens_move_alike() {
        let lens = SphereCylinder::parse("-11.25 -3.75 x 17", Notation::Order).unwrap();
        let moved = lens.moved_toward_eye(Length::from_milli(12_500)).unwrap();
        let turned = lens.transposed().moved_toward_eye(Length::from_milli(12_500)).unwrap().transposed();
        assert_eq!((moved.cylinder, moved.axis), (turned.cylinder, Axis::from_degrees(17)));
        assert!((moved.sphere - turned.sphere).abs() <= Power::from_milli(1));
        assert_eq!(lens.moved_toward_eye(Length::ZERO), Ok(lens));
    }
}
