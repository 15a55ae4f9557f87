//! The curve that a ring in space runs on: that of a rim, or of the top of a bevel round a lens.
//!
//! Fitted is z = a + b·x + c·y + κ·(x² + y² + z²)/2, places counted from their mean, with the least sum of squared
//! differences in depth. Of points of a sphere this is that sphere, however it is shifted and tilted, and a flat ring
//! is no exception. The curvature is κ/√(1 + b² + c² − 2aκ), and its power the one it has in 1.530.
//!
//! A round ring in a plane lies on spheres of every curve: the more a ring leaves the round, the better it shows its
//! own. How much it does is [`RingCurve::per_dioptre`].

use super::curve::{CLOCK_INDEX_1_530, CurveError, bend};
use super::{Place, sagitta_of};
use crate::maths::sqrt_nearest;
use crate::units::{Length, OutOfRange, Power, RefractiveIndex};
use thiserror::Error;

/// A point of a ring: its place, and how deep it lies toward the eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct RingPoint {
    /// As one faces the wearer.
    pub place: Place,
    /// Toward the eye, from any origin.
    pub depth: Length,
}

impl RingPoint {
    /// The point that lies `behind` a spherical front surface at a place, seen from its vertex. Within 0.5 µm and half of
    /// the surface's slope there.
    ///
    /// # Errors
    /// The index is 1, or the surface ends before the place.
    pub fn behind(
        front: Power,
        index: RefractiveIndex,
        place: Place,
        behind: Length,
    ) -> Result<Self, CurveError> {
        let square = |length: Length| i64::from(length.milli()).unsigned_abs().pow(2);
        let at = sqrt_nearest(square(place.x) + square(place.y));
        let at = Length::from_milli(i32::try_from(at).unwrap_or(i32::MAX));
        Ok(Self { place, depth: sagitta_of(front, index, at)? + behind })
    }
}

/// The curve of a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct RingCurve {
    /// Its power in 1.530, positive where it is hollow toward the eye. Within 0.6 × 0.001 D for curves up to 12 D.
    pub power: Power,
    /// How far the points of the ring part in depth, shift and tilt taken out, with each dioptre of 1.530; within 1 µm.
    pub per_dioptre: Length,
    /// How far the point farthest from the fitted curve lies from it in depth, within 1 µm.
    pub off: Length,
}

/// A ring that shows no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum RingError {
    /// Fewer points than [`RingCurve::POINTS`] has, or more: how many.
    #[error("{} points show no curve: {} to {}", .0, RingCurve::POINTS.start(), RingCurve::POINTS.end())]
    Points(usize),
    /// A point more than 100 mm from the origin across, up or deep.
    #[error("a point at {place} and {depth} mm deep lies outside any frame")]
    Far {
        /// Its place.
        place: Place,
        /// Its depth.
        depth: Length,
    },
    /// The shape is too round: how far its points part in depth with each dioptre.
    #[error(
        "a shape this round runs with any curve: its depths part by {} mm with each dioptre, less than {} mm",
        .0, RingCurve::LEAST_PER_DIOPTRE
    )]
    Round(Length),
    /// The curve is beyond ±100 D.
    #[error("a curve beyond ±{} D", Power::LIMIT / 1000)]
    Power(#[from] OutOfRange),
}

impl RingCurve {
    /// How many points a ring may have.
    pub const POINTS: core::ops::RangeInclusive<usize> = 8..=65_536;

    /// A ring whose depths part by less than this with each dioptre shows no curve: 0.02 mm, so that the 0.01 mm to which
    /// depths are traced are no more than half a dioptre. Common practice, no source.
    pub const LEAST_PER_DIOPTRE: Length = Length::from_milli(20);

    /// The curve of the points of a ring.
    ///
    /// # Errors
    /// Too few or too many points, one too far out, or the ring is too round.
    pub fn of(ring: impl Iterator<Item = RingPoint> + Clone) -> Result<Self, RingError> {
        let fit = Fit::of(ring.clone())?;
        let (per_dioptre, off) = fit.spread(ring);
        if per_dioptre < Self::LEAST_PER_DIOPTRE {
            return Err(RingError::Round(per_dioptre));
        }
        Ok(Self { power: fit.power()?, per_dioptre, off })
    }

    /// How far a ring of this shape and another curve part in depth from it at most, shift and tilt taken out.
    pub fn parts_from(&self, other: Power) -> Length {
        let apart = i64::from((self.power - other).abs().milli());
        Length::from_milli((apart * i64::from(self.per_dioptre.milli()) / 1000) as i32)
    }
}

/// Fractional bits of what turns x and y into squares, and of slopes.
const TURN_BITS: u32 = 20;
const SLOPE_BITS: u32 = 40;
/// Fractional bits of a curvature in 1/µm.
const CURVE_BITS: u32 = 50;

/// A point from the means, with the square of its distance from them.
#[derive(Clone, Copy)]
struct Seen {
    x: i128,
    y: i128,
    z: i128,
    w: i128,
}

