//! The depth of a lens surface at any place.
//!
//! A toric surface has a different curve in each principal meridian, and off these its depth depends on how it was
//! made: an arc of one principal curve is turned about an axis that lies in the other's centre. Turning the steeper
//! arc makes a **tyre**, turning the flatter one a **barrel**; both agree along the principal meridians and differ
//! by some µm between them (abstract in Optometry and Vision Science: off a principal meridian a toric depth is
//! exact only for a stated form). With u along the turned arc and w across, and the radii a (arc) and R (turning),
//! the arc is sunk s₁ = a − √(a² − u²) and the place s₁ + (R − s₁) − √((R − s₁)² − w²), with the radii's signs.

use super::curve::bend;
use crate::maths::{ONE, sin_cos};
use crate::units::{Axis, Length, RefractiveIndex};
use core::fmt;

/// Fractional bits of a bending, in 1/1000 D.
pub(super) const BENDING_BITS: u32 = 28;
/// Fractional bits of a depth, in µm.
pub(super) const DEPTH_BITS: u32 = 24;
/// Fractional bits of a coordinate, in µm.
pub(super) const PLACE_BITS: u32 = 12;

/// A place on a lens from its optical centre, as one faces the wearer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Place {
    /// To the viewer's right.
    pub x: Length,
    /// Up.
    pub y: Length,
}

impl Place {
    /// The optical centre.
    pub const OPTICAL_CENTRE: Self = Self { x: Length::ZERO, y: Length::ZERO };
    /// The farthest that a place may lie from the optical centre across, and up: 100 mm.
    pub const FARTHEST: Length = Length::from_milli(100_000);

    /// From coordinates.
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// The same place counted from an optical centre that lies at `centre`. Exact.
    #[must_use]
    pub fn seen_from(self, centre: Self) -> Self {
        Self { x: self.x - centre.x, y: self.y - centre.y }
    }

    /// In fractions of a µm; `None` when it lies too far out.
    pub(super) fn fine(self) -> Option<Fine> {
        let near = |length: Length| length.milli().unsigned_abs() <= Self::FARTHEST.milli().unsigned_abs();
        let fine = |length: Length| i64::from(length.milli()) << PLACE_BITS;
        (near(self.x) && near(self.y)).then(|| Fine { x: fine(self.x), y: fine(self.y) })
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "({}, {}) mm", self.x, self.y)
    }
}

/// A place with [`PLACE_BITS`] fractional bits, within ±100 mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fine {
    pub(super) x: i64,
    pub(super) y: i64,
}

/// How a toric surface is made. It matters only between the principal meridians.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ToricForm {
    /// The steeper arc is turned about the centre of the flatter one. Taken where nothing else is said (from memory,
    /// unconfirmed: the usual form of a generated back surface).
    #[default]
    Tyre,
    /// The flatter arc is turned about the centre of the steeper one.
    Barrel,
}

/// A spherical or toric surface: its bendings in 1/1000 D with [`BENDING_BITS`] fractional bits, positive when the
/// centre of curvature lies toward the eye.
#[derive(Clone, Copy, Debug)]
pub(super) struct Surface {
    /// Bending times radius, with the fraction of a bending.
    k: u64,
    arc: i64,
    turning: i64,
    /// The direction of the arc, with 30 fractional bits.
    cos: i64,
    sin: i64,
}

/// A surface that does not reach a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Short {
    /// Whether it bends toward the eye where it ends.
    pub(super) toward_eye: bool,
}

impl Surface {
    pub(super) fn sphere(bending: i64, index: RefractiveIndex) -> Self {
        let k = (bend(index) as u64) << BENDING_BITS;
        Self { k, arc: bending, turning: bending, cos: ONE.into(), sin: 0 }
    }

    /// With the bending `along` in the meridian of `axis`, and `across` a quarter turn from it.
    pub(super) fn toric(
        along: i64,
        across: i64,
        axis: Axis,
        form: ToricForm,
        index: RefractiveIndex,
    ) -> Self {
        let along_is_steeper = along.abs() > across.abs();
        let turn_along = along_is_steeper == (form == ToricForm::Tyre);
        let (sin, cos) = sin_cos(axis.angle());
        let (sin, cos) = (i64::from(sin), i64::from(cos));
        let sphere = Self::sphere(along, index);
        match turn_along {
            true => Self { turning: across, cos, sin, ..sphere },
            false => Self { arc: across, turning: along, cos: -sin, sin: cos, ..sphere },
        }
    }

