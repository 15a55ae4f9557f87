//! The history as one SVG: nothing fetched, no script, no colour that has to be told from another.
//!
//! Days and months run to the right, with a panel for each measure; groups without an order run down, with a column for
//! each. Every bar stands on 0 and says its figure, in words too for who cannot see it. The ground is the drawing's own,
//! dark where that is preferred.

mod drawn;
mod measure;
mod over_time;
mod side_by_side;
#[cfg(test)]
mod tests;

use super::{HistoryView, Row, bearers};
use crate::history::{BEARERS, By};
use crate::view::Figure;
use bevelbook_core::link::plain;
use drawn::{Drawn, MARGIN};
use maud::{PreEscaped, html};
use measure::Measure;

/// What tells a plot from any other file; it stands near the file's beginning.
const MARKER: &str = "<!-- bevelbook history -->";

const STYLE: &str = include_str!("plot.css");

/// More rows than these are not told apart on a page.
const MOST: usize = 60;

/// A figure of a row, and of how many it is.
type Measured = (Option<Figure>, Option<u64>);

/// Whether a file that begins with `bytes` is a plot.
pub(crate) fn is_plot(bytes: &[u8]) -> bool {
    bytes.starts_with(MARKER.as_bytes())
}

impl HistoryView {
    /// The plot, and how many rows had no room on it.
    pub(crate) fn plot(&self, title: &str) -> (String, usize) {
        let (rows, over) = self.at_most(MOST);
        let names: Vec<String> = rows.iter().map(|row| plain(self.name(row)).collect()).collect();
        let measures = self.measures(rows);
        let draw = if self.by.is_in_time() { over_time::drawn } else { side_by_side::drawn };
        let Drawn { width, height, markup } = draw(&names, &measures);
        let title: String = plain(title).collect();
        let svg = html! {
            (PreEscaped(MARKER)) "\n"
            svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title told"
                width=(width) height=(height) viewBox=(format!("0 0 {width} {height}")) {
                title id="title" { (title) }
                desc id="told" {
                    @for (at, name) in names.iter().enumerate() { (told(name, at, &measures)) ". " }
                }
                style { (PreEscaped(STYLE)) }
                rect.ground width=(width) height=(height) {}
                text.title x=(MARGIN) y="32" { (title) }
                (markup)
                text x=(MARGIN) y=(height - MARGIN) {
                    @if measures.iter().any(|measure| measure.of.iter().any(Option::is_some)) {
                        "In brackets: of how many. Where there is no bar, nothing is known or nothing was done."
                    }
                }
            }
        };
        (svg.into_string() + "\n", over)
    }

    fn measures(&self, rows: &[Row]) -> Vec<Measure> {
        let measure = |title: &str, unit, what: &dyn Fn(&Row) -> Measured| {
            let (values, of) = rows.iter().map(what).unzip();
            Measure { title: title.into(), unit, values, of, least: 0.0 }
        };
        let count = |many: u64| (Some(Figure::count(many)), None);
        let spoiled = measure("spoiled", "lenses", &|row| count(row.spoiled));
        if self.by == By::Cause {
            // All on one scale.
            let least = spoiled.most();
            let borne = bearers().into_iter().enumerate().map(|(at, who)| {
                let title = if at < BEARERS.len() { format!("charged: {who}") } else { who };
                measure(&title, "lenses", &move |row| count(row.borne[at]))
            });
            let borne = borne.map(|borne| Measure { least, ..borne });
            return [spoiled].into_iter().chain(borne).collect();
        }
        let first_try = |row: &Row| (row.first_try_share, Some(row.fitted));
        let first_try = Measure { least: 100.0, ..measure("fit at first try", "% of lenses", &first_try) };
        vec![
            measure("finished", "pairs", &|row| count(row.pairs)),
            measure("median time", "minutes a pair", &|row| (row.minutes, Some(row.minutes_of))),
            first_try,
            measure("mean to a fit", "passes a lens", &|row| (row.passes_each, Some(row.fitted))),
            spoiled,
        ]
    }
}

/// What a row is, read out.
fn told(name: &str, at: usize, measures: &[Measure]) -> String {
    let words: Vec<String> = measures.iter().map(|measure| measure.words(at)).collect();
    format!("{name}: {}", words.join("; "))
}
