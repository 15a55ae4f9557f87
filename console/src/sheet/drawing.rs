//! The two lenses on their blanks, to scale: one unit is one millimetre on paper.
//!
//! Seen as one faces the wearer: the right eye is on the left and its nose side to the right, so `in` is +x for the
//! right eye and −x for the left one. Angles are those of ISO 8429: 0° at the viewer's right, anticlockwise. Points are
//! kept with y up and turned over only when they are written, since an SVG counts y downward.
//!
//! Parts carry `data-part` and lengths in millimetres, so that a test can measure the drawing.

use super::words::{decentration, number, way};
use crate::desk::Order;
use crate::plan::{EyePlan, Plan};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Axis, Length};
use maud::{Markup, html};

/// A point in millimetres from the boxed centre, as one faces the wearer: x to the viewer's right, y up.
type Point = (f64, f64);

/// From the centre dot to each outer dot. From memory, unconfirmed; instruments differ, and only the line that the
/// three dots make matters.
const OUTER_DOT: f64 = 16.0;
/// Half the length of the line that stands for a segment's top; the segment's width is not known.
const HALF_SEGMENT: f64 = 11.0;
/// The sine of the steepest axis that is labelled at its end on the roomier side.
const FLAT: f64 = 0.3;
/// Room above the blank, and below it for the scale bar and two lines of text.
const MARGIN: (f64, f64) = (1.0, 6.5);

/// Both drawings, side by side where the paper is wide enough.
pub(super) fn drawings(order: &Order, plan: &Plan) -> Markup {
    let lenses = [0, 1].map(|index| Lens::of(order, &plan.eyes[index]));
    // Both reach as high and as low, so that the boxes stand level.
    let reach = |of: fn(&Lens<'_>) -> f64| of(&lenses[0]).max(of(&lenses[1]));
    let above = reach(|lens| (lens.dot.1 + lens.radius).max(lens.half.1)) + MARGIN.0;
    let below = reach(|lens| (lens.radius - lens.dot.1).max(lens.half.1)) + MARGIN.1;
    html! {
        section.drawings {
            @for lens in &lenses { (lens.figure(above, below)) }
        }
    }
}

/// One lens on its blank.
struct Lens<'a> {
    plan: &'a EyePlan,
    design: Design,
    /// +1 where the nose is at the viewer's right, −1 where it is at the left.
    nose: f64,
    half: (f64, f64),
    dot: Point,
    diameter: Length,
    radius: f64,
    /// The side on which the blank reaches further beyond the box: +1 at the viewer's right.
    roomy: f64,
    segment: Option<Point>,
}

impl<'a> Lens<'a> {
    fn of(order: &Order, plan: &'a EyePlan) -> Self {
        let size = &plan.shape.size;
        let nose = if plan.eye == Eye::Right { 1.0 } else { -1.0 };
        let inward = |length: Length| nose * millimetres(length);
        let diameter = plan.blank.stocked.unwrap_or(plan.blank.least);
        let segment = plan.segment.and_then(|(drop, inset)| {
            let inset = inset.unwrap_or(Length::ZERO);
            drop.map(|drop| (inward(plan.centre_dot.inward + inset), millimetres(drop)))
        });
        let dot = (inward(plan.centre_dot.inward), millimetres(plan.centre_dot.up));
        Self {
            plan,
            design: order.lens.design,
            nose,
            half: (millimetres(size.a) / 2.0, millimetres(size.b) / 2.0),
            dot,
            diameter,
            roomy: if dot.0 == 0.0 { nose } else { dot.0.signum() },
            radius: millimetres(diameter) / 2.0,
            segment,
        }
    }

    fn figure(&self, above: f64, below: f64) -> Markup {
        let left = (self.dot.0 - self.radius).min(-self.half.0 - 3.0) - 1.0;
        let right = (self.dot.0 + self.radius).max(self.half.0 + 3.0) + 1.0;
        let (width, height) = (right - left, above + below);
        html! {
            figure.lens data-eye=(self.plan.eye) {
                svg width=(mm(width)) height=(mm(height)) role="img"
                    viewBox=(format!("{} {} {} {}", c(left), c(-above), c(width), c(height)))
                    aria-label=(format!("{} lens on its blank, to scale", self.plan.eye)) {
                    (self.blank())
                    (self.shape())
                    (self.lines())
                    (self.centres())
                    (self.dimensions())
                    (self.sides(left, right, above))
                    (self.foot(left, right, below))
                }
            }
        }
    }

