//! The two lenses on their blanks, to scale: one unit is one millimetre on paper.
//!
//! Seen as one faces the wearer: the right eye is on the left and its nose side to the right, so `in` is +x for the
//! right eye and −x for the left one. Angles are those of ISO 8429: 0° at the viewer's right, anticlockwise.
//!
//! - `marks`: what is seen on the lens, by its design.
//!
//! Parts carry `data-part` and lengths in millimetres, so that a test can measure the drawing.

mod marks;

use super::edge::edge;
use super::pen::{Point, c, chord, circle, cross, line, mm, polygon, side, text, width};
use crate::plan::{EyePlan, Plan, millimetres};
use crate::view::Figure;
use bevelbook_core::frame::Decentration;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Axis, Length};
use marks::Marks;
use maud::{Markup, html};

/// The sine of the steepest axis that is labelled at its end on the roomier side.
const FLAT: f64 = 0.3;
/// Room above and below what is drawn.
const MARGIN: f64 = 1.0;

/// A drawing of each lens that is made, side by side where the paper is wide enough.
pub(super) fn drawings(plan: &Plan) -> Markup {
    let lenses: Vec<Lens<'_>> = plan.made().map(Lens::of).collect();
    // Both reach as high and as low, so that the boxes stand level.
    let reach = |of: fn(&Lens<'_>) -> f64| lenses.iter().map(of).fold(0.0, f64::max);
    let above = reach(|lens| (lens.middle.1 + lens.radius).max(lens.half.1)) + MARGIN;
    let below = reach(|lens| (lens.radius - lens.middle.1).max(lens.half.1)) + MARGIN;
    html! {
        section {
            h2 { "Front view" span.small { ", facing the wearer: the right lens on the left. 1:1 when printed without scaling. All lengths in mm. Edges as worked out before bevel or groove, the least dashed" } }
            div.drawings { @for lens in &lenses { (lens.figure(above, below, edge(plan, lens.plan))) } }
        }
    }
}

/// One lens on its blank.
struct Lens<'a> {
    plan: &'a EyePlan,
    marks: Marks<'a>,
    /// +1 where the nose is at the viewer's right, −1 where it is at the left.
    nose: f64,
    half: (f64, f64),
    /// Of the blank.
    middle: Point,
    diameter: Length,
    radius: f64,
    /// The side on which the blank reaches further beyond the box: +1 at the viewer's right.
    roomy: f64,
    /// The optical centre, where prescribed prism parts it from the dot and the blank reaches it.
    optical_centre: Option<Point>,
}

impl<'a> Lens<'a> {
    fn of(plan: &'a EyePlan) -> Self {
        let size = &plan.shape.size;
        let nose = if plan.eye == Eye::Right { 1.0 } else { -1.0 };
        let at = |inward: Length, up: Length| (nose * millimetres(inward), millimetres(up));
        let diameter = plan.blank.stocked.unwrap_or(plan.blank.least);
        let radius = millimetres(diameter) / 2.0;
        let (dot, Decentration { inward, up }) = (plan.layout.dot(), plan.layout.middle);
        let middle = at(inward, up);
        let optical_centre =
            plan.optical_centre.and_then(Result::ok).filter(|_| plan.dot_is_off_optical_centre());
        let optical_centre = optical_centre
            .map(|way| at(dot.inward + way.inward, dot.up + way.up))
            .filter(|centre| (centre.0 - middle.0).hypot(centre.1 - middle.1) < radius);
        Self {
            plan,
            marks: Marks::of(plan, nose),
            nose,
            half: (millimetres(size.a) / 2.0, millimetres(size.b) / 2.0),
            middle,
            diameter,
            roomy: if middle.0 == 0.0 { nose } else { middle.0.signum() },
            radius,
            optical_centre,
        }
    }

    fn figure(&self, above: f64, below: f64, edge: Option<Markup>) -> Markup {
        let reach =
            |side: f64| self.half.0 + if self.nose == side { self.half_bridge().max(3.0) } else { 3.0 };
        let left = (self.middle.0 - self.radius).min(-reach(-1.0)) - 1.0;
        let right = (self.middle.0 + self.radius).max(reach(1.0)) + 1.0;
        let (width, height) = (right - left, above + below);
        html! {
            figure.lens data-eye=(self.plan.eye) {
                svg width=(mm(width)) height=(mm(height)) role="img"
                    viewBox=(format!("{} {} {} {}", c(left), c(-above), c(width), c(height)))
                    {
                    title { (self.plan.eye) " lens on its blank, to scale, from the front" }
                    desc { (self.description()) }
                    (self.blank())
                    (self.shape())
                    (self.lines())
                    (self.centres())
                    (self.dimensions())
                    (self.sides(left, right, above))
                    (foot(left, below))
                }
                figcaption { (self.caption()) }
                @if let Some(edge) = edge { (edge) }
            }
        }
    }

