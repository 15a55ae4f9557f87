//! A lens with a spherical front surface and the back surface that its back vertex power asks for.
//!
//! F2 = Fv' − F1/(1 − (t/n)·F1) in each principal meridian; thickness = centre − front depth + back depth, along the
//! axis through the dot. Both vertices lie there; the back surface is tilted about its own for the prism.

use super::error::THICKEST;
use super::surface::{BENDING_BITS, DEPTH_BITS, Fine, Short, Surface};
use super::wedge::Tilt;
use super::wide::{product, quotient};
use super::{LensError, Place, Side, ToricForm, Wedge};
use crate::maths::scale_down;
use crate::prescription::{SphereCylinder, back_surface};
use crate::units::{Length, Power, RefractiveIndex};

/// What a lens is to be, its centre thickness still open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct LensForm {
    /// Back vertex power.
    pub power: SphereCylinder,
    /// Prism at the centre dot.
    pub prism: Wedge,
    /// Power of the spherical front surface in this material (for the mark of a clock see
    /// [`power_from_clock`](super::power_from_clock)).
    pub front: Power,
    /// Refractive index of the material.
    pub index: RefractiveIndex,
    /// How the back surface is made where there is a cylinder.
    pub toric: ToricForm,
}

/// A lens of a known centre thickness.
#[derive(Clone, Copy, Debug)]
pub struct Lens {
    form: LensForm,
    centre: Length,
    back: SphereCylinder,
    front_surface: Surface,
    back_surface: Surface,
}

/// Why there is no thickness at a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Miss {
    pub(super) side: Side,
    /// Whether the surface bends toward the eye where it ends.
    pub(super) toward_eye: bool,
}

impl LensForm {
    /// The thickest centre that is taken: 100 mm.
    pub const THICKEST: Length = THICKEST;

    /// The lens of this form that is `centre` thick at its centre dot.
    ///
    /// # Errors
    /// The index is 1, a power is beyond ±100 D, the thickness not above 0 and up to 100 mm, the front surface focuses
    /// within the lens, or no tilt gives the prism.
    pub fn lens(self, centre: Length) -> Result<Lens, LensError> {
        if centre <= Length::ZERO || centre > Self::THICKEST {
            return Err(LensError::Centre(centre));
        }
        self.check()?;
        self.lens_from(centre)
    }

    /// What does not depend on the thickness.
    pub(super) fn check(self) -> Result<(), LensError> {
        if self.index == RefractiveIndex::AIR {
            return Err(LensError::Index(self.index));
        }
        for power in [self.front, self.power.sphere, self.power.cylinder] {
            Power::try_from(power.milli())?;
        }
        Ok(())
    }

    /// [`LensForm::lens`] for a checked form and a thickness from 0 on.
    pub(super) fn lens_from(self, centre: Length) -> Result<Lens, LensError> {
        let back = back_surface(self.power, self.front, centre, self.index)?;
        Power::try_from(back.combined_power().milli())?;
        let front = i64::from(self.front.milli());
        // As in the back vertex power, 1/1000 D · µm is 1e-9 and an index 1e-4; the rest is above zero.
        let scale = i64::from(self.index.ten_thousandths()) * 100_000;
        let rest = i128::from(scale) - product(front, centre.milli().into());
        let carried = quotient(product(front, scale) << BENDING_BITS, rest as u128);
        let carried = carried.ok_or(LensError::Centre(centre))?;
        let bending = |power: Power| carried - (i64::from(power.milli()) << BENDING_BITS);
        let along = bending(self.power.sphere);
        let across = bending(self.power.combined_power());
        let tilt = Tilt::of(self.prism, self.index).ok_or(LensError::Prism(self.prism))?;
        let back_surface = Surface::toric(along, across, self.power.axis, self.toric, self.index);
        Ok(Lens {
            form: self,
            centre,
            back,
            front_surface: Surface::sphere(front << BENDING_BITS, self.index),
            back_surface: back_surface.tilted(tilt),
        })
    }
}

impl Lens {
    /// What it was made for.
    pub const fn form(&self) -> LensForm {
        self.form
    }

    /// Thickness at the centre dot.
    pub const fn centre(&self) -> Length {
        self.centre
    }

    /// Power of the back surface: sphere correctly rounded to 1/1000 D, cylinder and axis those of the order. Depths
    /// are worked out from the back surface before it is rounded.
    pub const fn back(&self) -> SphereCylinder {
        self.back
    }

    /// Thickness at a place, along the axis through the dot. Zero or less where the surfaces have met before. Within
    /// 0.501 µm for indices from 1.3; with prism and cylinder, within 0.51 µm.
    ///
    /// # Errors
    /// The place lies too far out, or a surface does not reach it.
    pub fn thickness(&self, place: Place) -> Result<Length, LensError> {
        self.fine_thickness(place).map(to_length)
    }

    /// Thickness with [`DEPTH_BITS`] fractional bits.
    pub(super) fn fine_thickness(&self, place: Place) -> Result<i64, LensError> {
        let fine = place.fine().ok_or(LensError::Far(place))?;
        self.thickness_at(fine).map_err(|miss| LensError::Beyond { side: miss.side, place })
    }

    /// How much the tilt of the back alone thickens a place.
    pub(super) fn lean(&self, place: Fine) -> i64 {
        self.back_surface.lean(place)
    }

