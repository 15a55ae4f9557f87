//! Lines that are given for the export of a book.
//!
//! They are taken in whole or not at all; taking them in again changes nothing; and the book stays sound, whatever the
//! records say.

use crate::book::{look, open, shop};
use bevelbook::store::Book;
use bevelbook::work::Work;
use sha2::{Digest, Sha256};
use std::io::Cursor;

/// The book as lines.
fn exported(book: &Book) -> Vec<u8> {
    let mut lines = Vec::new();
    let (_, unread) = book.export(&mut lines, true).expect("memory takes it");
    assert!(unread.is_empty(), "{unread:?}");
    lines
}

/// The lines with the closing line that belongs to them, in the place of theirs.
fn closed(bytes: &[u8]) -> Vec<u8> {
    let begins = |line: &[u8], with: &str| line.starts_with(with.as_bytes());
    let mut body = Vec::new();
    let (mut records, mut conflicts, mut people) = (0, 0, 0);
    for line in bytes.split_inclusive(|byte| *byte == b'\n') {
        if begins(line, r#"{"line":"end""#) {
            break;
        }
        records += u64::from(begins(line, r#"{"line":"record""#));
        conflicts += u64::from(begins(line, r#"{"line":"conflict""#));
        people += u64::from(begins(line, r#"{"line":"person""#));
        body.extend_from_slice(line);
    }
    let sum: String = Sha256::digest(&body).iter().map(|byte| format!("{byte:02x}")).collect();
    let end = format!(
        r#"{{"line":"end","records":{records},"conflicts":{conflicts},"people":{people},"sha256":"{sum}"}}"#
    );
    [&body[..], end.as_bytes(), b"\n"].concat()
}

/// Good lines: those of a shop's book.
pub(crate) fn seed() -> Vec<u8> {
    let (_folder, path) = shop();
    exported(&Book::look(&path).expect("a book"))
}

pub(crate) fn import(bytes: &[u8]) {
    let (_folder, path) = shop();
    let mut book = Book::open(&path).expect("a book");
    let before = exported(&book);
    for lines in [bytes.to_vec(), closed(bytes)] {
        let whole = exported(&book);
        match book.import_lines(Cursor::new(&lines)) {
            Ok(_) => {
                let after = exported(&book);
                let again = book.import_lines(Cursor::new(&lines)).expect("they were taken in before");
                assert_eq!(again.new, bevelbook::store::Counts::default(), "nothing is new a second time");
                assert!(exported(&book) == after, "taken in again they changed something");
            }
            Err(error) => {
                assert!(!error.to_string().is_empty());
                assert!(exported(&book) == whole, "refused, and taken in by half: {error}");
            }
        }
    }
    // What was here is here, in its order.
    let after = exported(&book);
    let kept = after.split(|byte| *byte == b'\n').filter(|line| line.starts_with(br#"{"line":"record""#));
    let kept: Vec<&[u8]> = kept.collect();
    let had = before.split(|byte| *byte == b'\n').filter(|line| line.starts_with(br#"{"line":"record""#));
    assert!(had.zip(kept).all(|(had, kept)| had == kept), "a record changed");
    drop(book);
    look(&open(&path).expect("a book"));
    assert_eq!(Work::check(&path).expect("a check").problems, Vec::<String>::new());
}
