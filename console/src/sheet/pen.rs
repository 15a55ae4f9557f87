//! Strokes and words of a drawing. Points are in millimetres with y up; they are turned over only here, since an SVG counts
//! y downward.

use maud::{Markup, html};

/// A point in millimetres from the boxed centre, as one faces the wearer: x to the viewer's right, y up.
pub(super) type Point = (f64, f64);

/// A coordinate in millimetres, to the micrometre.
pub(super) fn c(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

pub(super) fn mm(value: f64) -> String {
    format!("{}mm", c(value))
}

pub(super) fn line(part: &str, from: Point, to: Point) -> Markup {
    html! {
        line class=(part) data-part=(part) x1=(c(from.0)) y1=(c(-from.1)) x2=(c(to.0)) y2=(c(-to.1)) {}
    }
}

pub(super) fn circle(part: &str, middle: Point, radius: f64) -> Markup {
    html! { circle class=(part) data-part=(part) cx=(c(middle.0)) cy=(c(-middle.1)) r=(c(radius)) {} }
}

pub(super) fn polygon(part: &str, points: impl Iterator<Item = Point>) -> Markup {
    let points: Vec<String> = points.map(|(x, y)| format!("{},{}", c(x), c(-y))).collect();
    html! { polygon class=(part) data-part=(part) points=(points.join(" ")) {} }
}

/// A filled dot.
pub(super) fn dot(part: &str, at: Point, radius: f64) -> Markup {
    html! { circle.dot data-part=(part) cx=(c(at.0)) cy=(c(-at.1)) r=(c(radius)) {} }
}

/// A cross that reaches so far from its middle.
pub(super) fn cross(part: &str, (x, y): Point, reach: f64) -> Markup {
    html! {
        (line(part, (x - reach, y), (x + reach, y)))
        (line(part, (x, y - reach), (x, y + reach)))
    }
}

pub(super) fn text(at: Point, anchor: &str, text: &str) -> Markup {
    html! { text x=(c(at.0)) y=(c(-at.1)) text-anchor=(anchor) { (text) } }
}

pub(super) fn side(part: &str, at: Point, anchor: &str, text: &str) -> Markup {
    html! { text.side data-part=(part) x=(c(at.0)) y=(c(-at.1)) text-anchor=(anchor) { (text) } }
}

/// About how wide a text is on paper.
pub(super) fn width(words: &str) -> f64 {
    1.2 * words.chars().count() as f64
}

/// Where a line through `at` toward `(cos, sin)` leaves a circle: behind it and ahead of it. At the point itself where it
/// lies outside.
pub(super) fn chord(at: Point, (cos, sin): Point, middle: Point, radius: f64) -> [Point; 2] {
    let (x, y) = (at.0 - middle.0, at.1 - middle.1);
    let along = x * cos + y * sin;
    let half = (radius * radius - x * x - y * y + along * along).max(0.0).sqrt();
    let inside = x.hypot(y) <= radius;
    [-along - half, -along + half].map(|far| if inside { (at.0 + far * cos, at.1 + far * sin) } else { at })
}
