//! Groups from top to bottom, a column of bars for each measure.

use super::measure::Measure;
use crate::view::listed::clipped;
use crate::view::plot::{Drawn, HEAD, MARGIN};
use maud::{Markup, html};

/// Room for the names of the groups.
const NAMES: f64 = 150.0;
/// Letters of a name that there is room for.
const LETTERS: usize = 22;
/// A column, the room in it for a whole bar, and a row.
const COLUMN: f64 = 132.0;
const BAR: f64 = 66.0;
const ROW: f64 = 22.0;
/// Above the bars: titles and units.
const TITLES: f64 = 34.0;

pub(super) fn drawn(names: &[String], measures: &[Measure]) -> Drawn {
    let foot = HEAD + TITLES + names.len() as f64 * ROW;
    let column = |(at, measure)| column(MARGIN + NAMES + at as f64 * COLUMN, foot, measure, names);
    let markup = html! {
        @for (at, name) in names.iter().enumerate() {
            text x=(MARGIN) y=(HEAD + TITLES + at as f64 * ROW + 15.0) { (clipped(name, LETTERS)) }
        }
        @for column in measures.iter().enumerate().map(column) { (column) }
    };
    Drawn { width: MARGIN + NAMES + measures.len() as f64 * COLUMN + MARGIN, height: foot + 64.0, markup }
}

fn column(left: f64, foot: f64, measure: &Measure, names: &[String]) -> Markup {
    let (scale, top) = (measure.scale(), HEAD + TITLES);
    html! {
        text.head x=(left) y=(HEAD) { (measure.title) }
        text x=(left) y=(HEAD + 16.0) { (measure.unit) }
        @for (figure, share) in scale.marks().filter(|(_, share)| [0.0, 1.0].contains(share)) {
            @let x = left + share * BAR;
            line.rule x1=(x) y1=(top - 4.0) x2=(x) y2=(foot + 4.0) {}
            text x=(x) y=(foot + 18.0) text-anchor="middle" { (figure) }
        }
        @for at in 0..names.len() {
            @let y = top + at as f64 * ROW;
            @let long = measure.values[at].map_or(0.0, |figure| scale.share(figure) * BAR);
            g {
                title { (names[at]) ", " (measure.words(at)) }
                rect.bar x=(left) y=(y + 3.0) width=(long) height=(ROW - 6.0) {}
                text x=(left + long + 4.0) y=(y + 15.0) { (measure.figure(at)) }
            }
        }
    }
}
