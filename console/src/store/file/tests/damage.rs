//! A book that was changed by something else: bits that fell over, rows that were taken out, a foreign hand.

use crate::store::tests::{arrived, begin, fact};
use crate::store::{Book, Entry, Error};
use bevelbook_core::record::JournalId;
use rusqlite::Connection;
use std::fs;
use std::path::Path;

const KEYPAD: JournalId = JournalId(0xfedc_ba98_7654_3210);

/// A book with records of two journals for three jobs and for none, names, conflicts, and records kept apart.
fn fill(path: &Path) {
    let mut book = begin(path);
    for n in 0..30_u32 {
        let text = format!("{n}: the dial stood at 58.{n:02}, the lens was too large by a hair");
        book.append(&fact((n % 4 != 0).then_some(u64::from(n % 4)), &text)).unwrap();
        let mut record = arrived(n + 1, &format!("pass {n}"));
        record.job = (n % 5 != 0).then_some(u64::from(n % 4));
        record.utc_ms = Some(1_750_000_000_000 + i64::from(n));
        record.apart = (n % 9 == 8).then(|| "a keypad does not write this".to_owned());
        book.import(KEYPAD, &[record]).unwrap();
    }
    book.import(KEYPAD, &[arrived(3, "otherwise"), arrived(7, "otherwise too"), arrived(40, "later")])
        .unwrap();
    for (reference, name) in [("p1", "Ottoline Quillfeather"), ("p2", "Barnaby Thistlewood")] {
        book.set_person(reference, name).unwrap();
    }
}

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
    fill(&path);
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

/// What the check of a book says after a foreign hand did something to it.
fn told_after(sql: &str) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.db");
    fill(&path);
    let hand = Connection::open(&path).unwrap();
    hand.pragma_update(None, "foreign_keys", "OFF").unwrap();
    let triggers: Vec<(String, String)> = hand
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |r| Ok((r.get(0)?, r.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    for (name, _) in &triggers {
        hand.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
    }
    hand.execute_batch(sql).unwrap();
    for (_, sql) in &triggers {
        hand.execute_batch(sql).unwrap();
    }
    hand.close().unwrap();
    Book::look(&path).unwrap().check().unwrap().problems
}

#[test]
fn a_changed_record_is_named() {
    assert_eq!(told_after("SELECT 1"), Vec::<String>::new());
    let keypads = "journal = (SELECT id FROM journal WHERE begun_here = 0)";
    let numbered = |seq: u32| format!("{keypads} AND seq = {seq}");
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    for change in [
        "payload = x'00'",
        "kind = 3",
        "job = NULL",
        "boot = 4",
        "ticks = 0",
        "utc_ms = 5",
        "apart = 'no reason'",
        "digest = zeroblob(16)",
    ] {
        let sql = format!("UPDATE record SET {change} WHERE {}", numbered(12));
        one(&sql, "record fedcba9876543210:12 was changed");
    }
    let told = told_after(&format!(
        "UPDATE record SET payload = CAST(CASE seq WHEN 12 THEN 'pass 12' ELSE 'pass 11' END AS BLOB) WHERE {} OR {}",
        numbered(12),
        numbered(13)
    ));
    assert_eq!(told, ["record fedcba9876543210:12 was changed", "record fedcba9876543210:13 was changed"]);
    one(
        "UPDATE conflict SET payload = x'00' WHERE position = 1",
        "what arrived as record fedcba9876543210:3 and differs was changed",
    );
    one(
        "UPDATE person SET name = 'Ottoline Marrowby' WHERE reference = 'p1'",
        "the name behind \"p1\" was changed",
    );
}

#[test]
fn a_removed_record_is_named() {
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    let keypads = "FROM record WHERE journal = (SELECT id FROM journal WHERE begun_here = 0)";
    one(&format!("DELETE {keypads} AND seq = 12"), "record fedcba9876543210:12 is missing");
    one(&format!("DELETE {keypads} AND seq = 1"), "record fedcba9876543210:1 is missing");
    one(
        &format!("DELETE {keypads} AND seq BETWEEN 12 AND 14"),
        "records of fedcba9876543210 are missing between number 11 and 15",
    );
    one(
        &format!("DELETE {keypads} AND seq = 40"),
        "the record behind fedcba9876543210:30 is missing from journal fedcba9876543210",
    );
    let all = told_after(&format!("DELETE FROM conflict; DELETE {keypads}"));
    assert_eq!(
        all,
        ["all 2 records of conflicts are missing", "all 31 records of fedcba9876543210 are missing"]
    );
    one(
        "DELETE FROM conflict WHERE position = 2",
        "the record behind fedcba9876543210:3 is missing from the conflicts",
    );
}

#[test]
fn a_record_put_in_or_in_another_place_is_found() {
    let put = "INSERT INTO record (journal, seq, kind, payload, digest)
               SELECT id, 31, 3, x'00', zeroblob(16) FROM journal WHERE begun_here = 0";
    assert_eq!(told_after(put), ["record fedcba9876543210:31 was changed"]);
    // The last of one journal and the first of the next change places.
    let order = "UPDATE record SET position = 1000 WHERE position = 10;
                 UPDATE record SET position = 10 WHERE position = 11;
                 UPDATE record SET position = 11 WHERE position = 1000";
    assert_eq!(told_after(order), ["the order of the records of different journals was changed"]);
    let dangling =
        "INSERT INTO record (journal, seq, kind, payload, digest) VALUES (99, 1, 1, x'00', zeroblob(16))";
    let told = told_after(dangling);
    assert_eq!(told[0], "a row of record refers to a missing row of journal");
    assert!(told.contains(&"the kept end of journal 0000000000000063 is missing".to_owned()), "{told:?}");
}

#[test]
fn a_changed_end_of_a_chain_is_found() {
    let end = "chain SET digest = zeroblob(16) WHERE of =";
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    one(&format!("UPDATE {end} 'fedcba9876543210'"), "the kept end of journal fedcba9876543210 was changed");
    one(&format!("UPDATE {end} 'conflicts'"), "the kept end of the conflicts was changed");
    one(&format!("UPDATE {end} 'commits'"), "the order of the records of different journals was changed");
    one(
        "UPDATE chain SET links = links - 1 WHERE of = 'fedcba9876543210'",
        "journal fedcba9876543210 has 1 records too many",
    );
    one("DELETE FROM chain WHERE of = 'conflicts'", "the kept end of the conflicts is missing");
    one("INSERT INTO chain VALUES ('somebody', 3, zeroblob(16))", "all 3 records of somebody are missing");
}

#[test]
fn objects_that_are_missing_or_foreign_are_named() {
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
    fill(&path);
    Connection::open(&path).unwrap().execute_batch("DROP TRIGGER record_not_deleted").unwrap();
    let told = Book::look(&path).unwrap().check().unwrap().problems;
    assert_eq!(told, ["the trigger record_not_deleted is missing or not as this program makes it"]);
}
