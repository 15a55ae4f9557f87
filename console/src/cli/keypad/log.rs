//! `keypad log`: what a keypad logged, with what is missing shown where it is missing.

use super::journal;
use crate::cli::{Failure, Report};
use crate::work::{Line, Work};
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_core::sizing::Rim;
use jiff::tz::TimeZone;
use serde_json::{Value, json};
use std::collections::BTreeMap;

pub(super) fn run(work: &Work, wanted: &str) -> Result<Report, Failure> {
    let id = find(work, wanted)?;
    let mut jobs = BTreeMap::new();
    for job in work.jobs()?.whole {
        let known = (job.order.number, job.order.frame.rim);
        jobs.extend(job.filed.into_iter().chain([job.id]).map(|of| (of, known)));
    }
    let entries = work.log_of(id)?;
    let gaps = work.journal(id)?.gaps;
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
    let journals = work.journals()?;
    let known = |id: &JournalId| keypads.iter().any(|keypad| keypad.journal == *id) || journals.contains(id);
    let written = journal(wanted).filter(known);
    named.map(|keypad| keypad.journal).or(written).ok_or_else(|| {
        let names: Vec<&str> = keypads.iter().map(|keypad| keypad.name.as_str()).collect();
        let known =
            if names.is_empty() { "none is adopted".into() } else { format!("known: {}", names.join(", ")) };
        Failure::NotFound(format!("no keypad `{wanted}`; {known}"))
    })
}

fn shown(line: &Line, jobs: &BTreeMap<JobId, (u32, Rim)>) -> (String, Value) {
    let job = line.job.and_then(|job| jobs.get(&job));
    let says = line.fact.describe(job.map_or(Rim::Metal, |(_, rim)| *rim));
    let called = match (job, line.job) {
        (Some((number, _)), _) => format!("job {number}  "),
        (None, Some(id)) => format!("own job {id}  "),
        (None, None) => String::new(),
    };
    let when = line.at.map_or("undated".into(), |at| {
        at.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
    });
    let record = json!({
        "seq": line.id.seq,
        "record": line.id.to_string(),
        "boot": line.ticks.map(|(boot, _)| boot),
        "ticks_ms": line.ticks.map(|(_, ticks)| ticks),
        "at": line.at.map(|at| at.to_string()),
        "job": job.map(|(number, _)| number),
        "job_id": line.job.map(|id| id.to_string()),
        "says": says,
        "void": line.void,
    });
    let void = if line.void { "VOID  " } else { "" };
    (format!("{:>6}  {when}  {void}{called}{says}", line.id.seq), record)
}
