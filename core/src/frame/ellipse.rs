//! The ellipse that fills a box, in closed form: a shape to work by where nobody has traced.
//!
//! [`Outline::made`] gives points of the same ellipse; what can be said without points is said here. A and B are the
//! sides of the box, so the half axes are half of them.
//!
//! - Girth: π(A + B)/2 · Σ cₙhⁿ with h = ((A − B)/(A + B))², c₀ = 1 and cₙ₊₁ = cₙ·((2n − 1)/(2n + 2))² (the series of
//!   Ivory and Bessel: from memory, unconfirmed; compared with scipy).
//! - Parallel curve at d: girth + 2πd, while an inward d is not above the smallest radius of curvature (Steiner).
//! - Smallest radius of curvature: b²/a of the half axes, at both ends of the long one.
//! - Farthest point from a place: it lies in the quarter across, where the distance rises to its maximum and falls,
//!   so it is found by halving.

use super::outline::least_diameter;
use super::point::FINE_BITS;
use super::{Decentration, Outline, ShapeError};
use crate::maths::{scale_down, sin_cos, sqrt_up};
use crate::units::{Angle, Length};

/// The ellipse in a box of A by B.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Ellipse {
    a: Length,
    b: Length,
}

/// π with 40 fractional bits.
const PI: i128 = 3_454_217_652_358;

impl Ellipse {
    /// From the sides of its box.
    ///
    /// # Errors
    /// A side is not within [`Outline::SIDE`].
    pub fn new(a: Length, b: Length) -> Result<Self, ShapeError> {
        match [a, b].into_iter().find(|side| !Outline::SIDE.contains(side)) {
            Some(side) => Err(ShapeError::Side(side)),
            None => Ok(Self { a, b }),
        }
    }

    /// The sides of its box, A and B.
    pub const fn sides(self) -> [Length; 2] {
        [self.a, self.b]
    }

    /// Its girth in nanometres, within 0.51 nm.
    pub fn girth_nanometres(self) -> u64 {
        self.girth_at(0)
    }

    /// The girth in nanometres of the parallel curve at `step` on the radius, positive outward, within 0.51 nm.
    /// `None` inward beyond the smallest radius of curvature, where the curve has no longer the length that
    /// Steiner's formula gives ([`Outline::offset`] is right there), and outward beyond [`Outline::LARGEST_STEP`].
    pub fn offset_girth_nanometres(self, step: Length) -> Option<u64> {
        let fits =
            step <= Outline::LARGEST_STEP && -i64::from(step.milli()) <= self.tightest_bend().milli().into();
        fits.then(|| self.girth_at(step.milli()))
    }

    /// The smallest radius of curvature, rounded down to the micrometre.
    pub fn tightest_bend(self) -> Length {
        let (long, short) = (self.a.max(self.b).milli(), self.a.min(self.b).milli());
        Length::from_milli((i64::from(short) * i64::from(short) / (2 * i64::from(long))) as i32)
    }

