//! The shape of a lens, as points.

use bevelbook_core::frame::{Outline, OutlineError, Point};
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
}