/// The sphere through a ring, as far as it is worked out in whole numbers. Lengths are µm.
struct Fit {
    means: [i128; 3],
    /// Mean of w, and of z from its rounded mean, the latter with [`TURN_BITS`].
    mean_w: i128,
    mean_z: i128,
    /// What of w and of z goes with x and y.
    w_with: [i128; 2],
    z_with: [i128; 2],
    /// Half the curvature is their quotient.
    wz: i128,
    ww: i128,
}

impl Fit {
    fn of(ring: impl Iterator<Item = RingPoint> + Clone) -> Result<Self, RingError> {
        let (mut count, mut sums) = (0_usize, [0_i128; 3]);
        for RingPoint { place, depth } in ring.clone() {
            let lengths = [place.x, place.y, depth];
            if lengths.iter().any(|length| length.milli().unsigned_abs() > 100_000) {
                return Err(RingError::Far { place, depth });
            }
            count += 1;
            for (sum, length) in sums.iter_mut().zip(lengths) {
                *sum += i128::from(length.milli());
            }
        }
        if !RingCurve::POINTS.contains(&count) {
            return Err(RingError::Points(count));
        }
        let n = count as i128;
        let means = sums.map(|sum| nearest(sum, n));
        let seen = ring.map(|point| point.seen(&means));
        let sum = |of: fn(&Seen) -> i128| seen.clone().map(|point| of(&point)).sum::<i128>();
        let [x, y, z, w] = [sum(|p| p.x), sum(|p| p.y), sum(|p| p.z), sum(|p| p.w)];
        // Mean of a product less the product of the means.
        let with = |of: fn(&Seen) -> i128, one: i128, other: i128| nearest(n * sum(of) - one * other, n * n);
        let [xx, xy, yy] = [with(|p| p.x * p.x, x, x), with(|p| p.x * p.y, x, y), with(|p| p.y * p.y, y, y)];
        let [wx, wy, ww] = [with(|p| p.w * p.x, w, x), with(|p| p.w * p.y, w, y), with(|p| p.w * p.w, w, w)];
        let [zx, zy, wz] = [with(|p| p.z * p.x, z, x), with(|p| p.z * p.y, z, y), with(|p| p.w * p.z, w, z)];
        let spread = xx * yy - xy * xy;
        if spread <= 0 {
            return Err(RingError::Round(Length::ZERO));
        }
        let solved = |with_x: i128, with_y: i128, bits: u32| {
            [yy * with_x - xy * with_y, xx * with_y - xy * with_x].map(|part| nearest(part << bits, spread))
        };
        let w_with = solved(wx, wy, TURN_BITS);
        let rest = |of: i128, x: i128, y: i128| of - down(w_with[0] * x + w_with[1] * y, TURN_BITS);
        Ok(Self {
            means,
            mean_w: nearest(w, n),
            mean_z: nearest(z << TURN_BITS, n),
            w_with,
            z_with: solved(zx, zy, SLOPE_BITS),
            wz: rest(wz, zx, zy),
            ww: rest(ww, wx, wy).max(1),
        })
    }

    /// Half the curvature times `value`, with as many fractional bits as that has.
    fn bent(&self, value: i128) -> i128 {
        nearest(self.wz * value, self.ww)
    }

    fn power(&self) -> Result<Power, OutOfRange> {
        let curvature = nearest(self.wz << (CURVE_BITS + 1), self.ww);
        // 1 + b² + c² − 2aκ with 30 fractional bits; a is the mean of z less half the curvature times that of w.
        let slopes =
            [0, 1].map(|at| self.z_with[at] - self.bent(self.w_with[at] << (SLOPE_BITS - TURN_BITS)));
        let squares: i128 = slopes.iter().map(|slope| down(slope * slope, 2 * SLOPE_BITS - 30)).sum();
        let bent = down(curvature * curvature * self.mean_w, 2 * CURVE_BITS - 30);
        let lifted = down(2 * curvature * self.mean_z, CURVE_BITS + TURN_BITS - 30);
        let stretched = ((1_i128 << 30) + squares + bent - lifted).max(1);
        let root = ((stretched as u128) << 30).isqrt() as i128;
        let milli = nearest((i128::from(bend(CLOCK_INDEX_1_530)) * curvature) << 30, root);
        let milli = down(milli, CURVE_BITS).clamp(i32::MIN.into(), i32::MAX.into());
        Power::try_from(milli as i32)
    }

