//! `book backup`: a copy of the book.

use super::transfer::without_names;
use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::{Book, Place, backups_of};
use crate::view::BY_SERVER;
use clap::Args;
use jiff::{Unit, ZonedDateTime};
use std::path::PathBuf;

const HELP: &str = "\
A backup is looked over like the book in `book check` before it takes its name. One is made by itself on each day that
something is written, in the folder `backups` beside the book; `backup.days` in the settings says of how many days they
are kept. Copy that folder to another disk now and then: what takes the disk takes both.

Examples:
  bevelbook book backup
  bevelbook book backup /media/stick/book.db";

pub(super) const WITH_SERVER: &str = "this book is backed up with its server, by whoever looks after that; for a copy in a file give \
     the file: bevelbook book backup FILE";

/// Copy the book, also while others write to it.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct BackupArgs {
    /// The file to write; without it, one named by the time in the folder `backups` beside the book.
    path: Option<PathBuf>,
}

pub(super) fn run(shop: &Shop, args: &BackupArgs) -> Result<Report, Failure> {
    let book = Book::look(shop.place()?)?;
    let path = match &args.path {
        Some(path) => {
            book.backup_to(path)?;
            path.clone()
        }
        None => match book.back_up(ZonedDateTime::now().datetime(), shop.settings()?.0.backup.days)? {
            Some(path) => path,
            None => return Err(Failure::Use(WITH_SERVER.into())),
        },
    };
    Ok(answer!("backed up to {path}"; path = path.display().to_string()).hints(without_names(&book)))
}

/// The newest backup that was made beside the book, for people and as fields.
pub(crate) fn last(place: &Place) -> (String, Option<String>) {
    let Some(path) = place.as_file() else {
        return (format!("backed up {BY_SERVER}"), None);
    };
    let last = match backups_of(path) {
        Ok(mut backups) => backups.pop(),
        Err(why) => return (format!("whether there is a backup is not known: {why}"), None),
    };
    let Some(last) = last else { return ("no backup yet".into(), None) };
    let hours = ZonedDateTime::now().datetime().since((Unit::Hour, last.at)).map_or(0, |age| age.get_hours());
    let age = match hours {
        ..=0 => "less than an hour ago".to_owned(),
        1..=47 => format!("{hours} h ago"),
        _ => format!("{} days ago", hours / 24),
    };
    let at = last.at.strftime("%Y-%m-%d %H:%M");
    (format!("last backup {at}, {age}: {}", last.path.display()), Some(last.at.to_string()))
}
