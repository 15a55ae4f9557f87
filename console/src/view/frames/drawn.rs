//! The lenses of a model over time, as a drawing. A sign tells loose from fits, and not the colour alone.

use super::lens::LensRow;
use super::show::FrameView;
use crate::view::Figure;
use crate::view::plot::{Drawn, HEAD, MARGIN, svg};
use maud::{Markup, html};

/// Room for the figures of a scale.
const SCALE: f64 = 48.0;
/// The panel of sizes, and that of passes below it.
const SIZES: f64 = 300.0;
const PASSES: f64 = 70.0;
const BETWEEN: f64 = 44.0;
const WIDTH: f64 = 720.0;
/// A lens is no wider, and no more of them are told apart.
const WIDEST: f64 = 40.0;
const MOST: usize = 120;
/// At most so many lines of a scale.
const RULES: f64 = 10.0;

/// Where sizes stand.
struct Ground {
    low: f64,
    high: f64,
    step: f64,
    slot: f64,
}

impl Ground {
    fn of(lenses: &[LensRow]) -> Self {
        let (low, high) = lenses
            .iter()
            .flat_map(LensRow::sizes)
            .fold((f64::MAX, f64::MIN), |(low, high), size| (low.min(size), high.max(size)));
        let steps = [0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0];
        let step = steps.into_iter().find(|step| (high - low) / step <= RULES - 2.0).unwrap_or(50.0);
        let slot = (WIDTH / lenses.len().max(1) as f64).min(WIDEST);
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step + step / 2.0, step, slot }
    }

    fn y(&self, size: Figure) -> f64 {
        self.at(size.number())
    }

    fn at(&self, size: f64) -> f64 {
        HEAD + SIZES * (self.high - size) / (self.high - self.low)
    }

    fn left(&self, at: usize) -> f64 {
        MARGIN + SCALE + at as f64 * self.slot
    }
}

impl FrameView {
    /// The plot, and how many lenses had no room on it.
    pub(crate) fn plot(&self) -> (String, usize) {
        let over = self.lenses.len().saturating_sub(MOST);
        let lenses = &self.lenses[over..];
        let ground = Ground::of(lenses);
        let right = ground.left(lenses.len());
        let foot = HEAD + SIZES + BETWEEN + PASSES;
        let most = lenses.iter().map(|lens| lens.passes).max().unwrap_or(1).max(1) as f64;
        let markup = html! {
            text.head x=(MARGIN) y=(HEAD - 10.0) { "size on " (self.basis) ", + to the trace, mm" }
            (ruled(&ground, right))
            @for (at, lens) in lenses.iter().enumerate() {
                g { title { (lens.words()) } (believed(&ground, at, lens)) (bracket(&ground, at, lens)) (passes(&ground, at, lens, foot, most)) }
            }
            text.head x=(MARGIN) y=(HEAD + SIZES + BETWEEN - 12.0) { "passes" }
            line.rule x1=(ground.left(0)) y1=(foot) x2=(right) y2=(foot) {}
            @for (anchor, x, lens) in [("start", ground.left(0), lenses.first()), ("end", right, lenses.last())] {
                @if let Some(lens) = lens { text x=(x) y=(foot + 15.0) text-anchor=(anchor) { (lens.day()) } }
            }
            @for (line, words) in self.below().iter().enumerate() {
                text x=(MARGIN) y=(foot + 40.0 + 18.0 * line as f64) { (words) }
            }
        };
        let height = foot + 40.0 + 18.0 * self.below().len() as f64 + 3.0 * MARGIN;
        let width = (right + MARGIN).max(MARGIN + SCALE + WIDTH + MARGIN);
        let told: Vec<String> = lenses.iter().map(LensRow::words).chain(self.below()).collect();
        let foot = "Tick: too big. Dot: fits. Cross: loose. Band: where its largest fit was expected before it was cut, \
                    9 in 10; dashes: its mean.";
        (svg(&self.name, &told, &Drawn { width, height, markup }, foot), over)
    }

    fn below(&self) -> Vec<String> {
        let now = self.now_words();
        let now = now.lines().map(str::trim).collect::<Vec<_>>().join("; ");
        self.advice_words().into_iter().chain([now]).collect()
    }
}

fn ruled(ground: &Ground, right: f64) -> Markup {
    let count = ((ground.high - ground.low) / ground.step).floor() as usize;
    let sizes = (0..=count).map(|at| ground.low + at as f64 * ground.step);
    html! {
        @for size in sizes {
            line.rule x1=(ground.left(0)) y1=(ground.at(size)) x2=(right) y2=(ground.at(size)) {}
            text x=(ground.left(0) - 6.0) y=(ground.at(size) + 4.0) text-anchor="end" {
                (Figure::about(size).signed())
            }
        }
    }
}

fn believed(ground: &Ground, at: usize, lens: &LensRow) -> Markup {
    let (x, slot) = (ground.left(at), ground.slot);
    html! {
        @if let Some([low, high]) = lens.band {
            rect.band x=(x) y=(ground.y(high)) width=(slot) height=(ground.y(low) - ground.y(high)) {}
        }
        @if let Some(mean) = lens.mean {
            line.mean x1=(x) y1=(ground.y(mean)) x2=(x + slot) y2=(ground.y(mean)) {}
        }
    }
}

fn bracket(ground: &Ground, at: usize, lens: &LensRow) -> Markup {
    let (x, reach) = (ground.left(at) + ground.slot / 2.0, (ground.slot / 4.0).min(5.0));
    html! {
        @if let Some((low, top)) = lens.fits.or(lens.loose).zip(lens.too_big) {
            line.bracket x1=(x) y1=(ground.y(low)) x2=(x) y2=(ground.y(top)) {}
        }
        @if let Some(top) = lens.too_big {
            line.bracket x1=(x - reach) y1=(ground.y(top)) x2=(x + reach) y2=(ground.y(top)) {}
        }
        @if let Some(fits) = lens.fits { circle.fits cx=(x) cy=(ground.y(fits)) r=(reach.max(2.0)) {} }
        @if let Some(loose) = lens.loose {
            @for way in [-1.0, 1.0] {
                line.loose x1=(x - reach) y1=(ground.y(loose) - way * reach) x2=(x + reach) y2=(ground.y(loose) + way * reach) {}
            }
        }
    }
}

fn passes(ground: &Ground, at: usize, lens: &LensRow, foot: f64, most: f64) -> Markup {
    let (high, width) = (PASSES * lens.passes as f64 / most, 0.7 * ground.slot);
    let x = ground.left(at) + ground.slot / 2.0;
    html! {
        rect.bar x=(x - width / 2.0) y=(foot - high) width=(width) height=(high) {}
        @if ground.slot >= 14.0 { text x=(x) y=(foot - high - 3.0) text-anchor="middle" { (lens.passes) } }
    }
}
