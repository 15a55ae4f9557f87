//! A copy of the book, whole and on the disk before it takes its name.
//!
//! A backup is one file without a log, for its owner only, with all records, conflicts and names, and without
//! the mark of where the book lives: wherever it is put back, it begins a new console journal.

use super::part::Part;
use crate::store::engine::Conn;
use crate::store::error::{BUSY_S, refused};
use crate::store::fault::failed;
use crate::store::value::values;
use crate::store::{Trouble, verify};
use rusqlite::OpenFlags;
use rusqlite::backup::{Backup, StepResult};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

pub(in crate::store) const CHECKING: &str = "cannot check the backup";

/// Copies what `source`, a connection to the book, sees now.
pub(in crate::store) fn copy(source: &Conn, target: &Path) -> Result<(), Trouble> {
    let part = Part::of(target)?;
    fill(source, part.path())?;
    part.finish(target)
}

/// Fills the empty file at `part` with the book, makes it stand alone, and checks it.
pub(super) fn fill(source: &Conn, part: &Path) -> Result<(), Trouble> {
    // It may lie on another disk than the book, which is what a full disk is told of.
    let refused = |e| refused("cannot write the backup", part)(std::io::Error::other(e));
    let failed = failed(CHECKING);
    let mut copy = Conn::file(part, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    if let (Conn::File(source), Conn::File(copy)) = (source, &mut copy) {
        let (begun, backup) = (Instant::now(), Backup::new(source, copy).map_err(refused)?);
        // All pages in one step: a later step would begin anew after any write in between.
        while backup.step(-1).map_err(refused)? != StepResult::Done {
            if begun.elapsed() > Duration::from_secs(BUSY_S) {
                return Err(Trouble::Busy);
            }
            sleep(Duration::from_millis(20));
        }
    }
    stand_alone(copy)
}

/// Makes a copy one file without a log and without a home, and checks it.
pub(in crate::store) fn stand_alone(copy: Conn) -> Result<(), Trouble> {
    let failed = failed(CHECKING);
    copy.first("PRAGMA journal_mode = DELETE", values![], |_| Ok(())).map_err(failed)?;
    copy.execute("DELETE FROM home", values![]).map_err(failed)?;
    let problems = verify::verify(&copy)?;
    if !problems.is_empty() {
        return Err(Trouble::Damaged { what: problems.join("; ") });
    }
    copy.close().map_err(failed)
}
