//! Thickness along an outline, its thickest and its thinnest place.

use super::form::to_length;
use super::{Lens, LensError, Place};
use crate::maths::atan2;
use crate::units::{Angle, Length};

/// A place of an outline and how thick the lens is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct EdgePoint {
    /// Which point of the outline, from 0.
    pub point: usize,
    /// Where it lies from the centre dot.
    pub place: Place,
    /// Thickness along the axis through the dot, as [`Lens::thickness`]; zero or less where the surfaces have met before.
    pub thickness: Length,
}

impl EdgePoint {
    /// The direction of the place from the centre dot, 0° up to but not including 360°, to the nearest 1/1000
    /// degree.
    pub fn direction(&self) -> Angle {
        let angle = atan2(self.place.y.milli().into(), self.place.x.milli().into());
        Angle::from_milli(angle.milli().rem_euclid(360_000))
    }
}

/// The thickest and the thinnest of the points of an outline; of equal ones the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Extremes {
    /// Where the edge is thickest.
    pub thickest: EdgePoint,
    /// Where the edge is thinnest.
    pub thinnest: EdgePoint,
    /// How many points there are.
    pub points: usize,
}

impl Lens {
    /// The thickness at each point of an outline.
    ///
    /// # Errors
    /// Each item as [`Lens::thickness`].
    pub fn along(
        &self,
        outline: impl Iterator<Item = Place>,
    ) -> impl Iterator<Item = Result<EdgePoint, LensError>> {
        outline.enumerate().map(|(point, place)| {
            let thickness = to_length(self.fine_thickness(place)?);
            Ok(EdgePoint { point, place, thickness })
        })
    }

    /// The thickest and the thinnest point of an outline. Chords are not searched: between two points of a fine
    /// outline the thickness hardly differs from theirs.
    ///
    /// # Errors
    /// As [`Lens::thickness`] at any point, or there is none.
    pub fn extremes(&self, outline: impl Iterator<Item = Place>) -> Result<Extremes, LensError> {
        let mut found: Option<Extremes> = None;
        for here in self.along(outline) {
            let here = here?;
            let so_far = found.get_or_insert(Extremes { thickest: here, thinnest: here, points: 0 });
            so_far.points += 1;
            if here.thickness > so_far.thickest.thickness {
                so_far.thickest = here;
            }
            if here.thickness < so_far.thinnest.thickness {
                so_far.thinnest = here;
            }
        }
        found.ok_or(LensError::Outline(0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lens::{LensForm, ToricForm, Wedge};
    use crate::prescription::SphereCylinder;
    use crate::units::{Notation, Power, RefractiveIndex};

    fn lens(power: &str, front: i32) -> Lens {
        LensForm {
            power: SphereCylinder::parse(power, Notation::Order).unwrap(),
            prism: Wedge::NONE,
            front: Power::from_milli(front),
            index: RefractiveIndex::parse("1.498").unwrap(),
            toric: ToricForm::Tyre,
        }
        .lens(Length::from_milli(4000))
        .unwrap()
    }

    fn box_round(x: i32) -> impl Iterator<Item = Place> {
        [(25_000, 0), (20_000, 15_000), (0, 18_000), (-25_000, 0), (0, -18_000)]
            .into_iter()
            .map(move |(px, py)| Place::new(Length::from_milli(px - x), Length::from_milli(py)))
    }

    #[test]
    fn a_plus_lens_decentred_in_is_thick_on_the_side_it_moved_to() {
        let extremes = lens("+3.00 DS", 6000).extremes(box_round(5000)).unwrap();
        assert_eq!((extremes.thinnest.point, extremes.thinnest.direction().milli()), (3, 180_000));
        assert_eq!((extremes.thickest.point, extremes.points), (2, 5));
        let minus = lens("-3.00 DS", 4000).extremes(box_round(5000)).unwrap();
        assert_eq!(minus.thickest.point, 3);
    }

    #[test]
    fn a_minus_cylinder_is_thickest_across_its_axis() {
        let circle = |degrees: i16| {
            let (sin, cos) = crate::maths::sin_cos(Angle::from_degrees(degrees));
            let part = |part: i32| Length::from_milli(((25_000 * i64::from(part)) >> 30) as i32);
            Place::new(part(cos), part(sin))
        };
        let extremes = lens("pl -3.00 x 25", 6000).extremes((0..360).map(circle)).unwrap();
        // Points are cut to whole µm: neighbours of equal thickness lie within half a degree.
        assert!((extremes.thickest.direction().milli() % 180_000 - 115_000).abs() <= 1000);
        assert!((extremes.thinnest.direction().milli() % 180_000 - 25_000).abs() <= 1000);
    }

    #[test]
    fn no_outline_has_no_edge() {
        assert_eq!(lens("+3.00 DS", 6000).extremes(box_round(0).take(0)), Err(LensError::Outline(0)));
    }
}
