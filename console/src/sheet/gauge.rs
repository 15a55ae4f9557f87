//! The sizes that one lens went through, on a millimetre scale: a tick for each pass that counts, and a bar between the
//! smallest size that was too big and the smallest that fitted.
//!
//! All on the basis of the last pass; a pass on another basis is converted to the micrometre. A size that is only
//! known to lie in a span is drawn as that span.

use super::pen::c;
use super::words::typeset;
use crate::view::Figure;
use bevelbook_core::sizing::{Basis, Size, Sizing, Span};
use bevelbook_core::tolerance::Unit;
use bevelbook_core::units::Length;
use maud::{Markup, html};

/// Paper taken by the scale.
const WIDTH: f64 = 88.0;
const HEIGHT: f64 = 10.2;
/// Room at the left end for a label, and at the right end for one and for the unit.
const LEFT: f64 = 22.0;
const RIGHT: f64 = 14.0;
/// Heights of its parts, from the top.
const NUMBERS: f64 = 1.9;
const TICKS: f64 = 2.4;
const AXIS: f64 = 4.6;
const BAR: f64 = 5.3;

/// One pass on the scale: its number and the size it left.
pub(super) struct Tick {
    pub(super) number: usize,
    pub(super) left: (Basis, Span),
}

/// A millimetre scale over all that is shown on it.
struct Scale {
    basis: Basis,
    low: i32,
    high: i32,
}

impl Scale {
    fn of(basis: Basis, shown: &[i32]) -> Self {
        let low = shown.iter().min().copied().unwrap_or(0);
        let high = shown.iter().max().copied().unwrap_or(0);
        // At least 0.2 mm wide, so that one pass alone does not fill the paper.
        let pad = ((200 - (high - low)) / 2).max(0);
        Self { basis, low: low - pad, high: high + pad }
    }

    fn place(&self, micrometres: i32) -> f64 {
        let share = f64::from(micrometres - self.low) / f64::from((self.high - self.low).max(1));
        LEFT + share * (WIDTH - LEFT - RIGHT)
    }

    /// Round figures within the scale, at most eight.
    fn figures(&self) -> Vec<i32> {
        let steps = [20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 50_000, 200_000];
        let step = steps.into_iter().find(|step| (self.high - self.low) / step < 8).unwrap_or(1_000_000);
        let first = -(-self.low).div_euclid(step);
        (first..=self.high.div_euclid(step)).map(|count| count * step).collect()
    }
}

fn on(basis: Basis, from: Basis, length: Length) -> i32 {
    Size { basis: from, offset: length }.on(basis).milli()
}

/// The gauge of one lens, if any of its passes left a size.
pub(super) fn gauge(ticks: &[Tick], sizing: &Sizing) -> Option<Markup> {
    let basis = ticks.last()?.left.0;
    let ends = |tick: &Tick| {
        let (from, span) = tick.left;
        (on(basis, from, span.low), span.high.map(|high| on(basis, from, high)))
    };
    let bound = |size: Option<Size>| size.map(|size| size.on(basis).milli());
    let bounds = [bound(sizing.fits), bound(sizing.too_big), bound(sizing.loose)];
    let spans = ticks.iter().map(ends);
    let mut shown: Vec<i32> = spans.flat_map(|(low, high)| [low, high.unwrap_or(low)]).collect();
    shown.extend(bounds.iter().flatten());
    let scale = Scale::of(basis, &shown);
    Some(html! {
        svg.gauge width=(format!("{WIDTH}mm")) height=(format!("{HEIGHT}mm")) role="img"
            viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) {
            title { "Sizes of the passes, " (scale.basis) }
            (ruler(&scale))
            (bracket(&scale, bounds))
            @for (x, label) in numbers(&scale, ticks, basis) {
                text x=(x) y=(NUMBERS) text-anchor="middle" { (label) }
            }
            @for tick in ticks {
                @let (low, high) = ends(tick);
                @let high = high.unwrap_or(scale.high);
                rect.tick data-pass=(tick.number) x=(c(scale.place(low) - 0.2)) y=(TICKS)
                    width=(c(scale.place(high) - scale.place(low) + 0.4)) height=(c(AXIS - TICKS)) {}
            }
        }
    })
}

fn ruler(scale: &Scale) -> Markup {
    html! {
        line.ruler x1=(LEFT - 3.0) y1=(AXIS) x2=(WIDTH - RIGHT + 3.0) y2=(AXIS) {}
        @for figure in scale.figures() {
            @let x = c(scale.place(figure));
            line.ruler x1=(x) y1=(AXIS) x2=(x) y2=(AXIS + 0.8) {}
            text x=(x) y=(HEIGHT - 0.4) text-anchor="middle" { (typeset(&Figure::of(figure.into(), Unit::Millimetre).to(2, 3).signed().to_string())) }
        }
        text x=(WIDTH) y=(AXIS - 1.8) text-anchor="end" { "mm on" }
        text x=(WIDTH) y=(AXIS + 0.6) text-anchor="end" { (scale.basis) }
    }
}

