//! `book check`: whether the book is fine.

use super::backup::last;
use super::given::is_there;
use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::Health;
use crate::work::Work;
use clap::Args;
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct BookCheckArgs {
    /// Another file than the book, such as a backup; it is only read.
    #[arg(value_name = "FILE", conflicts_with = "renew")]
    file: Option<PathBuf>,
    /// First make anew what jobs are found by.
    #[arg(long)]
    renew: bool,
}

pub(super) fn run(shop: &Shop, args: &BookCheckArgs) -> Result<Report, Failure> {
    if args.renew {
        shop.open()?.renew()?;
    }
    if let Some(file) = &args.file {
        is_there(file)?;
        return Ok(checked(Work::check(file)?));
    }
    let path = shop.place()?;
    let report = checked(Work::check(&path)?);
    let (told, last) = last(&path);
    Ok(report.with("last_backup", last).hint(told))
}

fn checked(health: Health) -> Report {
    let Health { problems, records, apart, journals, jobs, people, conflicts, unsettled, unseen } = health;
    let sound = problems.is_empty();
    let told: String = problems.iter().map(|problem| format!("PROBLEM: {problem}\n")).collect();
    let verdict = if sound {
        "the book is fine"
    } else {
        "the book is NOT fine: bring a backup back with `book restore FILE`, which keeps this book"
    };
    let named = people.map_or_else(|| "not looked at".to_owned(), |people| people.to_string());
    let unseen_told: Vec<String> = unseen.iter().map(|what| format!("not looked at: {what}")).collect();
    let mut report = answer!(
        "{told}{verdict}\n  jobs {jobs}, records {records}, logs {journals}, names {}, conflicts {conflicts}, kept apart {apart}", named;
        records = records,
        apart = apart,
        jobs = jobs,
        journals = journals,
        people = people,
        conflicts = conflicts,
        unsettled = unsettled,
        problems = problems,
        unseen = unseen,
        sound = sound,
    );
    report.not_within = !sound || unsettled > 0;
    let kept = "what is kept apart does not count; `bevelbook keypad log` shows it with the reason";
    let waits = format!("{unsettled} conflicts wait for a decision: `bevelbook book conflicts` shows them");
    report.hints(unseen_told).hints((apart > 0).then(|| kept.into())).hints((unsettled > 0).then_some(waits))
}
