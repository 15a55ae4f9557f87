//! The girth of a rim in space. A rim bows, so that it is longer than its shape in the plane; the two are never mixed.
//!
//! It is that of the depths of its trace. Where there are none, the shape is taken to lie on a sphere: on the curve of the rim
//! about the boxed centre, where the order says one, else on the front curve of the lens about its vertex.

use super::shape::Shape;
use crate::desk::Order;
use bevelbook_core::frame::Point;
use bevelbook_core::lens::{BaseCurve, girth_on_curve};
use bevelbook_core::units::{Length, Power};

/// What a girth in space goes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpaceBy {
    /// The depths of the trace.
    Depths,
    /// The ordered curve of the rim, as a power in 1.530.
    Rim(Power),
    /// The front curve of the lens, likewise.
    Front(Power),
}

/// A girth in space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpaceGirth {
    /// The closed chords.
    pub girth: Length,
    /// What it goes by.
    pub by: SpaceBy,
}

impl SpaceGirth {
    /// Of a shape; `front` is the curve of the lens and where its vertex lies. None where no curve is known or reaches
    /// round the shape.
    pub(super) fn of(order: &Order, shape: &Shape, front: Option<(&BaseCurve, Point)>) -> Option<Self> {
        if let Some(girth) = shape.girth_in_space {
            return Some(Self { girth, by: SpaceBy::Depths });
        }
        let (by, power, vertex) = match (order.frame.curve, front) {
            (Some(rim), _) => (SpaceBy::Rim(rim), rim, shape.boxed.centre),
            (None, Some((front, vertex))) => (SpaceBy::Front(front.nominal), front.nominal, vertex),
            (None, None) => return None,
        };
        Some(Self { girth: girth_on_curve(&shape.outline().ok()?, power, vertex).ok()?, by })
    }
}