/// The bar that the fit lies in, as far as it is known; `bounds` are fits, too big, loose.
fn bracket(scale: &Scale, [fits, too_big, loose]: [Option<i32>; 3]) -> Markup {
    let loose_anchor = if fits.is_some() { "middle" } else { "end" };
    let ends =
        [(fits, "fits, no smaller", "end"), (too_big, "too big", "start"), (loose, "loose", loose_anchor)];
    html! {
        @if let (Some(fits), Some(too_big)) = (fits, too_big) {
            @let (low, high) = (scale.place(fits.min(too_big)), scale.place(fits.max(too_big)));
            rect.bracket data-part="bracket" x=(c(low)) y=(BAR) width=(c((high - low).max(0.3))) height="1.8" {}
        }
        @for (x, words, anchor) in ends.into_iter().filter_map(|(at, words, anchor)| Some((scale.place(at?), words, anchor))) {
            @if words != "loose" { line.end x1=(c(x)) y1=(BAR - 0.3) x2=(c(x)) y2=(BAR + 2.1) {} }
            @let aside = match anchor { "end" => -0.8, "start" => 0.8, _ => 0.0 };
            text x=(c(x + aside)) y=(BAR + 1.9) text-anchor=(anchor) { (words) }
        }
    }
}

/// The numbers of the passes above their ticks, those at one place together.
fn numbers(scale: &Scale, ticks: &[Tick], basis: Basis) -> Vec<(String, String)> {
    let mut labels: Vec<(f64, String)> = Vec::new();
    let mut sorted: Vec<(f64, usize)> = ticks
        .iter()
        .map(|tick| (scale.place(on(basis, tick.left.0, tick.left.1.low)), tick.number))
        .collect();
    sorted.sort_by(|one, other| one.0.total_cmp(&other.0));
    for (x, number) in sorted {
        match labels.last_mut() {
            // Closer than the width of a figure: one label for both.
            Some((at, label)) if x - *at < 2.5 => label.push_str(&format!(" {number}")),
            _ => labels.push((x, number.to_string())),
        }
    }
    labels.into_iter().map(|(x, label)| (c(x), label)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tick(number: usize, micrometres: i32) -> Tick {
        Tick { number, left: (Basis::Diameter, Span::exactly(Length::from_milli(micrometres))) }
    }

    fn attributes(markup: &Markup, element: &str, name: &str) -> Vec<f64> {
        let document = roxmltree::Document::parse(&markup.0).unwrap();
        let found = document.descendants().filter(|node| node.attribute("class") == Some(element));
        found.map(|node| node.attribute(name).unwrap().parse().unwrap()).collect()
    }

    #[test]
    fn a_smaller_lens_stands_further_left() {
        let ticks = [tick(1, 400), tick(2, 200), tick(3, 100)];
        let size =
            |micrometres| Some(Size { basis: Basis::Diameter, offset: Length::from_milli(micrometres) });
        let sizing = Sizing { too_big: size(200), fits: size(100), ..Sizing::default() };
        let drawn = gauge(&ticks, &sizing).unwrap();
        let x = attributes(&drawn, "tick", "x");
        assert!(x[0] > x[1] && x[1] > x[2], "{x:?}");
        // The scale is even: 0.2 mm is twice 0.1 mm on paper.
        assert!(((x[0] - x[1]) - 2.0 * (x[1] - x[2])).abs() < 0.05, "{x:?}");
        let (bar, width) = (attributes(&drawn, "bracket", "x")[0], attributes(&drawn, "bracket", "width")[0]);
        assert!((bar - (x[2] + 0.2)).abs() < 0.02 && (bar + width - (x[1] + 0.2)).abs() < 0.02);
    }

    #[test]
    fn a_broken_off_pass_is_drawn_as_the_span_it_left() {
        let span = Span { low: Length::from_milli(100), high: Some(Length::from_milli(300)) };
        let ticks = [tick(1, 300), Tick { number: 2, left: (Basis::Diameter, span) }];
        let drawn = gauge(&ticks, &Sizing::default()).unwrap();
        let width = attributes(&drawn, "tick", "width");
        assert!(width[0] < 1.0 && width[1] > 50.0, "{width:?}");
    }

    #[test]
    fn without_a_pass_there_is_no_gauge_and_one_pass_has_a_scale() {
        assert!(gauge(&[], &Sizing::default()).is_none());
        let drawn = gauge(&[tick(1, 400)], &Sizing::default()).unwrap();
        assert!((attributes(&drawn, "tick", "x")[0] + 0.2 - (LEFT + WIDTH - RIGHT) / 2.0).abs() < 0.02);
    }

    #[test]
    fn the_figures_of_the_scale_are_round_and_few() {
        for (low, high) in [(0, 400), (-130, 70), (100, 125), (-900, 4100), (-300_000, 300_000)] {
            let figures = Scale::of(Basis::Girth, &[low, high]).figures();
            assert!((1..=8).contains(&figures.len()), "{low} {high}: {figures:?}");
            assert!(figures.iter().all(|figure| figure % 10 == 0), "{figures:?}");
        }
    }
}
