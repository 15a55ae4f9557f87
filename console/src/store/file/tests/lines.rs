//! Lines of a file that was damaged, or put back from a copy.

use crate::store::Book;
use crate::store::tests::{begin, fact, lines, place};
use std::fs;
use std::io::Cursor;

#[test]
fn what_was_lost_with_a_restored_backup_comes_back_from_an_export() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "early")).unwrap();
    let backup = folder.path().join("backup.db");
    book.backup_to(&backup).unwrap();
    book.append(&fact(None, "late")).unwrap();
    let exported = lines(&book);
    drop(book);
    Book::restore(&path, &backup, "now", false).unwrap();
    let mut book = Book::open(&path).unwrap();
    let merged = book.import_lines(Cursor::new(exported.as_bytes())).unwrap();
    assert_eq!((merged.new.records, merged.known.records), (1, 1));
    assert_eq!(lines(&book), exported);
}

#[test]
fn what_can_be_read_of_a_damaged_book_is_exported_and_the_rest_is_named() {
    let (folder, path) = place();
    let mut book = begin(&path);
    for n in 0..400_u64 {
        book.append(&fact(Some(n), &format!("reading {n} {}", "x".repeat(60)))).unwrap();
    }
    let backup = folder.path().join("backup.db");
    book.backup_to(&backup).unwrap();
    let page = 4096;
    let mut bytes = fs::read(&backup).unwrap();
    // A page of records in the middle of the table: it holds whole texts, and no page of an index does.
    let at = (1..bytes.len() / page)
        .find(|at| bytes[at * page..][..page].windows(11).any(|text| text == b"reading 200"))
        .unwrap();
    bytes[at * page..][..page].fill(0xa5);
    fs::write(&backup, &bytes).unwrap();
    let damaged = Book::open(&backup).unwrap();
    let out = folder.path().join("out.jsonl");
    let (counts, unread) = damaged.export_to(&out, true).unwrap();
    assert_eq!(unread.len(), 1, "{unread:?}");
    let lost = unread[0].upto.unwrap() - unread[0].from + 1;
    assert!((10..60).contains(&lost), "one page of rows: {lost}");
    assert_eq!(counts.records + lost.cast_unsigned(), 400);
    let mut anew = begin(folder.path().join("anew.db"));
    assert_eq!(anew.import_lines(fs::File::open(&out).unwrap()).unwrap().new.records, counts.records);
    assert_eq!(anew.check().unwrap().problems, Vec::<String>::new());
}
