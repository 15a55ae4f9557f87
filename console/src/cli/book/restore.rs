//! `book restore`: a backup brought back in the book's place.

use super::given::is_there;
use crate::cli::{Failure, Report, shop::Shop};
use crate::store::{Book, Holds, Restored};
use crate::view::minute;
use clap::Args;
use jiff::{Timestamp, ZonedDateTime};
use serde_json::{Value, json};
use std::path::PathBuf;

const WITH_SERVER: &str = "a book that a server keeps is brought back by whoever keeps the server, from what they backed up; from a \
     backup in a file it comes into a new database, in which nothing is yet: bevelbook --book postgres://HOST/DATABASE book begin, \
     then book import FILE";

const HELP: &str = "\
The backup is looked over first. The present book is never written over: it is kept beside the new one, with the time
behind its name, and can be brought back in the same way. Close what has the book open, such as `bevelbook bench`.
Records that only the former book has are counted; a keypad that still holds some is asked for them again.

Examples:
  bevelbook book restore backups/book-2026-11-27-080312.db --dry-run
  bevelbook book restore backups/book-2026-11-27-080312.db";

/// Bring a backup back in the book's place; the present book is kept beside it.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct RestoreArgs {
    /// The backup, or a book that was kept.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Only say what would come of it.
    #[arg(long)]
    dry_run: bool,
}

pub(super) fn run(shop: &Shop, args: &RestoreArgs) -> Result<Report, Failure> {
    is_there(&args.file)?;
    let place = shop.place()?;
    let path = place.as_file().ok_or_else(|| Failure::Use(WITH_SERVER.into()))?;
    let when = ZonedDateTime::now().strftime("%Y-%m-%d-%H%M%S").to_string();
    let restored = Book::restore(path, &args.file, &when, args.dry_run)?;
    let problems = restored.health.as_ref().map(|health| health.problems.clone()).unwrap_or_default();
    let sound = problems.is_empty();
    let json = json!({
        "path": path.display().to_string(),
        "from": args.file.display().to_string(),
        "dry_run": args.dry_run,
        "kept": restored.kept.as_ref().map(|kept| kept.display().to_string()),
        "journals": fields(&restored.journals),
        "missing": fields(&restored.missing),
        "former_unread": restored.former_unread,
        "problems": problems,
        "sound": sound,
    });
    let text = format!("{}\n{}", headline(args, &path.display().to_string()), told(&restored, args.dry_run));
    let mut report = Report::new(text, json);
    report.not_within = !sound;
    let others = !restored.missing.is_empty();
    Ok(report.hints(others.then(|| {
        "a keypad that still holds any of these is asked for them again when it is connected; the rest comes back by \
         `book export` of the former book and `book import`"
            .to_owned()
    })))
}

fn headline(args: &RestoreArgs, path: &str) -> String {
    let file = args.file.display();
    if args.dry_run {
        format!("{file} would take the place of {path}")
    } else {
        format!("{path} is {file} again")
    }
}

fn told(restored: &Restored, dry_run: bool) -> String {
    let mut lines = vec!["it has".to_owned()];
    lines.extend(listed(&restored.journals));
    if let Some(why) = &restored.former_unread {
        lines.push(format!("what only the former book has is not known: {why}"));
    } else if restored.kept.is_some() && restored.missing.is_empty() {
        lines.push("the former book has nothing that is not in it".to_owned());
    } else if !restored.missing.is_empty() {
        lines.push("only in the former book:".to_owned());
        lines.extend(listed(&restored.missing));
    }
    if let Some(kept) = &restored.kept {
        let verb = if dry_run { "would be" } else { "is" };
        lines.push(format!("the former book {verb} kept as {}", kept.display()));
    }
    let problems = restored.health.iter().flat_map(|health| &health.problems);
    lines.extend(problems.map(|problem| format!("PROBLEM: {problem}")));
    lines.join("\n")
}

fn listed(journals: &[Holds]) -> Vec<String> {
    if journals.is_empty() {
        return vec!["  no records".to_owned()];
    }
    let line = |Holds { journal, records, last, newest_ms }: &Holds| {
        let newest = newest_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok());
        let newest = newest.map_or("undated".to_owned(), |at| format!("newest {}", minute(at)));
        format!("  log {journal}: {records} records, the last number {last}, {newest}")
    };
    journals.iter().map(line).collect()
}

fn fields(journals: &[Holds]) -> Vec<Value> {
    let fields = |Holds { journal, records, last, newest_ms }: &Holds| {
        let newest = newest_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok());
        json!({ "journal": journal.to_string(), "records": records, "last": last, "newest": newest })
    };
    journals.iter().map(fields).collect()
}