    /// The depth below the vertex, with [`DEPTH_BITS`] fractional bits. Within 0.001 µm.
    pub(super) fn depth(&self, place: Fine) -> Result<i64, Short> {
        let short = |bending: i64| Short { toward_eye: bending > 0 };
        if self.arc == self.turning {
            let square = place.x * place.x + place.y * place.y;
            return depth(self.k, self.arc, square as u64).ok_or(short(self.arc));
        }
        let u = (place.x * self.cos + place.y * self.sin) >> 30;
        let w = (place.y * self.cos - place.x * self.sin) >> 30;
        let arc = depth(self.k, self.arc, (u * u) as u64).ok_or(short(self.arc))?;
        // (R − s₁) times the bending of R.
        let nearer = i128::from(self.k) - ((i128::from(self.turning) * i128::from(arc)) >> DEPTH_BITS);
        let nearer = u64::try_from(nearer).map_err(|_| short(self.turning))?;
        let turned = depth(nearer, self.turning, (w * w) as u64).ok_or(short(self.turning))?;
        Ok(arc + turned)
    }
}

/// The depth of a circle of radius k/`bending` at a distance with this square (twice [`PLACE_BITS`] fractional
/// bits): y²·b / (k + √(k² − b²·y²)), which loses nothing where the curve is flat. `None` where it ends before.
fn depth(k: u64, bending: i64, square: u64) -> Option<i64> {
    if bending == 0 || square == 0 {
        return Some(0);
    }
    let steep = u128::from(bending.unsigned_abs());
    let k = u128::from(k);
    let rise = steep * u128::from(square);
    let root = (k * k).checked_sub((rise >> (2 * PLACE_BITS)) * steep)?.isqrt();
    let depth = i64::try_from((rise + (k + root) / 2).checked_div(k + root)?).ok()?;
    Some(if bending < 0 { -depth } else { depth })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: i64, y: i64) -> Fine {
        Fine { x: x << PLACE_BITS, y: y << PLACE_BITS }
    }

    fn toric(along: i64, across: i64, axis: i16, form: ToricForm) -> Surface {
        let index = RefractiveIndex::from_ten_thousandths(15_000).unwrap();
        Surface::toric(along << BENDING_BITS, across << BENDING_BITS, Axis::from_degrees(axis), form, index)
    }

    /// In 1/1000 µm.
    fn nano(surface: Surface, place: Fine) -> i64 {
        (surface.depth(place).unwrap() * 1000) >> DEPTH_BITS
    }

    #[test]
    fn both_forms_agree_in_the_principal_meridians_and_differ_between() {
        let [tyre, barrel] = [ToricForm::Tyre, ToricForm::Barrel].map(|form| toric(4000, 8000, 180, form));
        for (x, y) in [(30_000, 0), (0, 30_000), (-30_000, 0)] {
            assert!((nano(tyre, at(x, y)) - nano(barrel, at(x, y))).abs() <= 1);
        }
        let apart = nano(tyre, at(20_000, 20_000)) - nano(barrel, at(20_000, 20_000));
        assert!(apart.abs() > 10_000, "{apart}");
    }

    #[test]
    fn equal_curves_make_a_sphere_in_either_form_about_any_axis() {
        let index = RefractiveIndex::from_ten_thousandths(15_000).unwrap();
        let sphere = Surface::sphere(6000 << BENDING_BITS, index);
        for (form, axis) in [(ToricForm::Tyre, 30), (ToricForm::Barrel, 117)] {
            // One part in 2²⁸ of 1/1000 D apart: made as a toric surface, and as good as a sphere.
            let nearly = Surface { arc: sphere.arc + 1, ..toric(6000, 6000, axis, form) };
            for (x, y) in [(0, 0), (30_000, 0), (17_000, -23_000), (-40_000, 40_000)] {
                assert_eq!(nano(toric(6000, 6000, axis, form), at(x, y)), nano(sphere, at(x, y)));
                assert!((nano(nearly, at(x, y)) - nano(sphere, at(x, y))).abs() <= 1);
            }
        }
    }

    #[test]
    fn a_cylinder_is_flat_along_its_axis_and_a_saddle_bends_both_ways() {
        let cylinder = toric(0, 5000, 90, ToricForm::Tyre);
        assert_eq!(nano(cylinder, at(0, 40_000)), 0);
        assert_eq!(nano(cylinder, at(60_000, 12_345)), 20_000_000);
        let saddle = toric(-5000, 5000, 180, ToricForm::Barrel);
        assert_eq!(nano(saddle, at(60_000, 0)), -20_000_000);
        assert_eq!(nano(saddle, at(0, 60_000)), 20_000_000);
    }

    #[test]
    fn a_curve_that_ends_says_which_way_it_bends() {
        let surface = toric(-12_500, 25_000, 180, ToricForm::Tyre);
        assert!(surface.depth(at(0, 20_001)).is_err_and(|short| short.toward_eye));
        assert!(surface.depth(at(40_001, 0)).is_err_and(|short| !short.toward_eye));
        assert!(surface.depth(at(40_000, 0)).is_ok());
    }
}
