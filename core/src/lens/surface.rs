//! The depth of a lens surface at any place.
//!
//! A toric surface has a different curve in each principal meridian, and off these its depth depends on how it was
//! made: an arc of one principal curve is turned about an axis that lies in the other's centre. Turning the steeper
//! arc makes a **tyre**, turning the flatter one a **barrel**; both agree along the principal meridians and differ
//! by some µm between them (abstract in Optometry and Vision Science: off a principal meridian a toric depth is
//! exact only for a stated form). With u along the turned arc and w across, and the radii a (arc) and R (turning),
//! the arc is sunk s₁ = a − √(a² − u²) and the place s₁ + (R − s₁) − √((R − s₁)² − w²), with the radii's signs.
//!
//! A surface may be tilted about its vertex. With r the way of the place toward the base, c and s the cosine and sine of
//! the tilt and z the depth, the place lies c·r + s·z toward the base in the surface's own axes and c·z − s·r deep. On a
//! sphere that is a square equation for z. On a toric surface of depth f it is z = (f + s·r)/c at a place that depends
//! on z itself: going round draws nearer by the slope there times the tangent of the tilt each time.

use super::curve::bend;
use super::wedge::{Tilt, share};
use super::wide::{product, quotient};
use crate::maths::{ONE, sin_cos};
use crate::units::{Axis, Length, RefractiveIndex};
use core::fmt;

/// Fractional bits of a bending, in 1/1000 D.
pub(super) const BENDING_BITS: u32 = 28;
/// Fractional bits of a depth, in µm.
pub(super) const DEPTH_BITS: u32 = 24;
/// Fractional bits of a coordinate, in µm.
pub(super) const PLACE_BITS: u32 = 12;

/// A place on a lens from its centre dot, as one faces the wearer. Without prism the optical centre lies on the dot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Place {
    /// To the viewer's right.
    pub x: Length,
    /// Up.
    pub y: Length,
}

impl Place {
    /// The centre dot.
    pub const DOT: Self = Self { x: Length::ZERO, y: Length::ZERO };
    /// The farthest that a place may lie from the dot across, and up: 100 mm.
    pub const FARTHEST: Length = Length::from_milli(100_000);

    /// From coordinates.
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// The same place counted from a dot that lies at `dot`. Exact.
    #[must_use]
    pub fn seen_from(self, dot: Self) -> Self {
        Self { x: self.x - dot.x, y: self.y - dot.y }
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
    k: i64,
    arc: i64,
    turning: i64,
    /// The direction of the arc, with 30 fractional bits.
    cos: i64,
    sin: i64,
    tilt: Tilt,
}

/// A surface that does not reach a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Short {
    /// Whether it bends toward the eye where it ends.
    pub(super) toward_eye: bool,
}

