//! `book`: looking after the book.

use super::{Failure, Report, Status, shop::Shop};
use crate::store::Book;
use clap::Subcommand;
use serde_json::json;
use std::path::PathBuf;

#[derive(Subcommand)]
pub(crate) enum BookCommand {
    /// Show where the book is.
    Where,
    /// Look the book over: its pages, its references, its counts.
    Check,
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
            let report = Report::new(
                path.display().to_string(),
                json!({ "path": path.display().to_string(), "exists": path.exists() }),
            );
            Ok(if path.exists() {
                report
            } else {
                report.hint("there is no book there yet; the first job begins it")
            })
        }
        BookCommand::Check => check(&Book::open(&path)?),
        BookCommand::Backup { path: target } => {
            Book::open(&path)?.backup_to(target)?;
            let shown = target.display().to_string();
            Ok(Report::new(format!("backed up to {shown}"), json!({ "path": shown })))
        }
    }
}

fn check(book: &Book) -> Result<Report, Failure> {
    let health = book.check()?;
    let mut lines = vec![format!(
        "{} records of {} jobs in {} journals, {} names, {} conflicts",
        health.records, health.jobs, health.journals, health.people, health.conflicts
    )];
    lines.extend(health.problems.iter().map(|problem| format!("PROBLEM: {problem}")));
    let sound = health.problems.is_empty() && health.conflicts == 0;
    lines.push(if sound {
        "sound".into()
    } else {
        "NOT sound: keep this file and go on from a backup".into()
    });
    let json = json!({
        "records": health.records,
        "jobs": health.jobs,
        "journals": health.journals,
        "people": health.people,
        "conflicts": health.conflicts,
        "problems": health.problems,
        "sound": sound,
    });
    let mut report = Report::new(lines.join("\n"), json);
    if !sound {
        report.status = Status::NotWithin;
    }
    Ok(report)
}
