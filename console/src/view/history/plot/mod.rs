//! The history as a plot.
//!
//! Days and months run to the right, with a panel for each measure; groups without an order run down, with a column for
//! each. Every bar stands on 0 and says its figure, in words too for who cannot see it.

mod measure;
mod over_time;
mod side_by_side;
#[cfg(test)]
mod tests;

use super::{HistoryView, Row, bearers};
use crate::history::{BEARERS, By};
use crate::view::Figure;
use crate::view::plot::svg;
use bevelbook_core::link::plain;
use measure::Measure;

/// More rows than these are not told apart on a page.
const MOST: usize = 60;

/// A figure of a row, and of how many it is.
type Measured = (Option<Figure>, Option<u64>);

impl HistoryView {
    /// The plot, and how many rows had no room on it.
    pub(crate) fn plot(&self, title: &str) -> (String, usize) {
        let (rows, over) = self.at_most(MOST);
        let names: Vec<String> = rows.iter().map(|row| plain(self.name(row)).collect()).collect();
        let measures = self.measures(rows);
        let draw = if self.by.is_in_time() { over_time::drawn } else { side_by_side::drawn };
        let drawn = draw(&names, &measures);
        let told: Vec<String> =
            names.iter().enumerate().map(|(at, name)| told(name, at, &measures)).collect();
        let of_how_many = measures.iter().any(|measure| measure.of.iter().any(Option::is_some));
        let foot = if of_how_many {
            "In brackets: of how many. Where there is no bar, nothing is known or nothing was done."
        } else {
            ""
        };
        (svg(title, &told, &drawn, foot), over)
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