    /// Thickness with [`DEPTH_BITS`] fractional bits, within 0.002 µm; with prism and cylinder, within 0.01 µm.
    pub(super) fn thickness_at(&self, place: Fine) -> Result<i64, Miss> {
        let miss = |side| move |Short { toward_eye }| Miss { side, toward_eye };
        let front = self.front_surface.depth(place).map_err(miss(Side::Front))?;
        let back = self.back_surface.depth(place).map_err(miss(Side::Back))?;
        Ok((i64::from(self.centre.milli()) << DEPTH_BITS) - front + back)
    }
}

/// To the nearest µm.
pub(super) fn to_length(fine: i64) -> Length {
    Length::from_milli(scale_down(fine, DEPTH_BITS) as i32)
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::units::Notation;

    /// A lens with its power, front curve in 1/1000 D and index; toric backs are tyres.
    pub(in crate::lens) fn form(power: &str, front: i32, index: &str) -> LensForm {
        LensForm {
            power: SphereCylinder::parse(power, Notation::Order).unwrap(),
            prism: Wedge::NONE,
            front: Power::from_milli(front),
            index: RefractiveIndex::parse(index).unwrap(),
            toric: ToricForm::Tyre,
        }
    }

    /// A place in µm.
    pub(in crate::lens) fn place(x: i32, y: i32) -> Place {
        Place::new(Length::from_milli(x), Length::from_milli(y))
    }

    #[test]
    fn a_minus_lens_as_worked_out_elsewhere() {
        // Recomputed from the formulae with general numerical libraries: −4.00 on a +4.00 front, 1.498, centre 2.0:
        // 4.720 at 25 mm and 6.061 at 30 mm.
        let lens = form("-4.00 DS", 4000, "1.498").lens(Length::from_milli(2000)).unwrap();
        assert_eq!(lens.thickness(place(25_000, 0)), Ok(Length::from_milli(4720)));
        assert_eq!(lens.thickness(place(0, -30_000)), Ok(Length::from_milli(6061)));
        assert_eq!(lens.thickness(place(18_000, 24_000)), Ok(Length::from_milli(6061)));
        assert_eq!(lens.thickness(Place::DOT), Ok(Length::from_milli(2000)));
    }

    #[test]
    fn the_back_surface_is_the_one_of_the_vertex_power() {
        // NFOS course, module 11: F1 +3.00, F2 −8.50, t 2.2, n 1.498 has a back vertex power of −5.49.
        let lens = form("-5.49 DS", 3000, "1.498").lens(Length::from_milli(2200)).unwrap();
        assert!((lens.back().sphere.milli() + 8500).abs() <= 5, "{}", lens.back().sphere);
    }

    #[test]
    fn each_meridian_of_a_toric_lens_is_that_of_a_sphere() {
        let centre = Length::from_milli(2500);
        let toric = form("-2.00 -1.75 x 180", 5000, "1.60").lens(centre).unwrap();
        let [flat, steep] =
            ["-2.00 DS", "-3.75 DS"].map(|power| form(power, 5000, "1.60").lens(centre).unwrap());
        for at in [5000, 21_000, 33_000] {
            assert_eq!(toric.thickness(place(at, 0)), flat.thickness(place(at, 0)));
            assert_eq!(toric.thickness(place(0, at)), steep.thickness(place(at, 0)));
            assert!(steep.thickness(place(at, 0)).unwrap() > flat.thickness(place(at, 0)).unwrap());
        }
    }

    #[test]
    fn a_lens_is_symmetric_through_its_centre_and_its_mirror_is_the_mirrored_axis() {
        let centre = Length::from_milli(3000);
        let lens = form("+1.25 -3.00 x 35", 6000, "1.67").lens(centre).unwrap();
        let mirrored = form("+1.25 -3.00 x 145", 6000, "1.67").lens(centre).unwrap();
        let other_form = form("-1.75 +3.00 x 125", 6000, "1.67").lens(centre).unwrap();
        for (x, y) in [(12_000, 7000), (-25_500, 13_000), (30_000, 30_000), (1, -40_000)] {
            let here = lens.thickness(place(x, y)).unwrap();
            for there in [
                lens.thickness(place(-x, -y)),
                mirrored.thickness(place(-x, y)),
                other_form.thickness(place(x, y)),
            ] {
                assert!((here - there.unwrap()).abs() <= Length::from_milli(1), "{x} {y}");
            }
        }
    }

    #[test]
    fn what_makes_no_lens_is_refused() {
        let mm = Length::from_milli;
        let plus = form("+12.00 DS", 20_000, "1.5");
        assert_eq!(plus.lens(mm(0)).err(), Some(LensError::Centre(mm(0))));
        assert!(matches!(plus.lens(mm(75_000)).err(), Some(LensError::Vergence(_))));
        let lens = plus.lens(mm(6000)).unwrap();
        let far = place(25_100, 0);
        assert_eq!(lens.thickness(far), Err(LensError::Beyond { side: Side::Front, place: far }));
        let farther = place(0, 100_001);
        assert_eq!(lens.thickness(farther), Err(LensError::Far(farther)));
        let air = LensForm { index: RefractiveIndex::AIR, ..plus };
        assert!(matches!(air.lens(mm(2000)).err(), Some(LensError::Index(_))));
        let strong = LensForm { front: Power::from_milli(200_000), ..plus };
        assert!(matches!(strong.lens(mm(2000)).err(), Some(LensError::Power(_))));
    }
}
