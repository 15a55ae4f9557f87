//! The outline of a lens that nobody traced: a picture to work by, not a measurement.
//!
//! From A, B and ED a symmetric convex curve is made: |x/a|ⁿ + |y/b|ⁿ = 1 with the half sides a and b of the box. With
//! n = 2 it is an ellipse; a larger n fills the corners. Its longest radius is (a^2q + b^2q)^(1/2q) with q = n/(n − 2)
//! (Hölder's inequality), which grows with n from the longer half side to half the diagonal; n is solved for so that
//! it is ED/2. Without an ED, or with one no longer than the box, it is the ellipse; an ED that only a rectangle
//! reaches is missed by a little. Floating point, since nothing is judged by it.

use bevelbook_core::frame::FrameSize;
use bevelbook_core::units::Length;

/// A point in millimetres from the boxed centre, as one faces the wearer: x to the viewer's right, y up.
pub(super) type Point = (f64, f64);

/// Points round the outline: with one every 1.5° the chords lie within 0.01 mm of the curve of a usual lens.
const POINTS: u16 = 240;

/// The largest exponent drawn: corners beyond it cannot be told from a rectangle's.
const SQUAREST: f64 = 40.0;

/// Millimetres as a decimal number.
pub(super) fn millimetres(length: Length) -> f64 {
    f64::from(length.milli()) / 1000.0
}

/// The outline of a lens in its box.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    /// Anticlockwise from the viewer's right.
    pub(super) points: Vec<Point>,
    /// From what it was made, in words for the drawing.
    pub(super) made_from: &'static str,
}

impl Outline {
    pub(super) fn of(size: &FrameSize) -> Self {
        let (a, b) = (millimetres(size.a) / 2.0, millimetres(size.b) / 2.0);
        let (exponent, made_from) = match size.ed {
            None => (2.0, "ellipse from A and B, not traced"),
            Some(ed) => (exponent(a, b, millimetres(ed) / 2.0), "shape from A, B and ED, not traced"),
        };
        let point = |step: u16| {
            let (sin, cos) = (f64::from(step) * std::f64::consts::TAU / f64::from(POINTS)).sin_cos();
            let radius =
                ((cos / a).abs().powf(exponent) + (sin / b).abs().powf(exponent)).powf(-1.0 / exponent);
            (radius * cos, radius * sin)
        };
        Self { points: (0..POINTS).map(point).collect(), made_from }
    }
}

/// The exponent whose longest radius is `wanted`. With s = 1/q = 1 − 2/n the radius grows with s from 0 to 1.
fn exponent(a: f64, b: f64, wanted: f64) -> f64 {
    let (long, ratio) = (a.max(b), a.min(b) / a.max(b));
    let radius = |s: f64| long * (1.0 + ratio.powf(2.0 / s)).powf(s / 2.0);
    let (mut low, mut high) = (0.0, 1.0 - 2.0 / SQUAREST);
    for _ in 0..50 {
        let middle = (low + high) / 2.0;
        if radius(middle) < wanted { low = middle } else { high = middle }
    }
    2.0 / (1.0 - low)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(a: i32, b: i32, ed: Option<i32>) -> Vec<Point> {
        let mm = Length::from_milli;
        Outline::of(&FrameSize { a: mm(a), b: mm(b), dbl: mm(18_000), ed: ed.map(mm) }).points
    }

    fn longest(points: &[Point]) -> f64 {
        points.iter().map(|(x, y)| x.hypot(*y)).fold(0.0, f64::max)
    }

    const SHAPES: [(i32, i32, Option<i32>); 7] = [
        (50_000, 38_000, Some(53_000)),
        (52_000, 30_000, Some(53_500)),
        (48_000, 36_000, Some(50_000)),
        (46_000, 46_000, Some(50_000)),
        (40_000, 44_000, Some(47_000)),
        (56_000, 41_000, None),
        (50_000, 50_000, None),
    ];

    #[test]
    fn the_box_is_exactly_a_by_b() {
        for (a, b, ed) in SHAPES {
            let points = outline(a, b, ed);
            let [width, height] = [|p: &Point| p.0, |p: &Point| p.1].map(|along| {
                let values = points.iter().map(along);
                values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
            });
            assert!((width - f64::from(a) / 1000.0).abs() < 1e-9, "{a} {b} {ed:?}: {width}");
            assert!((height - f64::from(b) / 1000.0).abs() < 1e-9, "{a} {b} {ed:?}: {height}");
        }
    }

    #[test]
    fn the_longest_radius_is_half_of_ed() {
        for (a, b, ed) in SHAPES {
            let wanted = f64::from(ed.unwrap_or(a.max(b))) / 2000.0;
            let longest = longest(&outline(a, b, ed));
            assert!((longest - wanted).abs() < 0.01, "{a} {b} {ed:?}: {longest} for {wanted}");
        }
    }

    #[test]
    fn the_outline_is_convex_and_symmetric() {
        for (a, b, ed) in SHAPES {
            let points = outline(a, b, ed);
            let count = points.len();
            for here in 0..count {
                let [p, q, r] = [0, 1, 2].map(|step| points[(here + step) % count]);
                let turn = (q.0 - p.0) * (r.1 - q.1) - (q.1 - p.1) * (r.0 - q.0);
                assert!(turn > 0.0, "{a} {b} {ed:?}: turns right at {q:?}");
                let mirrored = points[(count + count / 2 - here) % count];
                assert!((p.0 + mirrored.0).abs() < 1e-9 && (p.1 - mirrored.1).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn an_ed_that_no_curve_has_is_met_as_nearly_as_can_be() {
        // No longer than the box: the ellipse. The diagonal of the box: almost the rectangle.
        assert!((longest(&outline(50_000, 38_000, Some(49_000))) - 25.0).abs() < 1e-6);
        let corner = longest(&outline(48_000, 36_000, Some(60_000)));
        assert!((29.0..30.0).contains(&corner), "{corner}");
    }
}
