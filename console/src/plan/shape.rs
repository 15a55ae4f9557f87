//! The shape of a lens: that of the frame's trace, else one made from A, B and ED.

use super::bevel_curve::RimCurve;
use super::error::PlanError;
use crate::desk::Order;
use crate::trace::{StatedGirth, Trace};
use bevelbook_core::frame::{Boxed, FrameSize, Outline, OutlineError, Point};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use serde::Serialize;

/// Where a shape is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum ShapeFrom {
    /// The eye's own trace.
    #[serde(rename = "trace")]
    Trace,
    /// The mirror of the other eye's trace.
    #[serde(rename = "other eye's trace, mirrored")]
    OtherTrace,
    /// Made from A, B and ED; nobody traced.
    #[serde(rename = "A, B and ED")]
    Sizes,
    /// The ellipse of A and B; nobody traced or gave an ED.
    #[serde(rename = "A and B")]
    Ellipse,
}

impl ShapeFrom {
    /// In at most 30 columns.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Trace => "traced",
            Self::OtherTrace => "other eye's trace, mirrored",
            Self::Sizes => "estimated from A, B, ED",
            Self::Ellipse => "estimated from A, B",
        }
    }

    /// Whether it was traced.
    #[must_use]
    pub const fn is_traced(self) -> bool {
        matches!(self, Self::Trace | Self::OtherTrace)
    }
}

/// Millimetres as a decimal number: for drawing.
#[must_use]
pub fn millimetres(length: Length) -> f64 {
    f64::from(length.milli()) / 1000.0
}

/// The shape of one lens.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Where it is from.
    pub from: ShapeFrom,
    points: Vec<Point>,
    /// Its box.
    pub boxed: Boxed,
    /// The boxed sizes by which the lens is centred: those of a trace, else those ordered.
    pub size: FrameSize,
    /// The closed chords of its points.
    pub girth: Length,
    /// The closed chords in space, where the trace has depths.
    pub girth_in_space: Option<Length>,
    /// The CIRC of the record beside its girths.
    pub stated: Option<StatedGirth>,
    /// The curve of the rim.
    pub rim: RimCurve,
}

impl Shape {
    /// Points of a made shape: with one every degree the chords lie within 0.004 mm of a curve of lens size that bends
    /// no tighter than 8 mm.
    const POINTS: usize = 360;

    pub(super) fn of(order: &Order, trace: Option<&Trace>, eye: Eye) -> Result<Self, PlanError> {
        let wrong = |why: String| PlanError::Shape { eye, why };
        let no_outline = |error: OutlineError| wrong(error.to_string());
        let size = order.frame.size;
        if let Some(trace) = trace {
            let traced = trace.shape(eye);
            let (points, outline) = (traced.points.clone(), traced.outline().map_err(no_outline)?);
            let (boxed, girth) = (outline.boxed(), outline.girth());
            let from = if traced.mirrored { ShapeFrom::OtherTrace } else { ShapeFrom::Trace };
            let stated = trace.stated_girth(eye).map_err(no_outline)?;
            let (girth_in_space, rim) = (traced.girth_in_space(), RimCurve::of(order, Some(traced)));
            let size = boxed.size(size.dbl);
            return Ok(Self { from, points, boxed, size, girth, girth_in_space, stated, rim });
        }
        let mut points = vec![Point::ORIGIN; Self::POINTS];
        let outline =
            Outline::made(size.a, size.b, size.ed, &mut points).map_err(|error| wrong(error.to_string()))?;
        let (boxed, girth) = (outline.boxed(), outline.girth());
        let from = if size.ed.is_some() { ShapeFrom::Sizes } else { ShapeFrom::Ellipse };
        let rim = RimCurve::of(order, None);
        Ok(Self { from, points, boxed, size, girth, girth_in_space: None, stated: None, rim })
    }

    /// Its outline.
    ///
    /// # Errors
    /// None that a shape of a plan has: it was made from one.
    pub fn outline(&self) -> Result<Outline<'_>, OutlineError> {
        Outline::new(&self.points)
    }

    /// Its points from the boxed centre, in millimetres: for drawing.
    pub fn drawn(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let centre = self.boxed.centre;
        self.points
            .iter()
            .map(move |point| (millimetres(point.x() - centre.x()), millimetres(point.y() - centre.y())))
    }
}
