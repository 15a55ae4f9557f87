//! `keypad log`: what a keypad logged, with what is missing shown where it is missing.

use super::journal::find;
use crate::cli::{Failure, Report};
use crate::view::{Listing, LogRow, RecordRow};
use crate::work::{Line, Stations, Work};
use bevelbook_core::record::JobId;
use bevelbook_core::sizing::Rim;
use std::collections::BTreeMap;

pub(super) fn run(work: &Work, wanted: &str) -> Result<Report, Failure> {
    let id = find(work, wanted)?;
    let mut jobs = BTreeMap::new();
    for (id, filed, known) in
        work.all_jobs(|job| (job.id, job.filed, (job.order.number, job.order.frame.rim)))?.whole
    {
        jobs.extend(filed.into_iter().chain([id]).map(|of| (of, known)));
    }
    let mut gaps = work.journal(id)?.gaps.into_iter().peekable();
    let (mut rows, stations) = (Vec::new(), work.stations()?);
    for line in work.log_of(id)? {
        let gap = gaps.next_if(|gap| *gap.end() < line.id.seq);
        rows.extend(gap.map(|gap| LogRow::Gap { gap: gap.into() }));
        rows.push(logged(&line, &jobs, &stations));
    }
    let none = rows.is_empty().then(|| "nothing of that keypad is in the book yet".into());
    Ok(Report::of(&Listing(rows)).hints(none))
}

fn logged(line: &Line, jobs: &BTreeMap<JobId, (u32, Rim)>, stations: &Stations) -> LogRow {
    let job = line.job.and_then(|job| jobs.get(&job)).copied();
    let of = match (job, line.job) {
        (Some((number, _)), _) => format!("job {number}  "),
        (None, Some(id)) => format!("walk-in {id}  "),
        (None, None) => String::new(),
    };
    LogRow::Record(Box::new(RecordRow::of(line, job, line.id.seq.to_string(), of, stations)))
}
