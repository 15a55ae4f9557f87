//! The outline of a lens: points round it, anticlockwise as one faces the wearer.
//!
//! The points are joined by straight chords and everything said here is true of that polygon; a true curve bulges
//! beyond a chord c by c²/8ρ where its radius of curvature is ρ: 0.1 mm for 36 points, 0.1 µm for 1000. Angles
//! start at the viewer's right for both eyes (ISO 8429): nasal for the right eye, temporal for the left one.
//!
//! Points lie in a buffer of the caller, as many as the caller likes from [`Outline::LEAST_POINTS`]. They go once
//! round the origin of the trace, each farther anticlockwise than the one before.
//!
//! - `made`: a shape from A, B and ED, where nobody has traced.
//! - `boxed`: the box, its centre, the effective diameter, the two low corners.
//! - `girth`: girth, area, longest diameter.
//! - `curvature`: the tightest bend.
//! - `offset`: the parallel curve.
//! - `cover`: the blank that the outline is cut from.

mod boxed;
mod cover;
mod curvature;
mod girth;
mod made;
mod offset;

pub use boxed::{Boxed, LowCorners};
pub use cover::Cover;
pub(super) use cover::least_diameter;
pub use curvature::Bend;
pub use made::ShapeError;
pub use offset::OffsetError;

use super::point::{Direction, FINE_BITS};
use super::{Decentration, Point};
use crate::prescription::Eye;
use crate::units::{Angle, Length};
use thiserror::Error;

/// A closed outline in points of the caller's buffer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outline<'a> {
    points: &'a [Point],
}

/// Points that make no outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum OutlineError {
    /// Fewer points than an outline needs: how many.
    #[error("{} points make no outline: at least {}", .0, Outline::LEAST_POINTS)]
    Few(usize),
    /// The buffer does not have one place for each point.
    #[error("{points} points for {places} places")]
    Buffer {
        /// Points given.
        points: usize,
        /// Places in the buffer.
        places: usize,
    },
    /// A radius outside [`Outline::RADIUS`], or a place as far out.
    #[error("radius {radius} mm at point {}: expected {} to {} mm", .point + 1, Outline::RADIUS.start(), Outline::RADIUS.end())]
    Radius {
        /// The point, from 0.
        point: usize,
        /// The radius found.
        radius: Length,
    },
    /// A point, from 0, that does not lie anticlockwise of the one before it, less than half a turn.
    #[error("point {} does not lie anticlockwise of the one before it", .0 + 1)]
    Turn(usize),
    /// The points do not go round once, but so often.
    #[error("the points go round {0} times, not once")]
    Turns(usize),
}

impl<'a> Outline<'a> {
    /// The fewest points of an outline.
    pub const LEAST_POINTS: usize = 8;

    /// The radii that are taken for those of a lens, 1 to 100 mm. Common practice, no source: wide enough for every
    /// lens, narrow enough to catch another unit.
    pub const RADIUS: core::ops::RangeInclusive<Length> =
        Length::from_milli(1000)..=Length::from_milli(100_000);

    /// From points that go once round the origin, anticlockwise.
    ///
    /// # Errors
    /// Too few points, one farther than 100 mm, one not anticlockwise of the one before, or not one round.
    pub fn new(points: &'a [Point]) -> Result<Self, OutlineError> {
        if points.len() < Self::LEAST_POINTS {
            return Err(OutlineError::Few(points.len()));
        }
        let outline = Self { points };
        let mut turns = 0;
        for (index, (here, next)) in outline.chords().enumerate() {
            if here.radius() > *Self::RADIUS.end() {
                return Err(OutlineError::Radius { point: index, radius: here.radius() });
            }
            if here.cross(next) <= 0 {
                return Err(OutlineError::Turn((index + 1) % points.len()));
            }
            turns += usize::from(here.fine().1 < 0 && next.fine().1 >= 0);
        }
        if turns == 1 { Ok(outline) } else { Err(OutlineError::Turns(turns)) }
    }

