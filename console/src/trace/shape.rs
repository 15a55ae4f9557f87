//! The shape of a lens, as points.

use bevelbook_core::frame::{Outline, OutlineError, Point};
use bevelbook_core::lens::{Place, RingPoint};
use bevelbook_core::units::Length;

/// The shape of one eye.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Its points, anticlockwise from the viewer's right as one faces the wearer, from the origin of the trace.
    pub points: Vec<Point>,
    /// Depths toward the viewer at equal angles from 0°, with a count of their own, where the record has them so.
    pub depths: Option<Vec<Length>>,
    /// Whether it is the mirror of the other eye's, which alone was traced.
    pub mirrored: bool,
}

impl Shape {
    /// The outline through the points.
    ///
    /// # Errors
    /// As [`Outline::new`]; those of a [`Trace`](super::Trace) that was read have been tried.
    pub fn outline(&self) -> Result<Outline<'_>, OutlineError> {
        Outline::new(&self.points)
    }

    /// The points in space with depths toward the eye, where the record has depths: those count toward the viewer (from
    /// memory, unconfirmed).
    pub fn in_space(&self) -> Option<Vec<RingPoint>> {
        let (outline, depths) = (self.outline().ok()?, self.depths.as_deref()?);
        let ring = outline.with_ring(depths);
        Some(ring.map(|(at, depth)| RingPoint { place: Place::new(at.x(), at.y()), depth: -depth }).collect())
    }

    /// The girth with the depths of the record.
    pub fn girth_in_space(&self) -> Option<Length> {
        self.outline().ok()?.girth_with_ring(self.depths.as_deref()?)
    }
}
