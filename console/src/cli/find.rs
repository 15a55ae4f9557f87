//! `job find`: jobs by what a person at the counter knows of one.

use super::dates::due;
use super::{Failure, Report};
use crate::view::{FoundJobs, JobView, Names};
use crate::work::{Sought, Work};

pub(super) fn find(work: &Work, words: &[String], json: bool) -> Result<Report, Failure> {
    let words = words.iter().flat_map(|word| word.split_whitespace());
    let day = |word: &str| due(word).ok().map(|read| read.date);
    let sought: Vec<Sought> = words.map(|word| Sought { word: word.into(), day: day(word) }).collect();
    let found = work.search(&sought)?;
    if found.is_empty() {
        let near = sought.iter().map(|sought| work.written_alike(&sought.word));
        let near = near.collect::<Result<Vec<_>, _>>()?;
        let near: Vec<String> = near.into_iter().flatten().map(|near| format!("`{near}`")).collect();
        let hint = match near[..] {
            [] => "`bevelbook job list --all` shows every job".into(),
            _ => format!("did you mean {}?", near.join(", ")),
        };
        return Err(Failure::NotFound(format!("no job fits all of that; {hint}")));
    }
    let standard = work.settings().tolerances()?;
    let jobs = found.iter().map(|job| JobView::of(job, &standard)).collect();
    Ok(Report::of_one(&FoundJobs { jobs, names: Names(work.names()?) }, json))
}
