//! Situations of a book, each on both engines: a real file in a folder that vanishes afterwards, a database of a real server.

mod ahead;
mod damage;
mod ground;
mod imports;
mod lines;
mod many_consoles;
mod moves;
mod records;

pub(super) use damage::{KEYPAD, fill, told_after};
pub(crate) use ground::{Ground, on_both_engines};
pub(super) use lines::lines;

use super::{Book, Error, Imported, NewEntry, Place, Received};
use bevelbook_core::record::{JournalId, RecordId, Stored};
use std::path::PathBuf;
use tempfile::TempDir;

/// A folder for one test, and the path of a book in it.
pub(super) fn place() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.db");
    (folder, path)
}

/// A write of one thing.
impl Book {
    pub(super) fn append(&mut self, new: &NewEntry) -> Result<RecordId, Error> {
        self.write(|tx| tx.append(new))
    }

    pub(super) fn import(&mut self, journal: JournalId, received: &[Received]) -> Result<Imported, Error> {
        self.write(|tx| tx.import(journal, received))
    }

    pub(super) fn set_person(&mut self, reference: &str, name: &str) -> Result<(), Error> {
        self.write(|tx| tx.set_person(reference, name))
    }
}

/// The book at a place, begun where there is none.
pub(super) fn begin(place: impl Into<Place>) -> Book {
    let place = place.into();
    Book::begin(&place).unwrap();
    Book::open(place).unwrap()
}

pub(super) fn fact(job: Option<u64>, payload: &str) -> NewEntry {
    NewEntry { kind: 9, job, payload: payload.into(), utc_ms: Some(1_750_000_000_000) }
}

pub(super) fn arrived(seq: u32, payload: &str) -> Received {
    let data = heapless::Vec::from_slice(payload.as_bytes()).unwrap();
    let record = Stored { seq, boot: 3, ticks: u32::MAX, kind: 200, data };
    Received { record, job: None, utc_ms: None, apart: None }
}
