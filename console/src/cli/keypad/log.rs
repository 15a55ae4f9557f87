//! `keypad log`: what a keypad logged, with what is missing shown where it is missing.

use super::journal;
use crate::cli::{Failure, Report};
use crate::store::Entry;
use crate::work::{Fact, Work};
use bevelbook_core::record::{Bench, JobId, JournalId};
use bevelbook_core::sizing::Rim;
use jiff::{Timestamp, tz::TimeZone};
use serde_json::{Value, json};
use std::collections::BTreeMap;

pub(super) fn run(work: &Work, wanted: &str) -> Result<Report, Failure> {
    let id = find(work, wanted)?;
    let mut jobs = BTreeMap::new();
    for job in work.jobs()?.whole {
        for entry in work.entries_of(job.id)? {
            jobs.extend(entry.job.map(|of| (of, (job.order.number, job.order.frame.rim))));
        }
    }
    let mut entries = work.book().entries_of_journal(id, 0..=u32::MAX)?;
    entries.sort_by_key(|entry| entry.id.seq);
    let gaps = work.book().gaps(id)?;
    let mut gaps = gaps.iter().peekable();
    let (mut lines, mut records) = (Vec::new(), Vec::new());
    for entry in &entries {
        if let Some(gap) = gaps.next_if(|gap| *gap.end() < entry.id.seq) {
            let (from, to) = (gap.start(), gap.end());
            lines.push(format!("{:>6}  GAP: numbers {from} to {to} are missing", ""));
            records.push(json!({ "gap": { "from": from, "to": to } }));
        }
        let (line, record) = shown(entry, &jobs);
        lines.push(line);
        records.push(record);
    }
    let none = lines.is_empty();
    let report = Report::new(lines.join("\n"), records.into());
    Ok(if none { report.hint("nothing of that keypad is in the book yet") } else { report })
}

fn find(work: &Work, wanted: &str) -> Result<JournalId, Failure> {
    let keypads = work.keypads()?;
    let named = keypads.iter().find(|keypad| keypad.name.to_lowercase() == wanted.to_lowercase());
    let journals = work.book().journals()?;
    let known = |id: &JournalId| {
        keypads.iter().any(|keypad| keypad.journal == *id) || journals.iter().any(|(known, _)| known == id)
    };
    let written = journal(wanted).filter(known);
    named.map(|keypad| keypad.journal).or(written).ok_or_else(|| {
        let names: Vec<&str> = keypads.iter().map(|keypad| keypad.name.as_str()).collect();
        let known =
            if names.is_empty() { "none is adopted".into() } else { format!("known: {}", names.join(", ")) };
        Failure::NotFound(format!("no keypad `{wanted}`; {known}"))
    })
}

fn shown(entry: &Entry, jobs: &BTreeMap<u64, (u32, Rim)>) -> (String, Value) {
    let fact = Bench::decode(entry.kind, &entry.payload).map_or(Fact::Unknown(entry.kind), Fact::Bench);
    let job = entry.job.and_then(|job| jobs.get(&job));
    let says = fact.describe(job.map_or(Rim::Metal, |(_, rim)| *rim));
    let called = match (job, entry.job) {
        (Some((number, _)), _) => format!("job {number}  "),
        (None, Some(id)) => format!("own job {}  ", JobId(id)),
        (None, None) => String::new(),
    };
    let at = entry.utc_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok());
    let when = at.map_or("undated".into(), |at| {
        at.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
    });
    let record = json!({
        "seq": entry.id.seq,
        "record": entry.id.to_string(),
        "boot": entry.boot,
        "ticks_ms": entry.ticks,
        "at": at.map(|at| at.to_string()),
        "job": job.map(|(number, _)| number),
        "job_id": entry.job.map(|id| JobId(id).to_string()),
        "says": says,
    });
    (format!("{:>6}  {when}  {called}{says}", entry.id.seq), record)
}
