//! What stands in one place of a row, under one name in JSON and in a table for spreadsheets: RFC 4180, a heading, figures
//! without their unit.
//!
//! A text that a spreadsheet would take for a formula begins with an apostrophe there, which shows it as text.

use super::Figure;
use bevelbook_core::link::plain;
use serde::ser::{Serialize, SerializeMap, Serializer};

/// What stands in one place of a row.
#[derive(serde::Serialize)]
#[serde(untagged)]
pub(super) enum Cell<'r> {
    Text(Option<&'r str>),
    Count(u64),
    Figure(Option<Figure>),
}

/// A row: its cells, each under its name.
pub(super) struct Cells<'r>(pub(super) Vec<(&'static str, Cell<'r>)>);

impl Serialize for Cells<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        self.0.iter().try_for_each(|(name, cell)| map.serialize_entry(name, cell))?;
        map.end()
    }
}

/// All rows behind a heading, each with its line end.
pub(super) fn csv<'r>(heading: &[&str], rows: impl Iterator<Item = Cells<'r>>) -> String {
    let row = |Cells(cells): Cells<'r>| cells.iter().map(|(_, cell)| written(cell)).collect::<Vec<_>>();
    let heading = heading.iter().map(|name| (*name).to_owned()).collect();
    std::iter::once(heading).chain(rows.map(row)).map(|cells: Vec<String>| cells.join(",") + "\r\n").collect()
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
