//! A segment in its frame, and the blank that it comes in about it.
//!
//! The middle of the segment's top goes to the segment height and the near inset: there is nothing else to choose. What the
//! maker put where in the blank (the shop's settings) then says where the blank's middle and the optical centre come to lie.
//! One that goes across the whole lens has a height only: its optical centre goes before the pupil.

use super::Given;
use super::shape::millimetres;
use crate::desk::{Order, Segment, SegmentShape};
use crate::settings::{SegmentBlanks, Settings};
use bevelbook_core::frame::{
    Decentration, FrameSize, SegmentOutline, segment_drop, segment_inset, segment_place,
};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;

/// How much closer in an eye looks through its lens for near, and where that is from: the order's near PD, else the shop's
/// settings.
pub(super) fn near_inset(order: &Order, shop: &Settings, eye: Eye) -> (Length, Given) {
    match order.near_pd {
        Some(near) => (segment_inset(order.far_pd, near, eye), Given::Ordered),
        None => (shop.reading.inset, Given::Taken),
    }
}

/// The segment of one lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SegmentPlan {
    /// What is ordered; none where the order says only that there is one.
    pub ordered: Option<Segment>,
    /// How far its top lies above the horizontal through the boxed centre, negative below; none without a height.
    pub drop: Option<Length>,
    /// How far it is set in from the distance PD, and where that is from.
    pub inset: (Length, Given),
    /// How far it is set in from the boxed centre.
    pub from_box: Length,
    /// Where the lens comes to lie about it; none without a shape or a height.
    pub placed: Option<PlacedSegment>,
}

/// A segment in its place. Every place is seen from the boxed centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlacedSegment {
    /// The middle of its top.
    pub top: Decentration,
    /// Its outline; none where it goes across the whole lens.
    pub outline: Option<SegmentOutline>,
    /// Where the blank's middle comes to lie.
    pub middle: Decentration,
    /// Where the optical centre for distance falls.
    pub distance_centre: Decentration,
    /// Where the segment's own optical centre falls.
    pub own_centre: Decentration,
}

impl SegmentPlan {
    /// Of a multifocal.
    pub(super) fn of(order: &Order, shop: &Settings, size: &FrameSize, eye: Eye) -> Option<Self> {
        if order.lens.design != Design::Multifocal {
            return None;
        }
        let (ordered, height) = (order.lens.segment, order.height(eye));
        let pd = order.frame.along_front(order.far_pd.of(eye));
        let inset = match ordered {
            Some(Segment { shape: SegmentShape::FullWidth, .. }) => (Length::ZERO, Given::Ordered),
            _ => near_inset(order, shop, eye),
        };
        let place = |height| segment_place(size, pd, inset.0, height);
        Some(Self {
            ordered,
            drop: height.map(|height| segment_drop(size.b, height)),
            inset,
            from_box: place(Length::ZERO).inward,
            placed: ordered
                .zip(height)
                .map(|(segment, height)| place_in_blank(segment, &shop.segment, place(height))),
        })
    }
}

fn place_in_blank(segment: Segment, shop: &SegmentBlanks, top: Decentration) -> PlacedSegment {
    let width = segment.width.unwrap_or(Length::ZERO);
    let (table, across) = match segment.shape {
        SegmentShape::Round => (shop.round, false),
        SegmentShape::FlatTop => (shop.flat_top, false),
        SegmentShape::FullWidth => (shop.full_width, true),
    };
    let blank = table.of(width);
    PlacedSegment {
        top,
        outline: (!across).then(|| SegmentOutline::of(width, blank.own_centre_below)),
        middle: blank.middle(&top),
        distance_centre: blank.distance_centre(&top),
        own_centre: blank.own_centre(&top),
    }
}

impl PlacedSegment {
    /// Its outline from one end of the top round below to the other, in millimetres inward and up from the boxed centre:
    /// for drawing. None where it goes across the whole lens.
    pub fn drawn(&self) -> Option<impl Iterator<Item = (f64, f64)>> {
        const STEPS: u32 = 120;
        let outline = self.outline?;
        let [radius, below, half] = [outline.radius, outline.centre_below, outline.half_top].map(millimetres);
        let (inward, up) = (millimetres(self.top.inward), millimetres(self.top.up) - below);
        let start = below.atan2(half);
        let sweep = std::f64::consts::PI + 2.0 * start;
        Some((0..=STEPS).map(move |step| {
            let (sin, cos) = (start - sweep * f64::from(step) / f64::from(STEPS)).sin_cos();
            (inward + radius * cos, up + radius * sin)
        }))
    }

    /// Whether an eye that looks through this place looks through the segment.
    pub(super) fn holds(&self, place: &Decentration) -> bool {
        let way = |from: &Decentration| (place.inward - from.inward, place.up - from.up);
        let below_top = way(&self.top).1 <= Length::ZERO;
        let in_disc = |outline: &SegmentOutline| {
            let (inward, up) = (way(&self.top).0, way(&self.top).1 + outline.centre_below);
            let square = |length: Length| i64::from(length.milli()).pow(2);
            square(inward) + square(up) <= square(outline.radius)
        };
        below_top && self.outline.as_ref().is_none_or(in_disc)
    }
}
