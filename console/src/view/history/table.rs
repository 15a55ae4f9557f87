//! The history on a terminal of 80 columns: the figures, and bars beside those that one compares.

use super::{HistoryView, Row, bearers};
use crate::history::{By, PAUSE};
use crate::view::Figure;
use crate::view::listed::clipped;

/// Room for the name of a row.
const NAME: usize = 16;
/// Blocks of a whole bar.
const BAR: usize = 5;
/// So many rows are shown, unless all are asked for.
const ROWS: usize = 14;

impl HistoryView {
    /// The table: of more rows than fit a screen the last days or months, or the groups with the most, unless `all` are
    /// asked for.
    pub(crate) fn table(&self, all: bool) -> String {
        if self.is_empty() {
            return String::new();
        }
        let (shown, over) = self.at_most(if all { self.rows.len() } else { ROWS });
        let newest = self.by.is_in_time();
        let many = |row: &Row| if self.by == By::Cause { row.spoiled } else { row.pairs };
        let most = shown.iter().map(many).max().unwrap_or(0);
        let left_out = match (over, newest) {
            (0, _) => None,
            (over, true) => Some(format!("{over} earlier ones")),
            (over, false) => Some(format!("{over} more with less")),
        };
        let left_out = left_out.map(|what| what + ": --all lists them, --csv and --json have them");
        let (before, after) = if newest { (left_out, None) } else { (None, left_out) };
        let rows = shown.iter().map(|row| self.line(self.name(row), row, most));
        let total = (self.by != By::Total).then(|| self.line("total", &self.total, 0));
        let lines = [self.heading()].into_iter().chain(before).chain(rows).chain(after).chain(total);
        let lines = lines.chain([String::new()]).chain(self.legend());
        lines.map(|line| line.trim_end().to_owned()).collect::<Vec<_>>().join("\n")
    }

    fn heading(&self) -> String {
        let key = self.key();
        if self.by == By::Cause {
            let bearers: String = bearers().iter().map(|bearer| format!("  {bearer}")).collect();
            return format!("{key:NAME$}{:>7} {:BAR$}{bearers}", "spoiled", "");
        }
        let pairs = format!("{:>5} {:BAR$}", "pairs", "");
        format!("{key:NAME$}  {pairs}     min (of)  fitted  {:11}  passes  spoiled", "first try")
    }

    /// A row; `most` is what makes a whole bar.
    fn line(&self, name: &str, row: &Row, most: u64) -> String {
        let name = clipped(name, NAME);
        let share = |part: u64, of: u64| bar(Figure::percent(part, of));
        if self.by == By::Cause {
            let some = |many: u64| if many == 0 { String::new() } else { many.to_string() };
            let width = |bearer: &String| bearer.chars().count() + 2;
            let borne = bearers().into_iter().zip(row.borne);
            let borne: String =
                borne.map(|(bearer, many)| format!("{:>1$}", some(many), width(&bearer))).collect();
            return format!("{name:NAME$}{:>7} {:BAR$}{borne}", row.spoiled, share(row.spoiled, most));
        }
        let shown = |figure: Option<Figure>| figure.map_or("-".to_owned(), |figure| figure.to_string());
        let minutes = row.minutes.map_or("-".into(), |minutes| format!("{minutes} ({})", row.minutes_of));
        let percent = row.first_try_share.map_or("-".into(), |share| format!("{share:#}"));
        format!(
            "{name:NAME$}  {:>5} {:BAR$}  {minutes:>11}  {:>6}  {percent:>5} {:BAR$}  {:>6}  {:>7}",
            row.pairs,
            share(row.pairs, most),
            row.fitted,
            bar(row.first_try_share),
            shown(row.passes_each),
            row.spoiled
        )
    }

    /// What the columns are, and who bears what was spoiled.
    fn legend(&self) -> Vec<String> {
        let borne = bearers().into_iter().zip(self.total.borne).filter(|(_, many)| *many > 0);
        let borne: Vec<String> = borne.map(|(bearer, many)| format!("{bearer} {many}")).collect();
        let mut lines = Vec::new();
        if self.by != By::Cause {
            if !borne.is_empty() {
                lines.push(format!("charged: {}", borne.join(", ")));
            }
            lines.push(format!(
                "min: median minutes from a pair's first to its last record at the bench, gaps\n\
                 over {} minutes left out, of the pairs whose times are known. First try and\n\
                 passes: of the fitted lenses. A pair is finished when its lenses fit and nothing\n\
                 is left to log.",
                PAUSE.as_mins()
            ));
        }
        lines
    }
}

/// A share as a bar, in half blocks.
fn bar(percent: Option<Figure>) -> String {
    let halves = percent.map_or(0.0, |percent| (percent.number() * BAR as f64 / 50.0).round()) as usize;
    "█".repeat(halves / 2) + if halves % 2 == 1 { "▌" } else { "" }
}
