//! A name leaves the book and every copy of the book that lies beside it: backups in their folder, those made before a
//! migration, and books that were kept when a backup was brought back.
//!
//! A copy is not changed in place: it is copied anew without the name, into pages that never held it, and takes its own
//! place. The book comes last, so that whoever is cut off finds the name there and does it again. Exports, sheets and
//! backups that were written elsewhere are not known here.

use super::backup;
use super::daily::backups_of;
use super::part::Part;
use super::paths::beside;
use crate::file::folder_of;
use crate::store::engine::Conn;
use crate::store::error::refused;
use crate::store::fault::failed;
use crate::store::value::values;
use crate::store::{Book, Error, Place, Trouble};
use rusqlite::OpenFlags;
use std::fs;
use std::path::{Path, PathBuf};

/// What became of a name.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Forgotten {
    /// Whether the book had it.
    pub was_here: bool,
    /// Whether the place where it stood holds it no longer either.
    pub tidied: bool,
    /// Copies that had it, and have it no longer.
    pub rewritten: Vec<PathBuf>,
    /// Copies that could not be read or rewritten, and may still have it, each with the reason.
    pub left: Vec<(PathBuf, String)>,
}

/// The copies of the book at `path` that lie beside it.
///
/// # Errors
/// A folder cannot be read.
pub fn copies_of(path: &Path) -> Result<Vec<PathBuf>, Error> {
    let mut copies: Vec<PathBuf> = backups_of(path)?.into_iter().map(|backup| backup.path).collect();
    let folder = folder_of(path);
    let entries = fs::read_dir(folder)
        .map_err(refused("cannot read folder", folder))
        .map_err(|t| t.at(Place::from(path)))?;
    let book = path.file_name().unwrap_or_default().to_string_lossy();
    copies.extend(entries.flatten().map(|entry| entry.path()).filter(|file| {
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        let behind = name.strip_prefix(&*book).unwrap_or_default();
        let log = ["-wal", "-shm", "-journal"].iter().any(|log| behind.ends_with(log));
        !log && (behind.starts_with(".schema-") || behind.starts_with(".before-"))
    }));
    copies.sort();
    Ok(copies)
}

impl Book {
    /// Removes the name behind a reference from the book and from the copies beside it; records keep the reference.
    ///
    /// # Errors
    /// As [`Book::forget_person`].
    pub fn forget(&mut self, reference: &str) -> Result<Forgotten, Error> {
        let mut forgotten = Forgotten::default();
        let copies = self.place().as_file().map_or(Ok(Vec::new()), copies_of)?;
        for copy in copies {
            match without(&copy, reference) {
                Ok(false) => {}
                Ok(true) => forgotten.rewritten.push(copy),
                Err(why) => forgotten.left.push((copy, why.to_string())),
            }
        }
        (forgotten.was_here, forgotten.tidied) = self.forget_person(reference)?;
        Ok(forgotten)
    }
}

/// Rewrites a copy without a name; whether it had it.
fn without(copy: &Path, reference: &str) -> Result<bool, Error> {
    let book = Book::look(copy)?;
    if book.person(reference)?.is_none() {
        return Ok(false);
    }
    book.join(rewrite(&book.reader.conn, copy, reference)).map(|()| true)
}

fn rewrite(source: &Conn, copy: &Path, reference: &str) -> Result<(), Trouble> {
    let part = Part::of(copy)?;
    backup::fill(source, part.path())?;
    let failed = failed("cannot remove a name");
    let conn = Conn::file(part.path(), OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    conn.batch("PRAGMA secure_delete = ON").map_err(failed)?;
    conn.execute("DELETE FROM person WHERE reference = ?1", values![reference]).map_err(failed)?;
    conn.batch("VACUUM").map_err(failed)?;
    conn.close().map_err(failed)?;
    part.finish(copy)?;
    for log in ["-wal", "-shm", "-journal"] {
        let log = beside(copy, log);
        if log.exists() {
            fs::remove_file(&log).map_err(refused("cannot remove", &log))?;
        }
    }
    Ok(())
}