    /// Sine and cosine of the axis at which the first line is found.
    fn axis(&self) -> (f64, f64) {
        (f64::from(self.plan.expected.power.minus_cylinder().axis.milli()) / 1000.0).to_radians().sin_cos()
    }

    fn blank(&self) -> Markup {
        circle("blank", self.middle, self.radius)
    }

    fn shape(&self) -> Markup {
        let (a, b) = self.half;
        // Out of the way of the axis, which points down or up on this side.
        let level = if self.roomy * self.axis().1 < 0.0 { 0.55 } else { -0.55 };
        let beside = (self.roomy * (a + 1.0), level * b);
        let turn = format!("rotate({} {} {})", self.roomy * 90.0, c(beside.0), c(-beside.1));
        html! {
            rect.box data-part="box" x=(c(-a)) y=(c(-b)) width=(c(2.0 * a)) height=(c(2.0 * b)) {}
            (polygon("outline", self.plan.shape.drawn()))
            (text((-self.nose * a * 0.45, b + 0.8), "middle", &format!("A {}", hundredths(self.plan.shape.size.a))))
            text x=(c(beside.0)) y=(c(-beside.1)) text-anchor="middle" transform=(turn) { "B " (hundredths(self.plan.shape.size.b)) }
            (self.bridge())
        }
    }

    /// From the box to the middle of the bridge.
    fn bridge(&self) -> Markup {
        let (a, b) = self.half;
        let middle = self.nose * (a + self.half_bridge());
        html! {
            (line("dimension", (self.nose * a, -b), (middle, -b)))
            (line("bridge", (middle, 2.0 - b), (middle, -b - 2.0)))
            (text((self.nose * (a + self.half_bridge() / 2.0), -b - 2.4), "middle", &format!("½ DBL {}", hundredths(self.plan.shape.size.dbl))))
        }
    }

    /// The 180 line and the axis of the minus cylinder.
    fn lines(&self) -> Markup {
        let power = self.plan.expected.power.minus_cylinder();
        let across = |at: Point, toward: Point| chord(at, toward, self.middle, self.radius * 0.97);
        let [left, right] = across((self.marks.dot.0, self.marks.level()), (1.0, 0.0));
        html! {
            (line("line-180", left, right))
            @if !power.cylinder.is_zero() {
                @let (sin, cos) = self.axis();
                @let ends = across(self.marks.power_read_at(), (cos, sin));
                (line("axis", ends[0], ends[1]))
                (axis_label(power.axis, (sin, cos), self.roomy, ends))
            }
        }
    }

    fn centres(&self) -> Markup {
        let (x, y) = self.marks.dot;
        html! {
            (cross("boxed-centre", (0.0, 0.0), 2.0))
            (self.marks.drawn())
            @if let Some(centre) = self.optical_centre {
                (circle("optical-centre", centre, 1.1))
                (cross("optical-centre", centre, 1.7))
            }
            @if let Some(words) = self.marks.dot_in_words() {
                (text((x, self.clear_of_ring((x, y.max(0.0) + 3.0), words, 1.0)), "middle", words))
            }
        }
    }

    /// How high a text about `middle` stands so that it leaves the ring of the optical centre free: moved up or down
    /// (`away` +1 or −1) where it would lie on it.
    fn clear_of_ring(&self, middle: Point, words: &str, away: f64) -> f64 {
        // The ring with its cross reaches 1.7 mm; a text's letters stand some 1.7 mm above its foot.
        let hit = |ring: &Point| {
            (ring.0 - middle.0).abs() < 0.5 * width(words) + 2.0 && (ring.1 - middle.1 - 0.8).abs() < 2.8
        };
        self.optical_centre.filter(hit).map_or(middle.1, |ring| ring.1 - 0.8 + away * 2.9)
    }