    /// Sine and cosine of the axis of the cylinder as ordered.
    fn axis(&self) -> (f64, f64) {
        (f64::from(self.plan.ordered.power.axis.milli()) / 1000.0).to_radians().sin_cos()
    }

    fn blank(&self) -> Markup {
        html! {
            circle.blank data-part="blank" cx=(c(self.dot.0)) cy=(c(-self.dot.1)) r=(c(self.radius)) {}
        }
    }

    fn shape(&self) -> Markup {
        let (a, b) = self.half;
        let points: Vec<String> =
            self.plan.shape.drawn().map(|(x, y)| format!("{},{}", c(x), c(-y))).collect();
        // Out of the way of the axis, which points down or up on this side.
        let level = if self.roomy * self.axis().1 < 0.0 { 0.55 } else { -0.55 };
        let beside = (self.roomy * (a + 1.0), level * b);
        let turn = format!("rotate({} {} {})", self.roomy * 90.0, c(beside.0), c(-beside.1));
        html! {
            rect.box data-part="box" x=(c(-a)) y=(c(-b)) width=(c(2.0 * a)) height=(c(2.0 * b)) {}
            polygon.outline data-part="outline" points=(points.join(" ")) {}
            (text((-self.nose * a * 0.45, b + 0.8), "middle", &format!("A {}", c(2.0 * a))))
            text x=(c(beside.0)) y=(c(-beside.1)) text-anchor="middle" transform=(turn) { "B " (c(2.0 * b)) }
        }
    }

    /// The 180 line with its outer dots, the axis of the cylinder as ordered, and the top of a segment.
    fn lines(&self) -> Markup {
        let (x, y) = self.dot;
        let power = self.plan.ordered.power;
        let across = self.radius * 0.97;
        html! {
            (line("line-180", (x - across, y), (x + across, y)))
            @for outer in [x - OUTER_DOT, x + OUTER_DOT] {
                circle.dot data-part="outer-dot" cx=(c(outer)) cy=(c(-y)) r="0.45" {}
            }
            @if !power.cylinder.is_zero() {
                @let (sin, cos) = self.axis();
                @let reach = |share: f64| (x + share * across * cos, y + share * across * sin);
                (line("axis", reach(-1.0), reach(1.0)))
                (axis_label(power.axis, (sin, cos), self.roomy, reach))
            }
            @if let Some((x, y)) = self.segment {
                (line("segment", (x - HALF_SEGMENT, y), (x + HALF_SEGMENT, y)))
                @let anchor = if self.nose > 0.0 { "end" } else { "start" };
                (text((x - self.nose * (HALF_SEGMENT + 0.6), y - 0.8), anchor, "segment top"))
            }
        }
    }

    fn centres(&self) -> Markup {
        let (x, y) = self.dot;
        let prism = self.plan.ordered.prism;
        let dot = match self.design {
            Design::Progressive => "fitting cross".to_owned(),
            _ if prism.is_none() => "centre dot = optical centre".to_owned(),
            _ => format!("centre dot: focimeter shows {}", number(prism)),
        };
        html! {
            (line("boxed-centre", (-2.0, 0.0), (2.0, 0.0)))
            (line("boxed-centre", (0.0, -2.0), (0.0, 2.0)))
            circle.dot data-part="centre-dot" cx=(c(x)) cy=(c(-y)) r="0.8" {}
            (text((x, y.max(0.0) + 3.0), "middle", &dot))
        }
    }

    /// The size of the blank, and from the boxed centre to the centre dot, along and upright; over the lines.
    fn dimensions(&self) -> Markup {
        let (x, y) = self.dot;
        let centre = &self.plan.centre_dot;
        let stock = if self.plan.blank.stocked.is_some() { "stocked" } else { "least, none stocked" };
        let (low, aside) = (y.min(0.0) - 6.0, -self.nose * (7.0 + (-self.nose * x).max(0.0)));
        let outward = aside + self.nose * -0.8;
        let anchor = if self.nose > 0.0 { "end" } else { "start" };
        html! {
            (text((x, y - self.radius + 2.0), "middle", &format!("blank ⌀ {} ({stock})", self.diameter)))
            @if centre.inward.is_zero() && centre.up.is_zero() {
                (text((0.0, low), "middle", "no decentration"))
            }
            @if !centre.inward.is_zero() {
                (line("dimension", (0.0, -2.4), (0.0, low - 0.7)))
                (line("dimension", (x, y - 1.2), (x, low - 0.7)))
                (line("dimension", (0.0, low), (x, low)))
                (text((x / 2.0, low - 3.2), "middle", &way(centre.inward, "in", "out")))
            }
            @if !centre.up.is_zero() {
                (line("dimension", (-self.nose * 2.4, 0.0), (aside - self.nose * 0.7, 0.0)))
                (line("dimension", (x, y), (aside - self.nose * 0.7, y)))
                (line("dimension", (aside, 0.0), (aside, y)))
                (text((outward, y / 2.0 - 0.8), anchor, &way(centre.up, "up", "down")))
            }
        }
    }