impl Surface {
    pub(super) fn sphere(bending: i64, index: RefractiveIndex) -> Self {
        let k = bend(index) << BENDING_BITS;
        Self { k, arc: bending, turning: bending, cos: ONE.into(), sin: 0, tilt: Tilt::NONE }
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

    /// The same surface turned about its vertex.
    pub(super) fn tilted(self, tilt: Tilt) -> Self {
        Self { tilt, ..self }
    }

    /// How much the tilt itself deepens a place, s·r/c, with [`DEPTH_BITS`] fractional bits.
    pub(super) fn lean(&self, place: Fine) -> i64 {
        share(self.lift(place), self.tilt.secant)
    }

    /// The depth below the vertex, with [`DEPTH_BITS`] fractional bits. Within 0.001 µm; of a tilted toric surface
    /// within 0.01 µm.
    ///
    /// Where the slope of a toric surface times the tangent of its tilt is above ¾ it is said not to reach the place:
    /// with less than 20 Δ that is a slope of more than 60°.
    pub(super) fn depth(&self, place: Fine) -> Result<i64, Short> {
        let lift = self.lift(place);
        if self.arc == self.turning {
            let square = place.x * place.x + place.y * place.y;
            let circle = Circle { k: self.k, bending: self.arc };
            return circle.depth(square, lift, self.tilt.cos).ok_or(self.short());
        }
        // 0.002 µm: below that the fractions of a place show. With steps that shrink by a quarter at least, what is left
        // to go is no more than three times the last one.
        const NEAR: i64 = 1 << (DEPTH_BITS - 9);
        let (mut depth, mut last) = (0, i64::MAX);
        loop {
            let next = share(self.untilted(self.own(place, lift, depth))? + lift, self.tilt.secant);
            let step = (next - depth).abs();
            if step <= NEAR {
                return Ok(next);
            }
            if step > last / 4 * 3 {
                return Err(self.short());
            }
            (depth, last) = (next, step);
        }
    }

    /// s·r, with [`DEPTH_BITS`] fractional bits.
    fn lift(&self, place: Fine) -> i64 {
        const FINER: u32 = DEPTH_BITS - PLACE_BITS;
        share(place.x << FINER, self.tilt.sin[0]) + share(place.y << FINER, self.tilt.sin[1])
    }

    /// Where a place so deep lies in the axes of the surface: (c − 1)·r + s·z nearer to the base.
    fn own(&self, place: Fine, lift: i64, depth: i64) -> Fine {
        // (1 − c)/s² is 1/(1 + c).
        let way = (depth - share(lift, self.tilt.half)) >> (DEPTH_BITS - PLACE_BITS);
        let [x, y] = self.tilt.sin.map(|sin| share(way, sin));
        Fine { x: place.x + x, y: place.y + y }
    }

    /// The depth of the toric surface as it is before it is tilted.
    fn untilted(&self, place: Fine) -> Result<i64, Short> {
        let u = share(place.x, self.cos) + share(place.y, self.sin);
        let w = share(place.y, self.cos) - share(place.x, self.sin);
        let arc = Circle { k: self.k, bending: self.arc };
        let arc = arc.depth(u * u, 0, Tilt::NONE.cos).ok_or(self.short())?;
        // (R − s₁) times the bending of R.
        let nearer = i128::from(self.k) - (product(self.turning, arc) >> DEPTH_BITS);
        let short = Short { toward_eye: self.turning > 0 };
        let k = i64::try_from(nearer).ok().filter(|k| *k >= 0).ok_or(short)?;
        let turned = Circle { k, bending: self.turning };
        Ok(arc + turned.depth(w * w, 0, Tilt::NONE.cos).ok_or(short)?)
    }

    fn short(&self) -> Short {
        Short { toward_eye: self.arc > 0 }
    }
}

/// A circle or a sphere of radius k/`bending`.
struct Circle {
    k: i64,
    bending: i64,
}

impl Circle {
    /// The depth at a distance with this square y² (twice [`PLACE_BITS`] fractional bits), tilted by an angle of cosine
    /// c where the tilt lifts by s·r: (b·y² + 2k·s·r) / (k·c + √(k²c² − b·(b·y² + 2k·s·r))), which loses nothing where
    /// the curve is flat. `None` where it ends before.
    fn depth(&self, square: i64, lift: i64, cos: i64) -> Option<i64> {
        let rise = product(self.bending, square) + product(self.k, lift << 1);
        let level = share(self.k, cos);
        // What rises has 104 bits: of those that 64 hold none bears on a root of 118 bits.
        const COARSER: u32 = 42;
        let ends = product(self.bending, (rise >> COARSER) as i64) << (COARSER - 2 * PLACE_BITS);
        let root = u128::try_from(product(level, level) - ends).ok()?.isqrt();
        quotient(rise, level as u128 + root)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lens::Wedge;
    use crate::units::Prism;

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

    #[test]
    fn a_tilted_toric_surface_that_is_nearly_a_sphere_is_as_deep_as_one() {
        let index = RefractiveIndex::from_ten_thousandths(15_000).unwrap();
        let wedge = Wedge { right: Prism::from_milli(-7000), up: Prism::from_milli(6000) };
        let tilt = Tilt::of(wedge, index).unwrap();
        let sphere = Surface::sphere(9000 << BENDING_BITS, index).tilted(tilt);
        for (form, axis) in [(ToricForm::Tyre, 30), (ToricForm::Barrel, 117)] {
            let nearly = Surface { arc: sphere.arc + 1, ..toric(9000, 9000, axis, form).tilted(tilt) };
            for (x, y) in [(0, 0), (30_000, 0), (-17_000, 23_000), (25_000, -25_000)] {
                // What goes round and round against what is solved: within the bound of the former, 0.01 µm.
                assert!((nano(nearly, at(x, y)) - nano(sphere, at(x, y))).abs() <= 10, "{x} {y}");
            }
        }
    }

    #[test]
    fn what_a_tilt_makes_too_steep_is_refused_and_never_goes_on_for_ever() {
        let index = RefractiveIndex::from_ten_thousandths(15_000).unwrap();
        let surface = toric(11_000, 12_000, 180, ToricForm::Tyre);
        let depth = |prism: i32| {
            let wedge = Wedge { right: Prism::from_milli(prism), up: Prism::ZERO };
            surface.tilted(Tilt::of(wedge, index).unwrap()).depth(at(38_000, 10_000))
        };
        assert!(depth(0).is_ok() && depth(5000).is_ok());
        for prism in (0..110_000).step_by(100) {
            if let Err(short) = depth(prism.min(100_000)) {
                assert!(short.toward_eye);
            }
        }
        assert!(depth(60_000).is_err());
    }
}
