//! Backups in a folder of their own beside the book: `backups`, for its owner only.
//!
//! A backup is named after the book and the local time at which it was made, so that none takes the place of another;
//! each was verified when it was made, by the look that `check` takes. Those of so many days are kept. An older one is
//! removed only when the newest backup reaches as far as it does: backups of a book that was begun anew, or brought
//! back from long ago, push out nothing.

use super::backup;
use super::paths::{beside, make_folder};
use crate::file::folder_of;
use crate::store::error::refused;
use crate::store::{Book, Error, Place, Reader, Trouble};
use jiff::civil::DateTime;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// A backup in the folder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Backup {
    /// When it was made, by the clock on the wall.
    pub at: DateTime,
    /// The file.
    pub path: PathBuf,
}

const STAMP: &str = "%Y-%m-%d-%H%M%S";

/// The backups of the book at `path` in its folder of backups, oldest first.
///
/// # Errors
/// The folder cannot be read.
pub fn backups_of(path: &Path) -> Result<Vec<Backup>, Error> {
    let folder = folder(path);
    let entries = match fs::read_dir(&folder) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => {
            entries.map_err(refused("cannot read folder", &folder)).map_err(|t| t.at(Place::from(path)))?
        }
    };
    let before = format!("{}-", stem(path));
    let made = |name: &str| {
        let stamp = name.strip_prefix(&before)?.strip_suffix(".db")?;
        DateTime::strptime(STAMP, stamp).ok()
    };
    let backup = |entry: fs::DirEntry| {
        let at = made(entry.file_name().to_str()?)?;
        Some(Backup { at, path: entry.path() })
    };
    let mut backups: Vec<Backup> = entries.flatten().filter_map(backup).collect();
    backups.sort_unstable();
    Ok(backups)
}

impl Reader {
    /// The backups in the book's folder of backups, oldest first; none of a book that a server keeps.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn backups(&self) -> Result<Vec<Backup>, Error> {
        self.place().as_file().map_or(Ok(Vec::new()), backups_of)
    }

    /// Makes a backup in the book's folder of backups, named by the time it is, and keeps those of `days` days. A book that a
    /// server keeps is backed up with the server.
    ///
    /// # Errors
    /// As [`Reader::backup_to`]; no backup is removed then.
    pub fn back_up(&self, now: DateTime, days: usize) -> Result<Option<PathBuf>, Error> {
        let Some(path) = self.place().as_file() else { return Ok(None) };
        let target = folder(path).join(format!("{}-{}.db", stem(path), now.strftime(STAMP)));
        self.join(make_folder(folder_of(&target)).and_then(|()| backup::copy(&self.conn, &target)))?;
        self.join(thin(&self.backups()?, days))?;
        Ok(Some(target))
    }
}

fn folder(path: &Path) -> PathBuf {
    folder_of(path).join("backups")
}

fn stem(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
}

/// Removes the backups of all but the newest `days` days on which some were made.
fn thin(backups: &[Backup], days: usize) -> Result<(), Trouble> {
    let all: BTreeSet<_> = backups.iter().map(|backup| backup.at.date()).collect();
    let (Some(oldest), Some(newest)) = (all.iter().rev().nth(days.max(1) - 1), backups.last()) else {
        return Ok(());
    };
    let old: Vec<&Backup> = backups.iter().filter(|backup| backup.at.date() < *oldest).collect();
    if old.is_empty() {
        return Ok(());
    }
    let reach = |backup: &Backup| Book::look(&backup.path).and_then(|book| book.last_position());
    let newest = reach(newest).map_err(|error| error.trouble)?;
    for backup in old {
        if reach(backup).is_ok_and(|old| old <= newest) {
            for log in ["", "-wal", "-shm"] {
                // What is still there at the next backup is removed then.
                let _ = fs::remove_file(beside(&backup.path, log));
            }
        }
    }
    Ok(())
}