    fn sides(&self, left: f64, right: f64, above: f64) -> Markup {
        let (at_left, at_right) = if self.nose > 0.0 { ("temple", "nose") } else { ("nose", "temple") };
        html! {
            (side(at_left, (left + 0.5, above - 3.0), "start", &format!("← {at_left}")))
            (side(at_right, (right - 0.5, above - 3.0), "end", &format!("{at_right} →")))
            @if self.nose > 0.0 {
                (side("eye", (left + 0.5, above - 6.2), "start", "right eye"))
            } @else {
                (side("eye", (right - 0.5, above - 6.2), "end", "left eye"))
            }
        }
    }

    fn foot(&self, left: f64, right: f64, below: f64) -> Markup {
        let (from, low) = (left + 1.0, 1.4 - below);
        html! {
            (line("scale", (from, low), (from + 10.0, low)))
            (line("scale-end", (from, low - 0.8), (from, low + 0.8)))
            (line("scale-end", (from + 10.0, low - 0.8), (from + 10.0, low + 0.8)))
            (text((from + 5.0, low + 1.2), "middle", "10 mm"))
            (text((right - 0.5, 3.4 - below), "end", self.plan.shape.from.words()))
            (text((right - 0.5, 0.7 - below), "end", "1:1 when printed without scaling"))
        }
    }
}

/// Over the upper end of an axis, beside the line; over the roomier end of a flat one.
fn axis_label(axis: Axis, (sin, cos): (f64, f64), roomy: f64, reach: impl Fn(f64) -> Point) -> Markup {
    let words = format!("axis {axis}");
    if sin < FLAT {
        let end = reach(0.97 * roomy * cos.signum());
        text((end.0, end.1 + 0.9), if roomy > 0.0 { "end" } else { "start" }, &words)
    } else {
        let (end, inward, anchor) =
            if cos > 0.0 { (reach(0.92), -0.7, "end") } else { (reach(0.92), 0.7, "start") };
        text((end.0 + inward, end.1 + 0.3), anchor, &words)
    }
}

/// Where the dot is, and what it is not, in a few words.
pub(super) fn place(order: &Order, plan: &EyePlan) -> String {
    let place = decentration(&plan.centre_dot);
    match order.lens.design {
        Design::Progressive => format!("{place} (fitting cross)"),
        _ if plan.dot_is_off_optical_centre() => format!("{place} (not the optical centre)"),
        _ => place,
    }
}

/// What to know of the dots on the drawings, if anything.
pub(super) fn caution(order: &Order, plan: &Plan) -> Option<&'static str> {
    match order.lens.design {
        Design::Progressive => {
            Some("Prism is read where the maker of the lens says, not at the fitting cross.")
        }
        _ if plan.eyes.iter().any(EyePlan::dot_is_off_optical_centre) => Some(
            "With prescribed prism the centre dot is where the focimeter shows that prism; the optical centre lies \
             elsewhere.",
        ),
        _ => None,
    }
}

/// Millimetres as a decimal number.
fn millimetres(length: Length) -> f64 {
    f64::from(length.milli()) / 1000.0
}

/// A coordinate in millimetres, to the micrometre.
fn c(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn mm(value: f64) -> String {
    format!("{}mm", c(value))
}

fn line(part: &str, from: Point, to: Point) -> Markup {
    html! {
        line class=(part) data-part=(part) x1=(c(from.0)) y1=(c(-from.1)) x2=(c(to.0)) y2=(c(-to.1)) {}
    }
}

fn text(at: Point, anchor: &str, text: &str) -> Markup {
    html! { text x=(c(at.0)) y=(c(-at.1)) text-anchor=(anchor) { (text) } }
}

fn side(part: &str, at: Point, anchor: &str, text: &str) -> Markup {
    html! { text.side data-part=(part) x=(c(at.0)) y=(c(-at.1)) text-anchor=(anchor) { (text) } }
}
