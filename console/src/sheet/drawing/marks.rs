//! What a lens is laid out by, as it is seen on it.
//!
//! - Single vision: three dots on the 180 line, the middle one before the pupil.
//! - Multifocal: its segment, and the dot where the optical centre falls.
//! - Progressive: two engravings on a level line, the fitting cross above their middle, and where power, addition and prism
//!   are read.

use super::super::pen::{Point, circle, cross, dot, line, polygon, text};
use super::super::words::typeset;
use crate::plan::{EyePlan, LaidOutBy, PlacedSegment, millimetres};
use crate::view::Figure;
use maud::{Markup, html};

/// From the centre dot to each outer dot. From memory, unconfirmed; instruments differ, and only the line that the
/// three dots make matters.
const OUTER_DOT: f64 = 16.0;
/// Half the length of the line that stands for the top of a segment whose width is not known.
const HALF_SEGMENT: f64 = 11.0;
/// From the middle between the engravings of a progressive to each of them: they are 34 mm apart, symmetric about the
/// vertical through the fitting cross (ISO 8980-2, from memory, unconfirmed); that the line between them is level with the
/// prism reference point is from memory too.
const ENGRAVING: f64 = 17.0;
/// The middles of the distance and of the near circle above the fitting cross, and their radius. From memory, unconfirmed:
/// every design has places of its own, and the drawing only says which is read in which.
const DISTANCE_UP: f64 = 4.0;
const NEAR_UP: f64 = -14.0;
const CIRCLE: f64 = 3.5;
/// Where the arrow toward the base of a prism begins and ends, from where prism is read.
const BASE: (f64, f64) = (1.4, 4.4);

/// The marks of one lens, in millimetres from the boxed centre.
pub(super) struct Marks<'a> {
    plan: &'a EyePlan,
    /// +1 where the nose is at the viewer's right, −1 where it is at the left.
    nose: f64,
    /// The dot, or the fitting cross.
    pub(super) dot: Point,
    /// Where prism is read.
    reference: Point,
    /// The middle of a segment's top.
    segment: Option<Point>,
}

impl<'a> Marks<'a> {
    pub(super) fn of(plan: &'a EyePlan, nose: f64) -> Self {
        let layout = &plan.layout;
        let at = |inward, up| (nose * millimetres(inward), millimetres(up));
        let [dot, reference] = [layout.dot(), layout.reference].map(|place| at(place.inward, place.up));
        let segment = layout.segment.and_then(|segment| Some(at(segment.from_box, segment.drop?)));
        Self { plan, nose, dot, reference, segment }
    }

    const fn by(&self) -> LaidOutBy {
        self.plan.layout.by
    }

    /// Through which point the axis of the cylinder is drawn: where its power is read.
    pub(super) fn power_read_at(&self) -> Point {
        match self.by() {
            LaidOutBy::FittingCross => (self.dot.0, self.dot.1 + DISTANCE_UP),
            _ => self.dot,
        }
    }

    /// The height of the line that is set level.
    pub(super) const fn level(&self) -> f64 {
        match self.by() {
            LaidOutBy::FittingCross => self.reference.1,
            _ => self.dot.1,
        }
    }

    /// How far below the boxed centre the measure across is drawn at least, so that nothing lies under it.
    pub(super) const fn measure_below(&self) -> f64 {
        match self.by() {
            LaidOutBy::FittingCross => 8.0,
            _ => 6.0,
        }
    }

    /// All of them.
    pub(super) fn drawn(&self) -> Markup {
        html! {
            (self.base())
            @if self.by() == LaidOutBy::FittingCross { (self.engraved()) } @else { (self.dotted()) }
        }
    }

