//! Vertex powers of a lens with a thickness.
//!
//! Fv' = F1/(1 − (t/n)·F1) + F2 at the back, Fv = F2/(1 − (t/n)·F2) + F1 at the front.

use super::SphereCylinder;
use super::vergence::{Carried, VergenceError};
use crate::units::{Length, Power, RefractiveIndex};

/// A lens with two spherical surfaces, or one principal meridian of a toric one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ThickLens {
    /// Power of the front surface.
    pub front: Power,
    /// Power of the back surface.
    pub back: Power,
    /// Centre thickness.
    pub centre: Length,
    /// Refractive index of the material.
    pub index: RefractiveIndex,
}

impl ThickLens {
    /// Back vertex power: what a focimeter shows and an order means. Correctly rounded to 1/1000 D.
    ///
    /// # Errors
    /// The front surface focuses within the lens, or the result is beyond ±100 D.
    pub fn back_vertex(self) -> Result<Power, VergenceError> {
        let carried = Carried::over(self.front, self.centre, self.index)?.power()?;
        Ok(Power::try_from((carried + self.back).milli())?)
    }

    /// Front vertex power (neutralising power). Correctly rounded to 1/1000 D.
    ///
    /// # Errors
    /// The back surface focuses within the lens, or the result is beyond ±100 D.
    pub fn front_vertex(self) -> Result<Power, VergenceError> {
        Self { front: self.back, back: self.front, ..self }.back_vertex()
    }
}

/// The back surface that gives a lens its back vertex power behind a spherical front surface. Sphere
/// correctly rounded to 1/1000 D, cylinder and axis exact.
///
/// # Errors
/// The front surface focuses within the lens, or the result is beyond ±100 D.
pub fn back_surface(
    back_vertex: SphereCylinder,
    front: Power,
    centre: Length,
    index: RefractiveIndex,
) -> Result<SphereCylinder, VergenceError> {
    let carried = Carried::over(front, centre, index)?.power()?;
    let sphere = Power::try_from((back_vertex.sphere - carried).milli())?;
    Ok(SphereCylinder { sphere, ..back_vertex })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Notation;

    #[test]
    fn the_back_surface_gives_the_power_it_was_made_for() {
        let index = RefractiveIndex::parse("1.586").unwrap();
        let [front, centre] = [Power::from_milli(6250), Power::from_milli(2800)];
        let centre = Length::from_milli(centre.milli());
        let ordered = SphereCylinder::parse("+2.50 -1.25 x 70", Notation::Order).unwrap();
        let back = back_surface(ordered, front, centre, index).unwrap();
        assert_eq!((back.cylinder, back.axis), (ordered.cylinder, ordered.axis));
        for (surface, power) in
            [(back.sphere, ordered.sphere), (back.combined_power(), ordered.combined_power())]
        {
            assert_eq!(ThickLens { front, back: surface, centre, index }.back_vertex(), Ok(power));
        }
    }

    #[test]
    fn a_lens_without_thickness_has_the_sum_of_its_surfaces() {
        let [front, back] = [3000, -8500].map(Power::from_milli);
        let thin = ThickLens { front, back, centre: Length::ZERO, index: RefractiveIndex::AIR };
        assert_eq!(thin.back_vertex(), Ok(Power::from_milli(-5500)));
        assert_eq!(thin.front_vertex(), thin.back_vertex());
    }
}
