//! Volume and mass of an edged lens.
//!
//! The outline is taken as a polygon. Each of its sides makes a triangle with the centre dot, counted negative
//! where the outline runs back, and in each triangle the thickness is taken at 4 × 4 places of Gauss and Legendre: in
//! the square of the distance along the rays, in which a depth is smooth, and along the side. What the tilt of a lens
//! with prism adds along a ray is not, and is known in whole: it is what it adds in the middle of the triangle. Bevel,
//! groove and chamfers are not taken off, so that a bevelled lens is a little lighter than is said here.

use super::form::Miss;
use super::surface::{DEPTH_BITS, Fine};
use super::wedge::share;
use super::wide::{product, quotient};
use super::{Density, Lens, LensError, Place};
use crate::maths::divide_nearest;

/// Places between 0 and 1, with their weights; 30 fractional bits, made with mpmath at 40 digits.
const NODES: [(i64, i64); 4] = [
    (74_551_875, 186_753_148),
    (354_344_979, 350_117_764),
    (719_396_845, 350_117_764),
    (999_189_949, 186_753_148),
];

/// The square roots of those places.
const ROOTS: [i64; 4] = [282_930_144, 616_826_575, 878_889_345, 1_035_795_365];

/// A volume in 1/1000 mm³.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Volume(i64);

/// A mass in milligrams.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Mass(i64);

impl Volume {
    /// In 1/1000 mm³.
    pub const fn thousandths(self) -> i64 {
        self.0
    }

    /// The mass of so much of a material, to the nearest milligram.
    pub const fn mass(self, density: Density) -> Mass {
        // mg/cm³ times 1/1000 mm³ is a millionth of a milligram.
        Mass(divide_nearest(self.0 * density.milligrams_per_cubic_centimetre() as i64, 1_000_000))
    }
}

impl Mass {
    /// In milligrams.
    pub const fn milligrams(self) -> i64 {
        self.0
    }
}

impl Lens {
    /// The volume within an outline whose points are joined by straight chords, in either sense of rotation.
    ///
    /// Error: at most one part in a million (with prism, in a hundred thousand) and 0.001 mm³, where the outline keeps
    /// within 0.8 of the radius of either surface and no chord is seen from the centre dot under more than 60°.
    ///
    /// # Errors
    /// As [`Lens::thickness`]; fewer than three points or no area; the surfaces meet at a point of the outline.
    pub fn volume(&self, outline: impl Iterator<Item = Place>) -> Result<Volume, LensError> {
        let mut points = 0;
        let mut first = None;
        let mut last: Option<Place> = None;
        // µm² · µm, with the fraction of a depth, twice over.
        let (mut doubled, mut area) = (0_i128, 0_i64);
        let mut add = |from: Place, to: Place| {
            let part = cross(from, to);
            area += part;
            doubled += product(part, self.mean_thickness(from, to)?);
            Ok::<(), LensError>(())
        };
        for place in outline {
            let thickness = self.thickness(place)?;
            if thickness.milli() <= 0 {
                return Err(LensError::SurfacesMeet { place, thickness });
            }
            points += 1;
            if let Some(last) = last {
                add(last, place)?;
            }
            first = first.or(Some(place));
            last = Some(place);
        }
        if let (Some(last), Some(first)) = (last, first) {
            add(last, first)?;
        }
        if points < 3 || area == 0 {
            return Err(LensError::Outline(points));
        }
        // 1/1000 mm³ are 10⁶ µm³.
        let volume = quotient(doubled, 2_000_000 << DEPTH_BITS).ok_or(LensError::Outline(points))?;
        Ok(Volume(volume.abs()))
    }

    /// The mean thickness of the triangle that two places make with the centre dot, with [`DEPTH_BITS`]
    /// fractional bits.
    fn mean_thickness(&self, from: Place, to: Place) -> Result<i64, LensError> {
        let ends = |place: Place| place.fine().ok_or(LensError::Far(place));
        let (one, other) = (ends(from)?, ends(to)?);
        let mut total = 0;
        for (along, weight) in NODES {
            let between = |a: i64, b: i64| a + share(b - a, along);
            let (x, y) = (between(one.x, other.x), between(one.y, other.y));
            let mut ray = 0_i64;
            for (root, (_, weight)) in ROOTS.into_iter().zip(NODES) {
                let place = Fine { x: share(x, root), y: share(y, root) };
                let thickness = self.thickness_at(place);
                let thickness =
                    thickness.map_err(|Miss { side, .. }| LensError::Beyond { side, place: from })?;
                ray += share(thickness - self.lean(place), weight);
            }
            total += share(ray, weight);
        }
        Ok(total + (self.lean(one) + self.lean(other)) / 3)
    }
}

