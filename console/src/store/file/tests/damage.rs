//! A file that was changed by something else: bits that fell over, a foreign hand in what it is made of.

use crate::store::Ground;
use crate::store::tests::{KEYPAD, begin, fill, told_after};
use crate::store::{Book, Entry, Error};
use rusqlite::Connection;
use std::fs;

/// Everything that the book tells.
#[derive(Debug, PartialEq)]
struct Said {
    entries: Vec<Vec<Entry>>,
    people: [Option<String>; 2],
    gaps: Vec<std::ops::RangeInclusive<u32>>,
}

fn said(book: &Book) -> Result<Said, Error> {
    let mut entries =
        vec![book.entries_after(0)?, book.entries_of_no_job()?, book.conflicts()?, book.apart()?];
    for job in 0..4 {
        entries.push(book.entries_of_job(job)?);
    }
    for kind in [9, 200] {
        entries.push(book.entries_of_kind(kind)?);
    }
    entries.push(book.entries_of_journal(KEYPAD, 0..=u32::MAX)?);
    Ok(Said { entries, people: [book.person("p1")?, book.person("p2")?], gaps: book.gaps(KEYPAD)? })
}

/// The next number of a fixed sequence (splitmix64).
fn next(seed: &mut u64) -> u64 {
    *seed = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut bits = *seed;
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

#[test]
fn no_bit_that_falls_over_changes_what_a_sound_book_says() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.db");
    fill(begin(&path));
    let before = said(&Book::look(&path).unwrap()).unwrap();
    let bytes = fs::read(&path).unwrap();
    let (mut differed, mut seed) = (0, 8);
    for _ in 0..1500 {
        let bit = usize::try_from(next(&mut seed) % (bytes.len() as u64 * 8)).unwrap();
        let mut flipped = bytes.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        let copy = folder.path().join("flipped.db");
        fs::write(&copy, flipped).unwrap();
        let opened = Book::look(&copy).and_then(|book| Ok((said(&book)?, book)));
        let Ok((after, book)) = opened else { continue };
        if after != before {
            differed += 1;
            let sound = book.check().is_ok_and(|health| health.problems.is_empty());
            assert!(!sound, "bit {bit} changed what the book says, and the check is content");
        }
        drop(book);
        assert!(!folder.path().join("flipped.db-wal").exists());
    }
    assert!(differed > 20, "only {differed} bits changed anything: the test tells little");
}

#[test]
fn objects_that_are_missing_or_foreign_are_named() {
    let ground = Ground::file();
    let told_after = |sql: &str| told_after(&ground, sql);
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    one(
        "CREATE TRIGGER helper AFTER INSERT ON person BEGIN UPDATE person SET name = 'X'; END",
        "the trigger helper is not this program's",
    );
    one("CREATE VIEW jobs AS SELECT 1", "the view jobs is not this program's");
    one("CREATE TABLE extra (a INTEGER)", "the table extra is not this program's");
    one("CREATE INDEX quick ON record (utc_ms)", "the index quick is not this program's");
    one("DROP INDEX record_of_kind", "the index record_of_kind is missing or not as this program makes it");
    assert_eq!(told_after("ANALYZE"), Vec::<String>::new(), "what the planner keeps is nobody's");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.db");
    fill(begin(&path));
    Connection::open(&path).unwrap().execute_batch("DROP TRIGGER record_not_deleted").unwrap();
    let told = Book::look(&path).unwrap().check().unwrap().problems;
    assert_eq!(told, ["the trigger record_not_deleted is missing or not as this program makes it"]);
}
