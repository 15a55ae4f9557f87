//! The history as a table for spreadsheets: RFC 4180, a heading, figures without their unit.
//!
//! A text that a spreadsheet would take for a formula begins with an apostrophe there, which shows it as text.

use super::{Cell, HistoryView};
use bevelbook_core::link::plain;

impl HistoryView {
    /// All rows, each with its line end.
    pub(crate) fn csv(&self) -> String {
        let heading = self.cells(&self.total).into_iter().map(|(name, _)| name.to_owned());
        let rows =
            self.rows.iter().map(|row| self.cells(row).iter().map(|(_, cell)| written(cell)).collect());
        let lines = std::iter::once(heading.collect()).chain(rows);
        lines.map(|cells: Vec<String>| cells.join(",") + "\r\n").collect()
    }
}

fn written(cell: &Cell<'_>) -> String {
    match cell {
        Cell::Text(text) => quoted(text.unwrap_or_default()),
        Cell::Count(count) => count.to_string(),
        Cell::Figure(figure) => figure.map_or(String::new(), |figure| figure.number().to_string()),
    }
}

fn quoted(text: &str) -> String {
    let text: String = plain(text).collect();
    let formula = text.trim_start().starts_with(['=', '+', '-', '@']);
    let text = if formula { format!("'{text}") } else { text };
    if text.contains([',', '"', '\'']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_one_cell_and_no_formula() {
        for (text, cell) in [
            ("Lindgren 7", "Lindgren 7"),
            ("Lindgren, 7 \"wide\"", "\"Lindgren, 7 \"\"wide\"\"\""),
            ("=HYPERLINK(\"x\")", "\"'=HYPERLINK(\"\"x\"\")\""),
            ("-7", "\"'-7\""),
            (" @sum", "\"' @sum\""),
            ("+1", "\"'+1\""),
            ("two\r\nlines", "two  lines"),
        ] {
            assert_eq!(quoted(text), cell);
        }
    }
}