/// Twice the area of the triangle that two places make with the centre dot, in µm²; positive anticlockwise.
fn cross(from: Place, to: Place) -> i64 {
    let [x, y, next_x, next_y] = [from.x, from.y, to.x, to.y].map(|length| i64::from(length.milli()));
    x * next_y - y * next_x
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lens::{LensForm, ToricForm, Wedge};
    use crate::maths::sin_cos;
    use crate::prescription::SphereCylinder;
    use crate::units::{Angle, Length, Notation, Power, RefractiveIndex};
    use std::vec::Vec;

    fn lens(power: &str, front: i32, centre: i32) -> Lens {
        LensForm {
            power: SphereCylinder::parse(power, Notation::Order).unwrap(),
            prism: Wedge::NONE,
            front: Power::from_milli(front),
            index: RefractiveIndex::parse("1.5").unwrap(),
            toric: ToricForm::Tyre,
        }
        .lens(Length::from_milli(centre))
        .unwrap()
    }

    fn circle(points: i32, radius: i64, x: i32) -> Vec<Place> {
        let point = |at: i32| {
            let (sin, cos) = sin_cos(Angle::from_milli(at * 360_000 / points));
            let part = |part: i32| ((radius * i64::from(part) + (1 << 29)) >> 30) as i32;
            Place::new(Length::from_milli(part(cos) + x), Length::from_milli(part(sin)))
        };
        (0..points).map(point).collect()
    }

    #[test]
    fn a_plate_weighs_its_area_times_its_thickness() {
        let square = [(0, 0), (40_000, 0), (40_000, 30_000), (0, 30_000)];
        let square =
            square.map(|(x, y)| Place::new(Length::from_milli(x - 70_000), Length::from_milli(y - 1)));
        let plate = lens("pl", 0, 2000);
        // 40 · 30 · 2 mm³, also when the centre dot lies outside and the outline runs clockwise.
        assert_eq!(plate.volume(square.into_iter()), Ok(Volume(2_400_000)));
        assert_eq!(plate.volume(square.into_iter().rev()), Ok(Volume(2_400_000)));
        let mass = Volume(2_400_000).mass(Density::from_milligrams_per_cubic_centimetre(1200));
        assert_eq!(mass.milligrams(), 2880);
    }

    #[test]
    fn a_plano_convex_lens_is_a_cap_on_a_disc() {
        // Front r = 100 mm, back flat: a cap π·s²·(3r − s)/3, s its sagitta at y = 30 mm, on a disc of the edge. The
        // back vertex power that leaves the back flat is rounded to 1/1000 D, which bends the back a little.
        let (r, y, t): (f64, f64, f64) = (100.0, 30.0, 6.0);
        let text = std::format!("+{:.3} DS", 5.0 / (1.0 - t * 1e-3 / 1.5 * 5.0));
        let lens = lens(&text, 5000, 6000);
        let s = r - (r * r - y * y).sqrt();
        let pi = core::f64::consts::PI;
        let expected = pi * y * y * (t - s) + pi * s * s * (3.0 * r - s) / 3.0;
        let volume = lens.volume(circle(1000, 30_000, 0).into_iter()).unwrap();
        let ours = volume.thousandths() as f64 / 1000.0;
        // A polygon of 1000 sides is 6.6e-6 smaller; up to 0.0005 D of back are 1.3 mm³ · 0.5.
        assert!((ours - expected).abs() < 0.65 + 7e-6 * expected, "{ours} {expected}");
    }

    #[test]
    fn an_outline_that_is_none_is_refused() {
        let plate = lens("pl", 0, 2000);
        let line = [(0, 0), (10_000, 0), (20_000, 0)];
        let line = line.map(|(x, y)| Place::new(Length::from_milli(x), Length::from_milli(y)));
        assert_eq!(plate.volume(line.into_iter()), Err(LensError::Outline(3)));
        assert_eq!(plate.volume(line.into_iter().take(0)), Err(LensError::Outline(0)));
        let thin = lens("+6.00 DS", 8000, 2000);
        let meet = thin.volume(circle(36, 30_000, 0).into_iter());
        assert!(matches!(meet, Err(LensError::SurfacesMeet { .. })));
    }
}
