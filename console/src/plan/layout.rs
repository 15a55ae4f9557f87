//! Where a lens is laid out in its frame: by which of its points, what it is blocked on, and where the blank's middle comes
//! to lie.
//!
//! - Single vision is laid out by its optical centre, with prescribed prism by the dot at which a focimeter shows that
//!   prism. It goes before the pupil, and is the middle of the blank.
//! - A progressive is laid out by its engravings: its fitting cross goes before the pupil and has no optical meaning. Below
//!   it, by the design, lies the prism reference point, where its prism is read and near which the middle of its blank is
//!   (public note of a trade article of 1998 on prism thinning; the middle is common practice, no source).
//! - A multifocal is laid out by its segment; where its blank was made so, its optical centre and its middle follow.

use super::SegmentPlan;
use crate::desk::Order;
use crate::settings::Settings;
use bevelbook_core::frame::{Decentration, FrameSize};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;
use serde::Serialize;

/// What a lens is laid out by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LaidOutBy {
    /// Its optical centre.
    OpticalCentre,
    /// The dot at which a focimeter shows its prism.
    PrismDot,
    /// Its segment.
    Segment,
    /// Its engravings and the fitting cross that they give.
    FittingCross,
}

impl LaidOutBy {
    /// What the lens is blocked on, in at most 30 columns. A progressive may carry a mark of its own for that.
    #[must_use]
    pub const fn blocked_on(self) -> &'static str {
        match self {
            Self::OpticalCentre => "the optical centre",
            Self::PrismDot => "the dot with the prism",
            Self::Segment => "the segment, level",
            Self::FittingCross => "the fitting cross, or its mark",
        }
    }
}

/// Where one lens is laid out. Every place is seen from the boxed centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LensLayout {
    /// What it is laid out by.
    pub by: LaidOutBy,
    /// The height by which its point goes before the pupil; without one that lies on the horizontal through the boxed
    /// centre.
    pub height: Option<Length>,
    /// The point that goes before the pupil: the optical centre, the dot with the prescribed prism, the fitting cross.
    pub at_pupil: Decentration,
    /// Where its prism is read.
    pub reference: Decentration,
    /// Where the blank's middle comes to lie.
    pub middle: Decentration,
    /// The segment, where it has one.
    pub segment: Option<SegmentPlan>,
}

impl LensLayout {
    /// Where the dot is spotted: before the pupil, or where a segment lets the optical centre fall.
    #[must_use]
    pub fn dot(&self) -> Decentration {
        if self.segment.is_some() { self.reference } else { self.at_pupil }
    }

    /// What the lens is put in place by: the middle of its segment's top, else what goes before the pupil.
    #[must_use]
    pub fn measured_to(&self) -> Decentration {
        self.segment.map_or(self.at_pupil, |segment| Decentration {
            inward: segment.from_box,
            up: segment.drop.unwrap_or_default(),
        })
    }

    pub(super) fn of(order: &Order, settings: &Settings, size: &FrameSize, eye: Eye) -> Self {
        let multifocal = order.lens.design == Design::Multifocal;
        // A segment's height places the segment: the distance part is centred level with the box.
        let height = if multifocal { None } else { order.height(eye) };
        let at_pupil = Decentration::of(size, order.frame.along_front(order.pd().of(eye)), height);
        let below = match (order.lens.design, order.lens.reference_below) {
            (Design::Progressive, below) => below.unwrap_or(settings.progressive.reference_below),
            _ => Length::ZERO,
        };
        let reference = Decentration { up: at_pupil.up - below, ..at_pupil };
        let by = match order.lens.design {
            Design::Progressive => LaidOutBy::FittingCross,
            Design::Multifocal => LaidOutBy::Segment,
            Design::SingleVision if order.expected(eye).prism.is_none() => LaidOutBy::OpticalCentre,
            Design::SingleVision => LaidOutBy::PrismDot,
        };
        let segment = SegmentPlan::of(order, settings, size, eye);
        let placed = segment.and_then(|segment| segment.placed);
        let (reference, middle) =
            placed.map_or((reference, reference), |placed| (placed.distance_centre, placed.middle));
        Self { by, height, at_pupil, reference, middle, segment }
    }
}