    /// How far the points part with each dioptre, and the farthest from the curve.
    fn spread(&self, ring: impl Iterator<Item = RingPoint>) -> (Length, Length) {
        let (mut least, mut most, mut off) = (i128::MAX, i128::MIN, 0);
        for point in ring.map(|point| point.seen(&self.means)) {
            let level = self.w_with[0] * point.x + self.w_with[1] * point.y;
            let w = point.w - self.mean_w - down(level, TURN_BITS);
            (least, most) = (least.min(w), most.max(w));
            let level = down(self.z_with[0] * point.x + self.z_with[1] * point.y, SLOPE_BITS - TURN_BITS);
            let z = (point.z << TURN_BITS) - self.mean_z - level;
            off = off.max((z - self.bent(w << TURN_BITS)).abs());
        }
        // A dioptre of 1.530 is a curvature of 1/bend, the bend being that of 1/1000 D.
        let per_dioptre = nearest((most - least) * 500, bend(CLOCK_INDEX_1_530).into());
        (micrometres(per_dioptre), micrometres(down(off, TURN_BITS)))
    }
}

impl RingPoint {
    fn seen(self, means: &[i128; 3]) -> Seen {
        let [x, y, z] = [self.place.x, self.place.y, self.depth].map(|length| i128::from(length.milli()));
        let (x, y, z) = (x - means[0], y - means[1], z - means[2]);
        Seen { x, y, z, w: x * x + y * y + z * z }
    }
}

fn micrometres(whole: i128) -> Length {
    Length::from_milli(whole.clamp(0, i32::MAX.into()) as i32)
}

/// To the nearest whole number, halves away from zero; the denominator is above zero.
const fn nearest(numerator: i128, denominator: i128) -> i128 {
    let half = denominator / 2;
    if numerator < 0 { (numerator - half) / denominator } else { (numerator + half) / denominator }
}

/// Without so many fractional bits, to the nearest.
const fn down(value: i128, bits: u32) -> i128 {
    nearest(value, 1 << bits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::maths::sin_cos;
    use crate::units::Angle;
    use std::vec::Vec;

    /// A ring in the front surface of a lens of 1.530: half as wide and half as high as said, in mm, `up` from its vertex.
    fn ring(power: i32, wide: i64, high: i64, up: i64) -> Vec<RingPoint> {
        let point = |degrees: i16| {
            let (sin, cos) = sin_cos(Angle::from_degrees(degrees));
            let part = |half: i64, part: i32| ((half * 1000 * i64::from(part)) >> 30) as i32;
            let [x, y] = [part(wide, cos), part(high, sin) + up as i32 * 1000].map(Length::from_milli);
            let behind = Length::from_milli(1000);
            RingPoint::behind(Power::from_milli(power), CLOCK_INDEX_1_530, Place::new(x, y), behind).unwrap()
        };
        (0..360).map(point).collect()
    }

    fn curve(ring: &[RingPoint]) -> Result<RingCurve, RingError> {
        RingCurve::of(ring.iter().copied())
    }

    #[test]
    fn a_ring_on_a_surface_has_its_curve_wherever_it_lies() {
        for (power, up) in [(6000, 0), (6000, 5), (0, 0), (-2000, 3), (11_000, -4)] {
            let found = curve(&ring(power, 26, 19, up)).unwrap();
            // Depths are whole µm: 0.5 µm of 200 and more with each dioptre.
            assert!((found.power.milli() - power).abs() <= 3, "{power} {up}: {found:?}");
            assert!(found.off.milli() <= 1, "{found:?}");
            // (26² − 19²)/(2 · 530) mm with each dioptre, and a little more where the ring itself is deep.
            assert!((297..=310).contains(&found.per_dioptre.milli()), "{found:?}");
        }
    }

    #[test]
    fn a_curve_part_way_between_two_surfaces_lies_between_theirs() {
        let [flat, steep] = [4000, 8000].map(|power| ring(power, 25, 18, 0));
        let half = |(one, other): (&RingPoint, &RingPoint)| {
            let depth = Length::from_milli((one.depth + other.depth).milli() / 2);
            RingPoint { depth, ..*one }
        };
        let between = RingCurve::of(flat.iter().zip(&steep).map(half)).unwrap();
        // A middle of two spheres is no sphere, but hardly off one.
        assert!((between.power.milli() - 6000).abs() < 100 && between.off.milli() < 20, "{between:?}");
        assert_eq!(
            between.parts_from(between.power + Power::from_milli(2000)).milli(),
            2 * between.per_dioptre.milli()
        );
    }

    #[test]
    fn a_round_ring_shows_no_curve() {
        assert!(matches!(curve(&ring(6000, 25, 25, 0)), Err(RingError::Round(_))));
        assert!(curve(&ring(6000, 25, 22, 0)).is_ok());
    }

    #[test]
    fn what_is_no_ring_is_refused() {
        let good = ring(6000, 25, 20, 0);
        assert_eq!(curve(&good[..7]), Err(RingError::Points(7)));
        let mut far = good.clone();
        far[5].depth = Length::from_milli(100_001);
        assert!(matches!(curve(&far), Err(RingError::Far { .. })));
        let line: Vec<RingPoint> = good
            .iter()
            .map(|point| RingPoint { place: Place::new(point.place.x, Length::ZERO), ..*point })
            .collect();
        assert_eq!(curve(&line), Err(RingError::Round(Length::ZERO)));
    }
}
