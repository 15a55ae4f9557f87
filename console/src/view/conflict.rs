//! Two different records under one number.

use super::RecordRow;
use crate::desk::Keep;
use crate::work::{Conflict, Stations};
use bevelbook_core::sizing::Rim;
use std::fmt;

view! {
    /// Both of them, and which counts. `job` is the number of their job and what holds its lenses.
    pub(crate) Differing of (conflict: &Conflict, keypad: Option<String>, job: Option<(u32, Rim)>) {
        record: String = conflict.book.id.to_string(),
        keypad: Option<String> = keypad,
        book: RecordRow = RecordRow::of(&conflict.book, job, "in the book".into(), before(job), &Stations::default()),
        arrived: RecordRow = RecordRow::of(&conflict.arrived, job, "arrived    ".into(), before(job), &Stations::default()),
        settled: Option<Keep> = conflict.settled,
    }
}

fn before(job: Option<(u32, Rim)>) -> String {
    job.map_or(String::new(), |(number, _)| format!("job {number}  "))
}

impl fmt::Display for Differing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { record, keypad, book, arrived, settled } = self;
        let keypad = keypad.as_ref().map_or(String::new(), |name| format!(" of keypad {name}"));
        writeln!(f, "record {record}{keypad}\n  {book}\n  {arrived}")?;
        match settled {
            None => write!(f, "  not decided: bevelbook book conflicts settle {record} --keep book|arrived"),
            Some(Keep::Book) => write!(f, "  decided: the one in the book counts"),
            Some(Keep::Arrived) => write!(f, "  decided: the one that arrived counts"),
        }
    }
}
