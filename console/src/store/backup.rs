//! A copy of the book, whole and on the disk before it takes its name.
//!
//! A backup is one file without a log, for its owner only, with all records, conflicts and names, and without
//! the mark of where the book lives: wherever it is put back, it begins a new console journal.

use super::{Error, Reader, mark, place};
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::fs;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant};

impl Reader {
    /// Copies the book to `target` while others may go on writing; an earlier backup there is replaced once
    /// the new one is whole and checked, and not touched before.
    ///
    /// # Errors
    /// `target` is the book itself or a file that is no book, its folder is missing, the disk is full, or the
    /// copy does not pass `quick_check`.
    pub fn backup_to(&self, target: &Path) -> Result<(), Error> {
        if target.exists() {
            let canonical = |p: &Path| fs::canonicalize(p).map_err(|e| Error::file(p, "cannot find", e));
            if canonical(target)? == canonical(self.path())? {
                return Err(Error::BackupOntoItself { path: self.path().to_path_buf() });
            }
            mark::look(target)?;
        }
        copy(&self.conn, self.path(), target)
    }
}

/// Copies what `source`, a connection to the book at `path`, sees now.
pub(super) fn copy(source: &Connection, path: &Path, target: &Path) -> Result<(), Error> {
    let number = getrandom::u64().map_err(|source| Error::Entropy { path: path.to_path_buf(), source })?;
    let part = Unfinished(place::beside(target, &format!(".part-{number:016x}")));
    place::create_private(&part.0).map_err(|e| Error::file(&part.0, "cannot make", e))?;
    fill(source, path, &part.0)?;
    place::sync_file(&part.0)?;
    fs::rename(&part.0, target).map_err(|e| Error::file(target, "cannot put the backup at", e))?;
    place::sync_folder_of(target)
}

/// Fills the empty file at `part` with the book, makes it stand alone, and checks it.
fn fill(source: &Connection, path: &Path, part: &Path) -> Result<(), Error> {
    let failed = |e| Error::database(part, "cannot write the backup", e);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut copy = Connection::open_with_flags(part, flags).map_err(failed)?;
    let begun = Instant::now();
    {
        let backup = Backup::new(source, &mut copy).map_err(failed)?;
        // All pages in one step: a later step would begin anew after any write in between.
        while backup.step(-1).map_err(failed)? != StepResult::Done {
            if begun.elapsed() > Duration::from_secs(super::error::BUSY_S) {
                return Err(Error::Busy { path: path.to_path_buf(), waited_s: super::error::BUSY_S });
            }
            sleep(Duration::from_millis(20));
        }
    }
    copy.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(())).map_err(failed)?;
    copy.execute("DELETE FROM home", []).map_err(failed)?;
    let what: String = copy.query_row("PRAGMA quick_check", [], |r| r.get(0)).map_err(failed)?;
    if what != "ok" {
        return Err(Error::Damaged { path: path.to_path_buf(), what });
    }
    copy.close().map_err(|(_, e)| failed(e))
}

/// A file that is removed again unless it was renamed to its final name.
struct Unfinished(PathBuf);

impl Drop for Unfinished {
    fn drop(&mut self) {
        // Nothing is there after a rename; what cannot be removed is an empty promise, not a fault.
        let _ = fs::remove_file(&self.0);
    }
}
