//! What was done, group by group: a row for each, whose cells JSON, CSV, table and plot show under one name.

mod plot;
mod table;

use super::Figure;
use super::cells::{Cell, Cells, csv};
use crate::history::{BEARERS, By, Group, Tally, typed};
use serde::ser::{Serialize, SerializeSeq, Serializer};
use std::cmp::Reverse;

/// The history as it is shown.
pub(crate) struct HistoryView {
    by: By,
    rows: Vec<Row>,
    total: Row,
}

/// A group.
struct Row {
    /// None where what is common to it is not known.
    name: Option<String>,
    pairs: u64,
    minutes: Option<Figure>,
    minutes_of: u64,
    fitted: u64,
    first_try: u64,
    first_try_share: Option<Figure>,
    passes: u64,
    passes_each: Option<Figure>,
    spoiled: u64,
    /// By who bears them, and at the end those of which nobody told.
    borne: [u64; BEARERS.len() + 1],
}

impl HistoryView {
    pub(crate) fn of(by: By, tally: &Tally) -> Self {
        let mut rows: Vec<Row> = tally.groups().into_iter().map(Row::of).collect();
        // Days and months follow each other; else the most comes first.
        if !by.is_in_time() {
            rows.sort_by_key(|row| (row.name.is_none(), Reverse((row.fitted, row.pairs, row.spoiled))));
        }
        if tally.all.pairs + tally.all.fitted + tally.all.spoiled() == 0 {
            rows.clear();
        }
        Self { by, rows, total: Row::of(&tally.all) }
    }

    pub(crate) const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// At most so many rows, the last days or months or the groups with the most, and how many are left out.
    fn at_most(&self, most: usize) -> (&[Row], usize) {
        let over = self.rows.len().saturating_sub(most);
        let (first, last) = if self.by.is_in_time() { (over, 0) } else { (0, over) };
        (&self.rows[first..self.rows.len() - last], over)
    }

    /// What the rows are called, as a column is.
    const fn key(&self) -> &'static str {
        match self.by {
            By::Day => "day",
            By::Month => "month",
            By::Frame => "frame",
            By::Material => "material",
            By::Cause => "cause",
            By::Total => "total",
        }
    }

    /// What a row is called whose name is not known.
    const fn unnamed(&self) -> &'static str {
        match self.by {
            By::Cause => "not told",
            By::Total => "total",
            _ => "not known",
        }
    }

    fn name<'r>(&self, row: &'r Row) -> &'r str {
        row.name.as_deref().unwrap_or(self.unnamed())
    }

    /// All rows as a table for spreadsheets.
    pub(crate) fn csv(&self) -> String {
        let heading: Vec<&str> = self.cells(&self.total).0.into_iter().map(|(name, _)| name).collect();
        csv(&heading, self.rows.iter().map(|row| self.cells(row)))
    }

    /// The cells of a row, each under its name.
    fn cells<'r>(&self, row: &'r Row) -> Cells<'r> {
        let mut cells = match self.by {
            By::Total => Vec::new(),
            _ => vec![(self.key(), Cell::Text(row.name.as_deref()))],
        };
        if self.by != By::Cause {
            cells.extend([
                ("finished_pairs", Cell::Count(row.pairs)),
                ("pair_time_median_min", Cell::Figure(row.minutes)),
                ("pairs_with_known_time", Cell::Count(row.minutes_of)),
                ("fitted_lenses", Cell::Count(row.fitted)),
                ("first_try_fits", Cell::Count(row.first_try)),
                ("first_try_percent", Cell::Figure(row.first_try_share)),
                ("passes", Cell::Count(row.passes)),
                ("passes_a_lens", Cell::Figure(row.passes_each)),
            ]);
        }
        cells.push(("spoiled_lenses", Cell::Count(row.spoiled)));
        let borne = [
            "spoiled_shop",
            "spoiled_supplier",
            "spoiled_prescriber",
            "spoiled_customer",
            "spoiled_not_told",
        ];
        cells.extend(borne.into_iter().zip(row.borne.map(Cell::Count)));
        Cells(cells)
    }
}

/// Who bears spoiled lenses, and behind them those of which nobody told.
fn bearers() -> Vec<String> {
    BEARERS.iter().map(typed).chain(["not told".into()]).collect()
}

impl Row {
    fn of(group: &Group) -> Self {
        let milliseconds = |time: jiff::SignedDuration| i64::try_from(time.as_millis()).unwrap_or(i64::MAX);
        let [shop, supplier, prescriber, customer] = group.borne;
        Self {
            name: group.name.clone(),
            pairs: group.pairs,
            minutes: group.median().map(|time| Figure::minutes(milliseconds(time))),
            minutes_of: group.times.len() as u64,
            fitted: group.fitted,
            first_try: group.first_try,
            first_try_share: Figure::percent(group.first_try, group.fitted),
            passes: group.passes,
            passes_each: Figure::mean(group.passes, group.fitted),
            spoiled: group.spoiled(),
            borne: [shop, supplier, prescriber, customer, group.unborne],
        }
    }
}

impl Serialize for HistoryView {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut rows = serializer.serialize_seq(Some(self.rows.len()))?;
        self.rows.iter().try_for_each(|row| rows.serialize_element(&self.cells(row)))?;
        rows.end()
    }
}
