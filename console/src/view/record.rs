//! A record in a list: of a job, or of a keypad with what is missing where it is missing.

use super::{EnteredView, Figure};
use crate::work::{Fact, Line, Stations, TimeStyle, When};
use bevelbook_core::link::plain;
use bevelbook_core::record::RecordId;
use bevelbook_core::sizing::{Basis, Rim, Span};
use jiff::{Timestamp, tz::TimeZone};
use serde::Serialize;
use std::fmt;
use std::ops::RangeInclusive;

view! {
    /// Which record.
    pub(crate) Identity of (id: RecordId) {
        journal: String = id.journal.to_string(),
        seq: u32 = id.seq,
    }
}

view! {
    /// The size of a lens; its upper end is none while a first cut was never finished.
    pub(crate) SizeView of (size: (Basis, Span)) with { let (measured_on, span) = size; } {
        basis: Basis = measured_on,
        low_mm: Figure = span.low.into(),
        high_mm: Option<Figure> = span.high.map(Figure::from),
    }
}

/// A record, or numbers that are missing.
#[derive(Serialize)]
#[serde(untagged)]
pub(crate) enum LogRow {
    Gap { gap: MissingNumbers },
    Record(Box<RecordRow>),
}

/// Numbers that are missing, first and last.
#[derive(Serialize)]
pub(crate) struct MissingNumbers {
    pub(super) from: u32,
    pub(super) to: u32,
}

impl From<RangeInclusive<u32>> for MissingNumbers {
    fn from(numbers: RangeInclusive<u32>) -> Self {
        Self { from: *numbers.start(), to: *numbers.end() }
    }
}

view! {
    /// A record. `job` is the number of its job and what holds its lenses, where there is an order.
    pub(crate) RecordRow of (line: &Line, job: Option<(u32, Rim)>, name: String, of: String, stations: &Stations) {
        record: String = line.id.to_string(),
        seq: u32 = line.id.seq,
        boot: Option<u32> = line.ticks.map(|(boot, _)| boot),
        ticks_ms: Option<u32> = line.ticks.map(|(_, ticks)| ticks),
        at: Option<Timestamp> = line.at,
        /// Who dated it, where a keypad logged it.
        dated_by: Option<&'static str> = dated_by(line),
        /// Between what it was made, where it is not dated.
        after: Option<Timestamp> = line.between.and_then(|between| between.after),
        before: Option<Timestamp> = line.between.and_then(|between| between.before),
        job: Option<u32> = job.map(|(number, _)| number),
        job_id: Option<String> = line.job.map(|id| id.to_string()),
        void: bool = line.void,
        /// Why it does not count, if it was kept apart.
        apart: Option<String> = line.apart.clone(),
        says: String = line.fact.describe(job.map_or(Rim::Metal, |(_, rim)| rim)),
        /// At which of several stations.
        #[serde(skip_serializing_if = "Option::is_none")]
        station: Option<String> = stations.told_of(line).map(str::to_owned),
        /// Who said it, where its words do not tell.
        #[serde(skip_serializing_if = "Option::is_none")]
        by: Option<String> = line.by.clone().filter(|_| !tells_who(line)),
        /// How it was entered, where it tells.
        entered: Option<EnteredView> = line.how_entered().as_ref().map(EnteredView::of),
        /// What people call it.
        #[serde(skip)]
        called: String = name,
        /// What they are told before its words.
        #[serde(skip)]
        whose: String = of,
        #[serde(skip)]
        when: When = When::of(line),
    }
}

/// Whether what it says tells who says it.
const fn tells_who(line: &Line) -> bool {
    matches!(&line.fact, Fact::Desk(desk) if desk.has_initials())
}

fn dated_by(line: &Line) -> Option<&'static str> {
    let dated = line.ticks.and(line.at);
    dated.map(|_| if line.by_clock { "keypad" } else { "console" })
}

/// A time to the minute, where this machine is.
pub(crate) fn minute(at: Timestamp) -> String {
    When::at(Some(at)).words(&TimeZone::system(), TimeStyle::LISTED)
}

impl fmt::Display for RecordRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { called, when, whose, says, entered, station, by, .. } = self;
        let when = when.words(&TimeZone::system(), TimeStyle::LISTED);
        let void = if self.void { "UNDONE  " } else { "" };
        let says: String = plain(says).collect();
        let entered = entered.as_ref().and_then(EnteredView::words);
        let entered = entered.map_or_else(String::new, |words| format!("; {words}"));
        let at = station.as_ref().map(|station| format!("; at {station}"));
        let by = by.as_ref().map(|by| format!("; {by}"));
        let who: String = plain(&[at, by].into_iter().flatten().collect::<String>()).collect();
        write!(f, "{called:>6}  {when}  {void}{whose}{says}{entered}{who}")?;
        self.apart.iter().try_for_each(|why| write!(f, "\n        KEPT APART, it does not count: {why}"))
    }
}

impl fmt::Display for LogRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Gap { gap: MissingNumbers { from, to } } => {
                write!(f, "{:>6}  GAP: numbers {from} to {to} are missing", "")
            }
            Self::Record(record) => record.fmt(f),
        }
    }
}

/// Rows, a line each.
#[derive(Serialize)]
pub(crate) struct Listing<T>(pub(crate) Vec<T>);

impl<T: fmt::Display> fmt::Display for Listing<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.iter().map(T::to_string).collect::<Vec<_>>().join("\n"))
    }
}
