//! A copy of the book, whole and on the disk before it takes its name.
//!
//! A backup is one file without a log, for its owner only, with all records, conflicts and names, and without
//! the mark of where the book lives: wherever it is put back, it begins a new console journal.

use super::part::Part;
use super::{mark, migrate, schema};
use crate::store::chain::{Chained, Digest, Heads};
use crate::store::engine::Conn;
use crate::store::entry::{columns, entry};
use crate::store::error::{BUSY_S, refused};
use crate::store::fault::failed;
use crate::store::value::{Fault, For, values};
use crate::store::{Error, Place, Reader, Trouble, verify};
use bevelbook_core::record::JournalId;
use rusqlite::OpenFlags;
use rusqlite::backup::{Backup, StepResult};
use std::fs;
use std::ops::ControlFlow;
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
            let own = self.place().as_file().map(canonical).transpose();
            if Some(self.join(canonical(target))?) == self.join(own)? {
                return self.join(Err(Trouble::Itself));
            }
            mark::look(target).map_err(|trouble| trouble.at(Place::from(target)))?;
        }
        self.join(copy(&self.conn, target))
    }
}

/// Copies what `source`, a connection to the book, sees now.
pub(super) fn copy(source: &Conn, target: &Path) -> Result<(), Trouble> {
    let part = Part::of(target)?;
    fill(source, part.path())?;
    part.finish(target)
}

/// Fills the empty file at `part` with the book, makes it stand alone, and checks it.
pub(super) fn fill(source: &Conn, part: &Path) -> Result<(), Trouble> {
    // It may lie on another disk than the book, which is what a full disk is told of.
    let refused = |e| refused("cannot write the backup", part)(std::io::Error::other(e));
    let failed = failed("cannot check the backup");
    let mut copy = Conn::file(part, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    match (source, &mut copy) {
        (Conn::File(source), Conn::File(copy)) => {
            let (begun, backup) = (Instant::now(), Backup::new(source, copy).map_err(refused)?);
            // All pages in one step: a later step would begin anew after any write in between.
            while backup.step(-1).map_err(refused)? != StepResult::Done {
                if begun.elapsed() > Duration::from_secs(BUSY_S) {
                    return Err(Trouble::Busy);
                }
                sleep(Duration::from_millis(20));
            }
        }
        _ => {
            migrate::migrate(&copy, part, schema::MIGRATIONS)?;
            rows(source, &copy).map_err(failed)?;
        }
    }
    copy.first("PRAGMA journal_mode = DELETE", values![], |_| Ok(())).map_err(failed)?;
    copy.execute("DELETE FROM home", values![]).map_err(failed)?;
    let problems = verify::verify(&copy)?;
    if !problems.is_empty() {
        return Err(Trouble::Damaged { what: problems.join("; ") });
    }
    copy.close().map_err(failed)
}

/// Copies row by row what a server has, as it is at one moment.
fn rows(source: &Conn, copy: &Conn) -> Result<(), Fault> {
    let moment = (!source.is_open()).then(|| source.begin(For::Reading)).transpose()?;
    let (writing, mut heads) = (copy.begin(For::Making)?, Heads::default());
    source.each("SELECT id, begun_here FROM journal", values![], &mut |row| {
        let (id, begun_here): (JournalId, bool) = (row.get(0)?, row.get(1)?);
        copy.execute("INSERT INTO journal (id, begun_here) VALUES (?1, ?2)", values![id, begun_here])?;
        Ok(ControlFlow::Continue(()))
    })?;
    for table in [Chained::Record, Chained::Conflict] {
        let sql = format!("SELECT {} FROM {} ORDER BY position", columns!(), table.name());
        source.each(&sql, values![], &mut |row| {
            let entry = entry(row)?;
            heads.insert(copy, table, Some(entry.position), &entry)?;
            Ok(ControlFlow::Continue(()))
        })?;
    }
    source.each("SELECT reference, name, digest FROM person", values![], &mut |row| {
        let (reference, name, digest): (String, String, Digest) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let sql = "INSERT INTO person (reference, name, digest) VALUES (?1, ?2, ?3)";
        copy.execute(sql, values![&reference, &name, &digest])?;
        Ok(ControlFlow::Continue(()))
    })?;
    heads.keep(copy)?;
    drop(moment);
    writing.commit()
}
