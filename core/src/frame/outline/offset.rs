//! The parallel curve of an outline.
//!
//! Outward it is the edge of everything within the step of the outline, inward the edge of what is left when
//! everything within the step of it is taken away. It is found on rays from the origin: each chord with the step
//! round it is a strip with round ends, and the ray leaves the last strip (outward) or enters the first (inward).
//! So a corner rounder than the step closes up as it does under a wheel, without loops.
//!
//! Seen from the origin the outward curve has one place on each ray. Inward, what hides behind a narrow waist is
//! left out.

use super::{Outline, OutlineError};
use crate::frame::Point;
use crate::frame::point::{Direction, FINE_BITS, micrometres};
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::units::Length;
use thiserror::Error;

/// A parallel curve that cannot be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum OffsetError {
    /// A step inward that leaves nothing round the origin.
    #[error("a step of {step} mm leaves nothing: the outline comes within {room} mm of its origin")]
    Vanishes {
        /// The step asked for, negative inward.
        step: Length,
        /// How far the outline comes to the origin.
        room: Length,
    },
    /// A step outward beyond [`Outline::LARGEST_STEP`]: the step asked for.
    #[error("a step of {} mm: expected at most {} mm", .0, Outline::LARGEST_STEP)]
    Wide(Length),
    /// The points on the new curve make no outline.
    #[error("{0}")]
    Outline(OutlineError),
}

impl Outline<'_> {
    /// The largest step outward. Common practice, no source: no cut is made so far outside a shape.
    pub const LARGEST_STEP: Length = Length::from_milli(20_000);

    /// The parallel curve at `step` on the radius, positive outward, as points at equal angles, as many as `into`
    /// has places. Each radius, shown in µm, is within 0.55 µm of the parallel curve of the chords.
    ///
    /// Right at any curvature. Cost: rays times chords.
    ///
    /// # Errors
    /// Inward, the step reaches the origin; outward, it is above 20 mm; or the curve makes no outline.
    pub fn offset<'b>(&self, step: Length, into: &'b mut [Point]) -> Result<Outline<'b>, OffsetError> {
        if step > Self::LARGEST_STEP {
            return Err(OffsetError::Wide(step));
        }
        let fine = i64::from(step.milli()) << FINE_BITS;
        let room = self.chords().map(|(here, next)| nearness(here, next)).min().unwrap_or(0);
        if fine <= -room {
            return Err(OffsetError::Vanishes { step, room: micrometres(room) });
        }
        let steps = into.len();
        for (index, place) in into.iter_mut().enumerate() {
            let toward = Direction::of_step(index, steps);
            *place = Point::along(self.crossing(toward, fine), toward);
        }
        Outline::new(into).map_err(OffsetError::Outline)
    }

    /// Where the ray crosses the parallel curve, in 1/1024 µm.
    fn crossing(&self, toward: Direction, step: i64) -> i64 {
        let Some(last) = self.points.last() else { return 0 };
        let mut before = toward.turn(*last);
        let mut found: Option<i64> = None;
        for point in self.points {
            let here = toward.turn(*point);
            for ahead in [round_end(here, step), side(before, here, step)].into_iter().flatten() {
                if ahead > 0 {
                    let kept = if step < 0 { i64::min } else { i64::max };
                    found = Some(found.map_or(ahead, |found| kept(found, ahead)));
                }
            }
            before = here;
        }
        found.unwrap_or(0)
    }
}

/// Where the ray crosses the circle of the step round a point: the far side outward, the near one inward. The
/// point is given as how far it lies ahead and to the left.
fn round_end((ahead, left): (i64, i64), step: i64) -> Option<i64> {
    if left.abs() > step.abs() {
        return None;
    }
    let half = sqrt_nearest((step * step - left * left) as u64) as i64;
    Some(if step < 0 { ahead - half } else { ahead + half })
}

/// Where the ray crosses the chord moved out by the step; outward is to the chord's right.
fn side(from: (i64, i64), to: (i64, i64), step: i64) -> Option<i64> {
    let near = |left: i64| left.abs() <= step.abs();
    if (from.1 > 0) == (to.1 > 0) && !near(from.1) && !near(to.1) {
        return None;
    }
    let (along, across) = (to.0 - from.0, to.1 - from.1);
    let length = sqrt_nearest((along * along + across * across) as u64) as i64;
    if length == 0 {
        return None;
    }
    let (out_ahead, out_left) =
        (divide_nearest(step * across, length), -divide_nearest(step * along, length));
    let (ahead, left, left_to) = (from.0 + out_ahead, from.1 + out_left, to.1 + out_left);
    // The left side of a ray comes after its right side: only such a chord faces the origin with its inside.
    if left > 0 || left_to <= 0 {
        return None;
    }
    Some(ahead + divide_nearest(along * -left, across))
}

/// How near the chord comes to the origin, in 1/1024 µm.
fn nearness(here: Point, next: Point) -> i64 {
    let chord = next.less(here);
    let ahead = |point: Point| {
        let ((x, y), (along, up)) = (point.fine(), chord.fine());
        x * along + y * up
    };
    let distance = |point: Point| point.square_from(Point::ORIGIN).isqrt() as i64;
    if ahead(here) < 0 && ahead(next) > 0 {
        here.cross(next) / (distance(chord).max(1))
    } else {
        distance(here).min(distance(next))
    }
}