    /// The size of the blank, and from the boxed centre to the centre dot, along and upright; over the lines.
    fn dimensions(&self) -> Markup {
        let centre = self.plan.layout.measured_to();
        let (x, y) = (self.nose * millimetres(centre.inward), millimetres(centre.up));
        let stock = if self.plan.blank.stocked.is_some() { "stocked" } else { "least, none stocked" };
        let (low, aside) =
            (y.min(0.0) - self.marks.measure_below(), -self.nose * (7.0 + (-self.nose * x).max(0.0)));
        let outward = aside + self.nose * -0.8;
        let anchor = if self.nose > 0.0 { "end" } else { "start" };
        let [inward, up] = [hundredths(centre.inward).inward(), hundredths(centre.up).upward()];
        let up_middle = (outward - self.nose * 0.5 * width(&up), y / 2.0 - 0.8);
        html! {
            (text((self.middle.0, self.middle.1 - self.radius + 2.0), "middle", &format!("blank ⌀ {} ({stock})", Figure::from(self.diameter).to(0, 1).up())))
            @if centre.inward.is_zero() && centre.up.is_zero() {
                (text((0.0, low), "middle", "no decentration"))
            }
            @if !centre.inward.is_zero() {
                (line("dimension", (0.0, -2.4), (0.0, low - 0.7)))
                (line("dimension", (x, y - 1.2), (x, low - 0.7)))
                (line("dimension", (0.0, low), (x, low)))
                (text((x / 2.0, self.clear_of_ring((x / 2.0, low - 3.2), &inward, -1.0)), "middle", &inward))
            }
            @if !centre.up.is_zero() {
                (line("dimension", (-self.nose * 2.4, 0.0), (aside - self.nose * 0.7, 0.0)))
                (line("dimension", (x, y), (aside - self.nose * 0.7, y)))
                (line("dimension", (aside, 0.0), (aside, y)))
                (text((outward, self.clear_of_ring(up_middle, &up, -1.0)), anchor, &up))
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

    fn caption(&self) -> String {
        let ring = self.plan.dot_is_off_optical_centre().then(|| {
            self.optical_centre
                .map_or("; the optical centre is not on the blank", |_| "; ring: optical centre")
        });
        let (eye, shape) = (self.plan.eye, self.plan.shape.from.words());
        format!(
            "{eye} lens: block on {}; shape {shape}{}",
            self.plan.layout.by.blocked_on(),
            ring.unwrap_or_default()
        )
    }

    /// What the drawing measures, in words.
    fn description(&self) -> String {
        let size = &self.plan.shape.size;
        let [a, b, dbl] = [size.a, size.b, size.dbl].map(hundredths);
        let centre = self.plan.layout.measured_to();
        let [inward, up] = [hundredths(centre.inward).inward(), hundredths(centre.up).upward()];
        let power = self.plan.expected.power.minus_cylinder();
        let axis = if power.cylinder.is_zero() { "no axis".into() } else { format!("axis {}", power.axis) };
        format!("A {a}, B {b}, DBL {dbl}; decentration {inward}, {up}; {axis}")
    }

    fn half_bridge(&self) -> f64 {
        millimetres(self.plan.shape.size.dbl) / 2.0
    }
}

fn foot(left: f64, below: f64) -> Markup {
    let (from, low) = (left + 1.0, 1.4 - below);
    html! {
        (line("scale", (from, low), (from + 10.0, low)))
        (line("scale-end", (from, low - 0.8), (from, low + 0.8)))
        (line("scale-end", (from + 10.0, low - 0.8), (from + 10.0, low + 0.8)))
        (text((from + 5.0, low + 1.2), "middle", "10 mm"))
    }
}

/// Over the upper end of an axis, beside the line; over the roomier end of a flat one.
fn axis_label(axis: Axis, (sin, cos): (f64, f64), roomy: f64, ends: [Point; 2]) -> Markup {
    let words = format!("axis {axis}");
    let [behind, ahead] = ends;
    if sin < FLAT {
        let end = if roomy * cos > 0.0 { ahead } else { behind };
        text((end.0, end.1 + 0.9), if roomy > 0.0 { "end" } else { "start" }, &words)
    } else {
        // Some way in from the end, where the blank has room beside the line.
        let end = (ahead.0 - 0.08 * (ahead.0 - behind.0) / 2.0, ahead.1 - 0.08 * (ahead.1 - behind.1) / 2.0);
        let (inward, anchor) = if cos > 0.0 { (-0.7, "end") } else { (0.7, "start") };
        text((end.0 + inward, end.1 + 0.3), anchor, &words)
    }
}

/// What was traced is known no better.
pub(super) fn hundredths(length: Length) -> Figure {
    Figure::from(length).to(0, 2)
}
