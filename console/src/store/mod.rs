//! The book: a database that is the union of journals, in a file of this machine (`file`) or on a server (`server`).
//!
//! A record goes in once and is never changed or removed; the order of commits in the book is the order between
//! journals ([`Entry::position`]). This module knows nothing of what a record says: to it a record is an id,
//! a kind code, a job to find it by, and bytes. SQL stays in here, and but for what an engine alone has it is written once.
//!
//! - Any number of consoles may write to one book. A write is a closure inside a transaction that nobody else's runs beside
//!   ([`Book::write`]); this console's numbers are allotted in there, so they have no gaps and no doubles.
//! - A record may be acknowledged to a keypad only after [`Book::write`] has returned `Ok`: then it is on the disk.
//! - After an error from a write, drop the book and open it again before anything else is relied upon.
//!
//! Files: `place` where a book is · `engine` the connection, `value`, `listed`, `told` what goes through it, `fault` what it refuses ·
//! `file`, `server` what each engine alone has · `chain`, `heads` digests · `entry` what a record is here · `found` what jobs are
//! found by · `read`, `newer`, `apart`, `ahead` · `write` · `people` names · `roles` who may what · `check` what is in it · `verify`,
//! `objects`, `walk` what is wrong with it · `export`, `lines` · `merge` another book's come in, `copied` its own go out · `error`.

mod ahead;
mod apart;
mod chain;
mod check;
mod copied;
mod engine;
mod entry;
mod error;
mod export;
mod fault;
mod file;
mod found;
mod heads;
mod lines;
mod listed;
mod merge;
mod newer;
mod objects;
mod people;
mod place;
mod read;
mod roles;
mod server;
#[cfg(test)]
mod tests;
mod told;
mod value;
mod verify;
mod walk;
mod write;

pub use check::Health;
pub use entry::{Entry, Imported, NewEntry, Received};
pub use error::{Error, Trouble};
pub use export::Unread;
pub use file::{
    Backup, Forgotten, Holds, NoDataFolder, Restored, backups_of, copies_of, default_book_path, is_database,
};
pub use found::{Stray, Upto, Words, can_be_kept};
pub use lines::ImportError;
pub use merge::{Counts, Merged};
pub use newer::Newer;
pub use place::Place;
pub use read::Reader;
pub use server::{About, Address, Duty, NotAnAddress, Patience, Refusal, Rights};
#[cfg(test)]
pub(crate) use tests::{Ground, on_both_engines};
pub use write::Tx;

use engine::Conn;
use file::Opened;

/// An open book. Reads are those of [`Reader`].
#[derive(Debug)]
pub struct Book {
    reader: Reader,
    /// What keeps the log of a book that is looked into. Fields are dropped in this order.
    _log: Option<Conn>,
    /// The file that was opened, if it is one; dropped behind the connections.
    opened: Option<Opened>,
}

impl std::ops::Deref for Book {
    type Target = Reader;

    fn deref(&self) -> &Reader {
        &self.reader
    }
}

impl Drop for Book {
    fn drop(&mut self) {
        // Closing puts the log into the file; not where that is another book by now, or the log another's.
        if matches!(self.still_there(), Err(Trouble::Replaced)) {
            let _ = file::keep_log(&self.reader.conn, true);
        }
    }
}

impl Book {
    /// Opens the book at `place` to read and to write. An older book is brought to the newest schema; a file is backed up
    /// beside itself before that (`.schema-N` behind its name).
    ///
    /// # Errors
    /// There is none ([`Trouble::Missing`]), it is no book ([`Trouble::NotABook`], it stays untouched), it was written by newer
    /// software ([`Trouble::NewerSchema`]), or the system or the server refuses.
    pub fn open(place: impl Into<Place>) -> Result<Self, Error> {
        let place = place.into();
        let opened = match &place {
            Place::File(path) => file::open(path).map(|(conn, opened)| (conn, Some(opened))),
            Place::Server(address) => {
                server::open(address, Patience::Typed).map(|link| (Conn::Server(Box::new(link)), None))
            }
        };
        match opened {
            Ok((conn, opened)) => Ok(Self { reader: Reader::new(conn, &place), _log: None, opened }),
            Err(trouble) => Err(trouble.at(place)),
        }
    }

    /// Opens the book at `place` to look into it: every write to it fails, and nothing is changed, made or left anywhere. An
    /// older file is read as it is (`file/look.rs`).
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn look(place: impl Into<Place>) -> Result<Self, Error> {
        let place = place.into();
        let looked = match &place {
            Place::File(path) => file::look(path).map(|file| {
                let reader = Reader::new(file.conn, &place);
                (Self { reader, _log: file.log, opened: Some(file.opened) }, file.wordless)
            }),
            Place::Server(address) => server::look(address).map(|link| {
                let reader = Reader::new(Conn::Server(Box::new(link)), &place);
                (Self { reader, _log: None, opened: None }, false)
            }),
        };
        let (book, wordless) = looked.map_err(|trouble| trouble.at(place))?;
        if wordless {
            book.in_memory()?;
        }
        Ok(book)
    }

    /// Begins a book at `place`, and the folder of a file where that is missing; `false` where something is there already.
    ///
    /// # Errors
    /// It cannot be made.
    pub fn begin(place: impl Into<Place>) -> Result<bool, Error> {
        let place = place.into();
        let begun = match &place {
            Place::File(path) => file::begin(path),
            Place::Server(address) => server::begin(address),
        };
        begun.map_err(|trouble| trouble.at(place))
    }

    /// Begins the book that a first fact begins where none is: a file. On a server one is begun only by whoever says so.
    ///
    /// # Errors
    /// As [`Book::begin`].
    pub fn begin_with_a_fact(place: &Place) -> Result<bool, Error> {
        match place {
            Place::File(_) => Self::begin(place),
            Place::Server(_) => Ok(false),
        }
    }

    /// Opens the book at `place`, which a first fact begins where nothing is there.
    ///
    /// # Errors
    /// As [`Book::begin`] and [`Book::open`].
    pub fn open_or_begin(place: impl Into<Place>) -> Result<Self, Error> {
        let place = place.into();
        Self::begin_with_a_fact(&place)?;
        Self::open(place)
    }

    /// An error where the file at the book's path is not the one that was opened.
    fn still_there(&self) -> Result<(), Trouble> {
        match (&self.opened, self.place()) {
            (Some(opened), Place::File(path)) => opened.still_written_at(path),
            _ => Ok(()),
        }
    }
}
