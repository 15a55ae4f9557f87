//! Situations of a book, on real files in a folder that vanishes afterwards.

mod files;
mod imports;
mod many_consoles;
mod records;

use super::{Book, NewEntry, Received};
use bevelbook_core::record::Stored;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A folder for one test, and the path of a book in it.
fn place() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.db");
    (folder, path)
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
    Received { record, job: None, utc_ms: None }
}