    /// From as many radii as `into` has places, at equal angles from 0°. Each place is within 0.001 µm.
    ///
    /// # Errors
    /// The counts differ, a radius lies outside [`Outline::RADIUS`], or as [`Outline::new`].
    pub fn from_radii(
        radii: impl IntoIterator<Item = Length>,
        into: &'a mut [Point],
    ) -> Result<Self, OutlineError> {
        let steps = into.len();
        Self::fill(radii.into_iter().enumerate().map(|(step, radius)| (radius, step)), into, |step| {
            Direction::of_step(step, steps)
        })
    }

    /// From radii with an angle each, growing from point to point.
    ///
    /// # Errors
    /// As [`Outline::from_radii`].
    pub fn from_polar(
        radii: impl IntoIterator<Item = (Length, Angle)>,
        into: &'a mut [Point],
    ) -> Result<Self, OutlineError> {
        Self::fill(radii.into_iter(), into, Direction::of)
    }

    fn fill<A>(
        radii: impl Iterator<Item = (Length, A)>,
        into: &'a mut [Point],
        direction: impl Fn(A) -> Direction,
    ) -> Result<Self, OutlineError> {
        let mut points = 0;
        for (radius, angle) in radii {
            if !Self::RADIUS.contains(&radius) {
                return Err(OutlineError::Radius { point: points, radius });
            }
            if let Some(place) = into.get_mut(points) {
                *place = Point::along(i64::from(radius.milli()) << FINE_BITS, direction(angle));
            }
            points += 1;
        }
        if points != into.len() {
            return Err(OutlineError::Buffer { points, places: into.len() });
        }
        Self::new(into)
    }

    /// The outline of the other eye: this one in a mirror about the vertical, radius(θ) = other radius(180° − θ).
    ///
    /// The points stay anticlockwise and start at the one nearest above 0°: with an even number at equal angles
    /// from 0° the mirrored ones lie at the same angles. Exact.
    ///
    /// # Errors
    /// The buffer does not have one place for each point.
    pub fn mirror<'b>(&self, into: &'b mut [Point]) -> Result<Outline<'b>, OutlineError> {
        let (points, places) = (self.points.len(), into.len());
        if points != places {
            return Err(OutlineError::Buffer { points, places });
        }
        for (place, point) in into.iter_mut().zip(self.points.iter().rev()) {
            *place = point.mirrored();
        }
        // The first at or above 0°: behind the only step from below it.
        let before = |at: usize| into[(at + places - 1) % places].fine().1 < 0;
        let first = (0..places).find(|&at| into[at].fine().1 >= 0 && before(at)).unwrap_or(0);
        into.rotate_left(first);
        Outline::new(into)
    }

    /// Its points.
    pub const fn points(&self) -> &'a [Point] {
        self.points
    }

    /// The radii from the origin in the order of the points, each within 0.501 µm.
    pub fn radii(&self) -> impl ExactSizeIterator<Item = Length> + 'a {
        self.points.iter().map(|point| point.radius())
    }

    /// Where the optical centre sits: `way` from the boxed centre, inward being 0° for the right eye and 180° for
    /// the left one.
    pub fn optical_centre(&self, eye: Eye, way: &Decentration) -> Point {
        let inward = match eye {
            Eye::Right => way.inward,
            Eye::Left => Length::from_milli(way.inward.milli().saturating_neg()),
        };
        let (x, y) = self.boxed().centre.fine();
        let (inward, up) = Point::new(inward, way.up).fine();
        Point::from_fine(x + inward, y + up)
    }

    /// Each point with the next one, the last with the first.
    pub(super) fn chords(&self) -> impl Iterator<Item = (Point, Point)> + 'a {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(|(here, next)| (*here, *next))
    }
}

#[cfg(test)]
mod tests;