    /// An arrow from where prism is read toward its base with the prism at its tip, if there is any.
    fn base(&self) -> Markup {
        let prism = self.plan.prism;
        let way = (self.nose * f64::from(prism.base_in.milli()), f64::from(prism.base_up.milli()));
        let size = way.0.hypot(way.1);
        let (x, y) = (way.0 / size, way.1 / size);
        let from = if self.by() == LaidOutBy::FittingCross { self.reference } else { self.dot };
        // So far along the arrow, and so far to its left.
        let at = |along: f64, left: f64| (from.0 + along * x - left * y, from.1 + along * y + left * x);
        let (begin, end) = BASE;
        let toward = if way.0 == 0.0 { self.nose } else { way.0.signum() };
        let tip = at(end, 0.0);
        html! {
            @if !prism.is_none() {
                (line("prism-base", at(begin, 0.0), tip))
                (polygon("arrow", [at(end + 1.8, 0.0), at(end, 0.9), at(end, -0.9)].into_iter()))
                (text((tip.0 + 2.4 * toward, tip.1 + 0.8 * y - 0.8), inward(toward), &typeset(&format!("base {prism}"))))
            }
        }
    }

    /// What its dot is, where nothing else is said of it.
    pub(super) fn dot_in_words(&self) -> Option<&'static str> {
        let is_centre = self.by() != LaidOutBy::FittingCross && self.plan.prism.is_none();
        is_centre.then_some("centre dot = optical centre")
    }

    fn dotted(&self) -> Markup {
        let (x, y) = self.dot;
        html! {
            @for outer in [x - OUTER_DOT, x + OUTER_DOT] { (dot("outer-dot", (outer, y), 0.45)) }
            (dot("centre-dot", self.dot, 0.8))
            @if let Some(top) = self.segment { (self.segment(top)) }
        }
    }

    /// A segment's outline, or its top alone where it goes across the lens or nobody said how wide it is.
    fn segment(&self, (x, y): Point) -> Markup {
        let placed = self.plan.layout.segment.and_then(|segment| segment.placed);
        let outline = placed.as_ref().and_then(PlacedSegment::drawn);
        let side = millimetres(self.plan.shape.size.a) / 2.0;
        let ends = placed.map_or([x - HALF_SEGMENT, x + HALF_SEGMENT], |_| [-side, side]);
        html! {
            @if let Some(points) = outline {
                (polygon("segment", points.map(|(inward, up)| (self.nose * inward, up))))
                (text((x, y - 12.0), "middle", "segment"))
            } @else {
                (line("segment", (ends[0], y), (ends[1], y)))
                (text((x, y - 12.0), "middle", "segment below its top"))
            }
        }
    }

    fn engraved(&self) -> Markup {
        let (x, y) = self.dot;
        let near = (x + self.nose * millimetres(self.plan.near_inset), y + NEAR_UP);
        let far = self.power_read_at();
        let add = self.plan.expected.add.map(|add| format!("add {}", Figure::from(add)));
        let beside = |at: Point| (at.0 + self.nose * (CIRCLE + 0.6), at.1 - 0.8);
        html! {
            @for way in [-ENGRAVING, ENGRAVING] { (circle("engraving", (x + way, self.reference.1), 0.9)) }
            (cross("fitting-cross", self.dot, 2.5))
            (dot("reference-point", self.reference, 0.6))
            (circle("distance-circle", far, CIRCLE))
            (circle("near-circle", near, CIRCLE))
            (text(beside(far), inward(self.nose), "power"))
            (text(beside(near), inward(self.nose), &add.unwrap_or_default()))
            (text((x + self.nose * 3.1, y - 0.8), inward(self.nose), "fitting cross"))
            (text((x - self.nose * (ENGRAVING + 1.5), self.reference.1 + 0.6), outward(self.nose), "engraving"))
        }
    }
}

/// The anchor of words that end toward the nose, and of those that begin there.
const fn outward(nose: f64) -> &'static str {
    if nose > 0.0 { "end" } else { "start" }
}

const fn inward(nose: f64) -> &'static str {
    if nose > 0.0 { "start" } else { "end" }
}
