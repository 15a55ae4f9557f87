//! `book`: looking after the book.

use super::{Failure, Report, answer, shop::Shop};
use crate::store::{Book, Health};
use crate::work::Work;
use clap::Subcommand;
use std::path::PathBuf;

#[derive(Subcommand)]
pub(crate) enum BookCommand {
    /// Show where the book is.
    Where,
    /// Look the whole book over: its pages, its references, the digest of every record; name what is wrong.
    Check {
        /// First make anew what jobs are found by.
        #[arg(long)]
        renew: bool,
    },
    /// Copy the book, also while others write to it.
    Backup {
        /// The file to write.
        path: PathBuf,
    },
}

pub(crate) fn run(shop: &Shop, command: &BookCommand) -> Result<Report, Failure> {
    let path = shop.book_path()?;
    match command {
        BookCommand::Where => {
            let there = path.exists();
            let hint = "there is no book there yet; the first job begins it";
            let report = answer!("{path}"; path = path.display().to_string(), exists = there);
            Ok(report.hints((!there).then(|| hint.into())))
        }
        BookCommand::Check { renew } => {
            if *renew {
                shop.open()?.renew()?;
            }
            Ok(checked(Work::check(&path)?))
        }
        BookCommand::Backup { path: target } => {
            Book::look(&path)?.backup_to(target)?;
            Ok(answer!("backed up to {path}"; path = target.display().to_string()))
        }
    }
}

fn checked(health: Health) -> Report {
    let Health { problems, records, apart, journals, jobs, people, conflicts } = health;
    let fine = problems.is_empty() && conflicts == 0;
    let told: String = problems.iter().map(|problem| format!("PROBLEM: {problem}\n")).collect();
    let verdict = if fine { "sound" } else { "NOT sound: keep this file and go on from a backup" };
    let mut report = answer!(
        "{records} records of {jobs} jobs in {journals} journals, {people} names, {conflicts} conflicts, {apart} kept apart\n{told}{verdict}";
        records = records,
        apart = apart,
        jobs = jobs,
        journals = journals,
        people = people,
        conflicts = conflicts,
        problems = problems,
        sound = fine,
    );
    report.not_within = !fine;
    report
}
