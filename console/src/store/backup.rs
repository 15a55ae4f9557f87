//! A copy of the book, whole and on the disk before it takes its name.
//!
//! A backup is one file without a log, for its owner only, with all records, conflicts and names, and without
//! the mark of where the book lives: wherever it is put back, it begins a new console journal.

use super::error::{BUSY_S, failed, refused};
use super::part::Part;
use super::{Error, Reader, Trouble, mark, verify};
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::fs;
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

impl Reader {
    /// Copies the book to `target` while others may go on writing; an earlier backup there is replaced once
    /// the new one is whole and checked, and not touched before.
    ///
    /// # Errors
    /// `target` is the book itself or a file that is no book, its folder is missing, the disk is full, or the
    /// copy is not sound.
    pub fn backup_to(&self, target: &Path) -> Result<(), Error> {
        if target.exists() {
            let canonical = |path: &Path| fs::canonicalize(path).map_err(refused("cannot find", path));
            if self.join(canonical(target))? == self.join(canonical(self.path()))? {
                return self.join(Err(Trouble::Itself));
            }
            mark::look(target).map_err(|trouble| trouble.at(target))?;
        }
        self.join(copy(&self.conn, target))
    }
}

/// Copies what `source`, a connection to the book, sees now.
pub(super) fn copy(source: &Connection, target: &Path) -> Result<(), Trouble> {
    let part = Part::of(target)?;
    fill(source, part.path())?;
    part.finish(target)
}

/// Fills the empty file at `part` with the book, makes it stand alone, and checks it.
pub(super) fn fill(source: &Connection, part: &Path) -> Result<(), Trouble> {
    // It may lie on another disk than the book, which is what a full disk is told of.
    let refused = |e| refused("cannot write the backup", part)(std::io::Error::other(e));
    let failed = failed("cannot check the backup");
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut copy = Connection::open_with_flags(part, flags).map_err(refused)?;
    let begun = Instant::now();
    {
        let backup = Backup::new(source, &mut copy).map_err(refused)?;
        // All pages in one step: a later step would begin anew after any write in between.
        while backup.step(-1).map_err(refused)? != StepResult::Done {
            if begun.elapsed() > Duration::from_secs(BUSY_S) {
                return Err(Trouble::Busy);
            }
            sleep(Duration::from_millis(20));
        }
    }
    copy.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(())).map_err(failed)?;
    copy.execute("DELETE FROM home", []).map_err(failed)?;
    let problems = verify::verify(&copy)?;
    if !problems.is_empty() {
        return Err(Trouble::Damaged { what: problems.join("; ") });
    }
    copy.close().map_err(|(_, e)| failed(e))
}
