//! Days or months from left to right, a panel for each measure.

use super::measure::{Measure, Scale};
use crate::view::plot::{Drawn, HEAD, MARGIN};
use maud::{Markup, html};

/// Room for the figures of a scale.
const SCALE: f64 = 48.0;
/// A panel, and what lies above the next.
const PANEL: (f64, f64) = (660.0, 84.0);
const BETWEEN: f64 = 52.0;
/// About how wide the name of a day comes, with what keeps it from the next.
const NAME: f64 = 76.0;
/// A bar is no wider.
const WIDEST: f64 = 40.0;
/// A figure above each bar where there is room for one.
const FIGURE: f64 = 44.0;

pub(super) fn drawn(names: &[String], measures: &[Measure]) -> Drawn {
    let height = HEAD + measures.len() as f64 * (PANEL.1 + BETWEEN) + MARGIN;
    let panel = |(at, measure)| panel(HEAD + at as f64 * (PANEL.1 + BETWEEN), names, measure);
    let markup = html! { @for panel in measures.iter().enumerate().map(panel) { (panel) } };
    Drawn { width: MARGIN + SCALE + PANEL.0 + NAME / 2.0, height, markup }
}

fn panel(top: f64, names: &[String], measure: &Measure) -> Markup {
    let (left, foot) = (MARGIN + SCALE, top + PANEL.1);
    let slot = PANEL.0 / names.len().max(1) as f64;
    let middle = |at: usize| left + (at as f64 + 0.5) * slot;
    let every = (NAME / slot).ceil().max(1.0) as usize;
    let scale = measure.scale();
    html! {
        text.head x=(MARGIN) y=(top - 10.0) { (measure.title) ", " (measure.unit) }
        (ruled(&scale, left, foot))
        @for at in 0..names.len() {
            (bar(measure, at, &names[at], &scale, (middle(at), foot, slot)))
            @if (names.len() - 1 - at).is_multiple_of(every) {
                text x=(middle(at)) y=(foot + 15.0) text-anchor="middle" { (names[at]) }
            }
        }
    }
}

fn ruled(scale: &Scale, left: f64, foot: f64) -> Markup {
    html! {
        @for (figure, share) in scale.marks() {
            @let y = foot - share * PANEL.1;
            line.rule x1=(left) y1=(y) x2=(left + PANEL.0) y2=(y) {}
            text x=(left - 6.0) y=(y + 4.0) text-anchor="end" { (figure) }
        }
    }
}

fn bar(measure: &Measure, at: usize, name: &str, scale: &Scale, (x, foot, slot): (f64, f64, f64)) -> Markup {
    let width = (0.7 * slot).min(WIDEST);
    let high = measure.values[at].map(|figure| scale.share(figure) * PANEL.1);
    html! {
        g {
            title { (name) ", " (measure.words(at)) }
            @if let Some(high) = high {
                rect.bar x=(x - width / 2.0) y=(foot - high) width=(width) height=(high) {}
                @if slot >= FIGURE {
                    text x=(x) y=(foot - high - 3.0) text-anchor="middle" { (measure.figure(at)) }
                }
            }
        }
    }
}
