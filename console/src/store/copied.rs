//! A copy of the book in a file of its own, on whichever engine it is: of a file its pages, of a server what it has.

use super::engine::Conn;
use super::error::refused;
use super::fault::failed;
use super::file::{Part, backup, mark, migrate, schema};
use super::{Book, Error, Place, Reader, Trouble};
use backup::{CHECKING, copy, stand_alone};
use rusqlite::OpenFlags;
use std::fs;
use std::path::Path;

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
        match &self.conn {
            Conn::File(_) => self.join(copy(&self.conn, target)),
            Conn::Server(_) => self.write_down(target),
        }
    }

    /// Takes what a server has into a book at `target`, as any book is taken into another (`merge.rs`).
    fn write_down(&self, target: &Path) -> Result<(), Error> {
        let part = self.join(Part::of(target))?;
        let conn = self.join(
            Conn::file(part.path(), OpenFlags::SQLITE_OPEN_READ_WRITE)
                .map_err(failed("cannot write the backup")),
        )?;
        self.join(migrate(&conn, part.path(), schema::MIGRATIONS))?;
        let reader = Reader::new(conn, &Place::from(part.path()));
        Book { reader, _log: None, opened: None }.import_book(self)?;
        let copy = Conn::file(part.path(), OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed(CHECKING));
        self.join(copy.and_then(stand_alone).and_then(|()| part.finish(target)))
    }
}