    /// The least diameter of a blank whose middle lies `way` from that of the box, in either direction: twice the way
    /// to the farthest point of the curve, and the allowance. Rounded up to the micrometre; never more than 0.01 µm too
    /// small.
    pub fn least_blank(self, way: &Decentration, allowance: Length) -> Length {
        let fine = |length: Length| {
            i64::from(length.milli().clamp(-Length::LIMIT, Length::LIMIT).abs()) << FINE_BITS
        };
        let (across, up) = (fine(way.inward), fine(way.up));
        // Half the side in 1/1024 µm, times a sine with 30 fractional bits.
        let part = |side: Length, share: i32| {
            scale_down((i64::from(side.milli()) << (FINE_BITS - 1)) * i64::from(share), 30)
        };
        let (mut low, mut high) = (0, 90_000);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            let (sin, cos) = sin_cos(Angle::from_milli(middle));
            // Whether the distance still rises with the angle.
            let rise = part(self.b, cos) * (part(self.b, sin) + up)
                - part(self.a, sin) * (part(self.a, cos) + across);
            if rise > 0 { low = middle } else { high = middle }
        }
        let distance = |angle: i32| {
            let (sin, cos) = sin_cos(Angle::from_milli(angle));
            let (x, y) = (part(self.a, cos) + across, part(self.b, sin) + up);
            sqrt_up(x.unsigned_abs().pow(2) + y.unsigned_abs().pow(2)) as i64
        };
        least_diameter(distance(low).max(distance(high)), allowance)
    }

    /// Girth and 2π times a step in µm.
    fn girth_at(self, step: i32) -> u64 {
        // Of the series 44 fractional bits: its cut and each division lose less than 2⁻⁴⁰ of the girth together.
        let sum = i128::from(self.a.milli()) + i128::from(self.b.milli());
        let turned = sum * 500 * (self.series() >> 16) + ((i128::from(step) * 2000) << 44);
        let girth = (turned * PI + (1 << 83)) >> 84;
        girth.max(0) as u64
    }

    /// Σ cₙhⁿ with 60 fractional bits.
    fn series(self) -> i128 {
        let (a, b) = (i128::from(self.a.milli()), i128::from(self.b.milli()));
        let (part, whole) = ((a - b) * (a - b), (a + b) * (a + b));
        let mut term: i128 = 1 << 60;
        let mut sum = 0;
        let mut n = 0;
        while term > 0 {
            sum += term;
            let (odd, even) = (2 * n - 1, 2 * n + 2);
            term = term * part / whole * (odd * odd) / (even * even);
            n += 1;
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Point;
    use std::format;

    fn mm(micrometres: i32) -> Length {
        Length::from_milli(micrometres)
    }

    fn ellipse(a: i32, b: i32) -> Ellipse {
        Ellipse::new(mm(a), mm(b)).unwrap()
    }

    #[test]
    fn a_circle_has_the_girth_of_a_circle() {
        // 2π · 25 mm = 157.079632679 mm.
        let circle = ellipse(50_000, 50_000);
        assert_eq!(circle.girth_nanometres(), 157_079_633);
        assert_eq!(circle.tightest_bend(), mm(25_000));
        assert_eq!(circle.offset_girth_nanometres(mm(-25_000)), Some(0));
        assert_eq!(circle.offset_girth_nanometres(mm(-25_001)), None);
        let way = Decentration { inward: mm(-3000), up: mm(4000) };
        assert_eq!(circle.least_blank(&way, mm(2000)), mm(62_000));
    }

    #[test]
    fn a_quarter_of_a_millimetre_on_the_radius() {
        // Half axes 26 and 17.5 mm: 137.96691 mm, and 2π · 0.25 = 1.570796 mm (computed with scipy; Steiner).
        let shape = ellipse(52_000, 35_000);
        assert_eq!((shape.girth_nanometres() + 5000) / 10_000, 13_797);
        let change =
            |step| shape.offset_girth_nanometres(mm(step)).unwrap().abs_diff(shape.girth_nanometres());
        assert!(change(250).abs_diff(1_570_796) <= 1 && change(-250).abs_diff(1_570_796) <= 1);
    }

    #[test]
    fn inward_it_ends_at_the_smallest_radius_of_curvature() {
        // 17.5²/26 = 11.778846 mm.
        let shape = ellipse(35_000, 52_000);
        assert_eq!(shape.tightest_bend(), mm(11_778));
        assert!(shape.offset_girth_nanometres(mm(-11_778)).is_some());
        assert_eq!(shape.offset_girth_nanometres(mm(-11_779)), None);
        assert_eq!(shape.offset_girth_nanometres(mm(i32::MIN)), None);
        assert_eq!(shape.offset_girth_nanometres(mm(20_001)), None);
    }

    #[test]
    fn points_of_the_same_ellipse_need_the_same_blank() {
        let mut into = [Point::ORIGIN; 4000];
        for (a, b) in [(52_000, 35_000), (30_000, 46_000), (100_000, 10_000), (40_000, 40_000)] {
            let points = Outline::made(mm(a), mm(b), None, &mut into).unwrap();
            for (inward, up) in [(0, 0), (3000, 0), (0, -5000), (-4000, 2500), (12_345, 6789), (-90_000, 1)] {
                let way = Decentration { inward: mm(inward), up: mm(up) };
                let centre = points.optical_centre(crate::prescription::Eye::Right, &way);
                let (curve, chords) =
                    (ellipse(a, b).least_blank(&way, mm(0)), points.least_blank(centre, mm(0)));
                let apart = (curve - chords).milli();
                assert!((0..=2).contains(&apart), "{a} {b} {way:?}: {curve} {chords}");
            }
        }
    }

    #[test]
    fn a_box_of_no_lens_is_refused() {
        let error = Ellipse::new(mm(50_000), mm(9_999)).unwrap_err();
        assert!(format!("{error}").contains("expected A and B from 10 to 100 mm"));
    }
}
