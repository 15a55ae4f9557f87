//! A convex outline made from A, B and ED, where nobody has traced: to work by, not a measurement.
//!
//! The curve is (1 − x²/a²)(1 − y²/b²) = m² x² y²/(a² b²), with a and b half the sides of the box: symmetric,
//! convex, touching the box in the middle of its sides. m = 1 is the ellipse, m = 0 the box itself; what lies
//! between is smooth. (A squircle as M. Fernández-Guasti described in 1992: from memory, unconfirmed; what is
//! needed of it is derived here.)
//!
//! - On a ray, with u = b² cos², v = a² sin²: r² = 2a²b² / (u + v + √((u − v)² + 4m²uv)). Only roots.
//! - The longest radius R has R² = (a² + b² − 2abm)/(1 − m²), so m = (ab − √((R² − a²)(R² − b²)))/R². No search.
//!
//! Without an ED it is the ellipse. With an ED as long as the longer side it is the fullest such curve.

use super::Outline;
use crate::frame::Point;
use crate::frame::point::Direction;
use crate::maths::{scale_down, sqrt_nearest, sqrt_up};
use crate::units::Length;
use thiserror::Error;

/// Sizes or a buffer that no outline can be made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ShapeError {
    /// A or B outside [`Outline::SIDE`]: the side given.
    #[error("a side of {} mm: expected A and B from {} to {} mm", .0, Outline::SIDE.start(), Outline::SIDE.end())]
    Side(Length),
    /// Twice the longest radius of a shape is neither below its longer side nor above the diagonal of its box.
    #[error("an ED of {ed} mm: in this box expected {least} (its longer side) to {most} mm (its diagonal)")]
    Ed {
        /// The ED given.
        ed: Length,
        /// The longer side.
        least: Length,
        /// The diagonal, rounded down.
        most: Length,
    },
    /// A number of points that does not touch all four sides: not a multiple of four, or fewer than eight. The
    /// places in the buffer.
    #[error("{0} points: expected a multiple of four, from eight")]
    Points(usize),
}

impl<'a> Outline<'a> {
    /// The sides of a box of which a shape is made, 10 to 100 mm. Common practice, no source.
    pub const SIDE: core::ops::RangeInclusive<Length> =
        Length::from_milli(10_000)..=Length::from_milli(100_000);

    /// A convex outline with exactly this box and this ED, or the ellipse without an ED, at equal angles about the
    /// boxed centre, as many as `into` has places.
    ///
    /// The box of the points is A × B to the micrometre. Each radius, shown in µm, is within 0.52 µm of the curve.
    /// The longest radius of the curve is ED/2; at 360 points twice the longest radius of the points falls short by
    /// at most 7 µm when the ED stands a fifth of the way from the longer side to the diagonal, as of a usual lens,
    /// 17 µm half way and 0.12 mm at nine tenths (boxes of 40 to 60 by 25 to 60 mm).
    ///
    /// # Errors
    /// A or B is not from 10 to 100 mm, the ED is below the longer side or above the diagonal, or the number of
    /// points is not a multiple of four from eight.
    pub fn made(a: Length, b: Length, ed: Option<Length>, into: &'a mut [Point]) -> Result<Self, ShapeError> {
        let places = into.len();
        if places < Self::LEAST_POINTS || !places.is_multiple_of(4) {
            return Err(ShapeError::Points(places));
        }
        if let Some(side) = [a, b].into_iter().find(|side| !Self::SIDE.contains(side)) {
            return Err(ShapeError::Side(side));
        }
        let [width, height] = [a, b].map(|side| u64::from(side.milli().unsigned_abs()));
        let roundness = match ed {
            Some(ed) => roundness(width, height, ed)?,
            None => ROUND,
        };
        for (index, place) in into.iter_mut().enumerate() {
            let toward = Direction::of_step(index, places);
            *place = Point::along(radius(width, height, roundness, toward), toward);
        }
        Ok(Self { points: into })
    }
}

/// Fractional bits of m.
const ROUND_BITS: u32 = 28;
/// The ellipse, m = 1.
const ROUND: i64 = 1 << ROUND_BITS;

/// m of the curve in a box of `a` by `b` µm whose longest radius is ED/2.
fn roundness(a: u64, b: u64, ed: Length) -> Result<i64, ShapeError> {
    let least = Length::from_milli(a.max(b) as i32);
    let diagonal = Length::from_milli(sqrt_up(a * a + b * b) as i32);
    if ed < least || ed > diagonal {
        let most = Length::from_milli((a * a + b * b).isqrt() as i32);
        return Err(ShapeError::Ed { ed, least, most });
    }
    let ed = u64::from(ed.milli().unsigned_abs());
    // Each root with 14 fractional bits: below 2³², their product below 2⁶².
    let leg = |side: u64| sqrt_nearest((ed * ed - side * side) << ROUND_BITS);
    let (whole, less) = ((a * b) << ROUND_BITS, leg(a) * leg(b));
    Ok((whole.saturating_sub(less) / (ed * ed)) as i64)
}

/// The radius of the curve in a direction, in 1/1024 µm, `a` and `b` in µm.
fn radius(a: u64, b: u64, roundness: i64, toward: Direction) -> i64 {
    // √u and √v with 14 fractional bits: below 2³¹.
    let part = |side: u64, share: i64| scale_down(side as i64 * share.abs(), 16);
    let (level, upright) = (part(b, toward.cos), part(a, toward.sin));
    let (u, v) = (level * level, upright * upright);
    let mixed = scale_down(level * (scale_down(upright * roundness, ROUND_BITS)), 30);
    let apart = scale_down(u - v, 31);
    let root = sqrt_nearest((apart * apart + mixed * mixed) as u64) as i64;
    let sum = sqrt_nearest((u + v) as u64 + ((root as u64) << 31));
    // √2·ab/2, for a and b are whole sides here, with 24 fractional bits: 14 for the root below it, 10 for the result.
    const ROOT_OF_TWO: u64 = 1_518_500_250;
    let product = (a * b * ROOT_OF_TWO) >> 7;
    ((product + sum / 2) / sum) as i64
}
