//! Situations of a book, on real files in a folder that vanishes afterwards.

mod daily;
mod damage;
mod durable;
mod files;
mod forget;
mod imports;
mod lines;
mod many_consoles;
mod older;
mod records;
mod replaced;
mod restore;

use super::{Book, Error, Imported, NewEntry, Received};
use bevelbook_core::record::{JournalId, RecordId, Stored};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A folder for one test, and the path of a book in it.
fn place() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.db");
    (folder, path)
}

/// A write of one thing.
impl Book {
    fn append(&mut self, new: &NewEntry) -> Result<RecordId, Error> {
        self.write(|tx| tx.append(new))
    }

    fn import(&mut self, journal: JournalId, received: &[Received]) -> Result<Imported, Error> {
        self.write(|tx| tx.import(journal, received))
    }

    fn set_person(&mut self, reference: &str, name: &str) -> Result<(), Error> {
        self.write(|tx| tx.set_person(reference, name))
    }
}

fn begin(path: &Path) -> Book {
    Book::open_or_begin(path).unwrap()
}

fn fact(job: Option<u64>, payload: &str) -> NewEntry {
    NewEntry { kind: 9, job, payload: payload.into(), utc_ms: Some(1_750_000_000_000) }
}

fn arrived(seq: u32, payload: &str) -> Received {
    let data = heapless::Vec::from_slice(payload.as_bytes()).unwrap();
    let record = Stored { seq, boot: 3, ticks: u32::MAX, kind: 200, data };
    Received { record, job: None, utc_ms: None, apart: None }
}
