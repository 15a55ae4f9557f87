//! Jobs in a list, a line each.

use super::JobView;
use bevelbook_core::link::plain;
use serde::Serialize;
use std::collections::HashMap;
use std::fmt;

/// Jobs; people get a table of them, soonest due first, without a heading when there are none.
#[derive(Serialize)]
pub(crate) struct JobTable(pub(crate) Vec<JobView>);

impl fmt::Display for JobTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut jobs: Vec<&JobView> = self.0.iter().collect();
        jobs.sort_by_key(|job| job.urgency());
        f.write_str(&table(jobs.into_iter(), |job| job.reference.clone()))
    }
}

/// Jobs that were looked for; people see whose they are, programs the reference alone.
#[derive(Serialize)]
#[serde(transparent)]
pub(crate) struct FoundJobs {
    pub(crate) jobs: Vec<JobView>,
    #[serde(skip)]
    pub(crate) names: Names,
}

impl FoundJobs {
    /// So many are shown to people.
    const MOST: usize = 20;
}

impl fmt::Display for FoundJobs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&table(self.jobs.iter().take(Self::MOST), |job| self.names.of(job)))?;
        match self.jobs.len().saturating_sub(Self::MOST) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more: add a word"),
        }
    }
}

/// Names of customers by their references in small letters; for people alone.
#[derive(Debug, Default)]
pub(crate) struct Names(pub(crate) HashMap<String, String>);

impl Names {
    /// Whose a job is: the name, where the book has one, else the reference.
    pub(crate) fn of(&self, job: &JobView) -> String {
        self.0.get(&job.reference.to_lowercase()).unwrap_or(&job.reference).clone()
    }
}

fn table<'j>(jobs: impl Iterator<Item = &'j JobView>, who: impl Fn(&JobView) -> String) -> String {
    let mut rows = vec![["job", "tray", "customer", "due", "frame", "status"].map(str::to_owned)];
    rows.extend(jobs.map(|job| {
        let due = job.due.map(|due| due.to_string());
        let [job_number, tray] = [job.job.to_string(), job.tray.clone().unwrap_or_default()];
        [job_number, tray, who(job), due.unwrap_or_default(), job.frame_words(), job.status.clone()]
    }));
    if rows.len() == 1 { String::new() } else { aligned(&rows, [10, 8, 16, 10, 18, 80]).join("\n") }
}

/// Rows whose cells stand under each other, each cell as letters alone and at most so long.
pub(super) fn aligned<const N: usize>(rows: &[[String; N]], most: [usize; N]) -> Vec<String> {
    let clip = |row: &[String; N]| -> Vec<String> {
        row.iter().zip(most).map(|(cell, most)| clipped(cell, most)).collect()
    };
    let rows: Vec<Vec<String>> = rows.iter().map(clip).collect();
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..N).map(width).collect();
    let line = |row: &Vec<String>| {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}

/// The letters of a cell that there is room for; what is longer ends in dots.
pub(super) fn clipped(cell: &str, most: usize) -> String {
    match plain(cell).nth(most) {
        Some(_) => plain(cell).take(most.saturating_sub(1)).chain(['…']).collect(),
        None => plain(cell).collect(),
    }
}
