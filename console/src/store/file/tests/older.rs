//! A book of schema 1, as the first release wrote it.

use super::super::mark;
use super::super::schema::MIGRATIONS;
use crate::store::Book;
use crate::store::chain::{Chained, of_person};
use crate::store::tests::{arrived, fact, place};
use crate::store::value::values;
use bevelbook_core::record::{JournalId, RecordId};
use rusqlite::Connection;
use std::path::Path;

/// The journals of the old book's console and of its keypad; the second is negative in SQLite.
const CONSOLE: JournalId = JournalId(77);
const KEYPAD: JournalId = JournalId(0xfedc_ba98_7654_3210);

fn begin_old(path: &Path) {
    let old = Connection::open(path).unwrap();
    old.execute_batch(MIGRATIONS[0].sql).unwrap();
    let rows = format!(
        "INSERT INTO journal VALUES (77, 1), ({keypad}, 0);
         INSERT INTO home VALUES (1, 77, 5);
         INSERT INTO record VALUES
            (1, 77, 1, 128, 12, x'7b7d', NULL, NULL, 1750000000000),
            (4, {keypad}, 1, 3, 12, x'0102', 1, 900, NULL),
            (5, 77, 2, 131, NULL, x'', NULL, NULL, NULL),
            (6, {keypad}, 4, 255, NULL, x'ff', 4294967295, 0, -5);
         INSERT INTO conflict VALUES (1, {keypad}, 4, 255, NULL, x'fe', 1, 0, NULL);
         INSERT INTO person VALUES ('p1', 'Ottoline Quillfeather');
         PRAGMA application_id = {application}; PRAGMA user_version = 1; PRAGMA journal_mode = WAL;",
        keypad = KEYPAD.0.cast_signed(),
        application = mark::APPLICATION_ID,
    );
    old.execute_batch(&rows).unwrap();
}

#[test]
fn a_book_of_schema_1_keeps_every_record_in_its_place_and_gains_digests() {
    let (folder, path) = place();
    begin_old(&path);
    let mut book = Book::open(&path).unwrap();
    let all = book.entries_after(0).unwrap();
    let places: Vec<_> = all.iter().map(|entry| (entry.position, entry.id.journal, entry.id.seq)).collect();
    assert_eq!(places, [(1, CONSOLE, 1), (4, KEYPAD, 1), (5, CONSOLE, 2), (6, KEYPAD, 4)]);
    assert_eq!((all[3].kind, &all[3].payload[..], all[3].boot), (255, &[0xff][..], Some(u32::MAX)));
    assert!(all.iter().all(|entry| entry.apart.is_none()));
    assert_eq!(book.person("p1").unwrap().as_deref(), Some("Ottoline Quillfeather"));
    assert_eq!(book.conflicts().unwrap()[0].payload, [0xfe]);
    assert_eq!(book.entries_of_job(12).unwrap().len(), 2);
    let digest = |sql: &str| book.reader.conn.value::<[u8; 16]>(sql, &[]).unwrap();
    let first = Chained::Record.digest(&[0; 16], &all[0]);
    assert_eq!(digest("SELECT digest FROM record WHERE position = 1"), first);
    assert_eq!(
        digest("SELECT digest FROM chain WHERE of = '000000000000004d'"),
        Chained::Record.digest(&first, &all[2])
    );
    assert_eq!(digest("SELECT digest FROM person"), of_person("p1", "Ottoline Quillfeather"));
    assert_eq!(book.check().unwrap().problems, Vec::<String>::new());
    // It goes on behind what is there, and still refuses a change.
    assert_eq!(book.import(KEYPAD, &[arrived(5, "next")]).unwrap().new, 1);
    book.append(&fact(Some(12), "more")).unwrap();
    assert_eq!(book.entries_after(6).unwrap()[0].position, 7);
    assert!(book.reader.conn.execute("DELETE FROM record", &[]).is_err());
    let before = Connection::open(folder.path().join("book.db.schema-1")).unwrap();
    let count = "SELECT count(*) FROM record JOIN pragma_user_version WHERE user_version = 1";
    assert_eq!(before.query_row(count, [], |r| r.get::<_, i64>(0)).unwrap(), 4);
}

#[test]
fn a_book_of_schema_1_is_looked_into_as_it_is() {
    let (_folder, path) = place();
    begin_old(&path);
    let bytes = std::fs::read(&path).unwrap();
    let book = Book::look(&path).unwrap();
    assert_eq!(book.entries_after(0).unwrap().len(), 4);
    assert_eq!(book.entries_of_job(12).unwrap().len(), 2);
    assert_eq!(book.conflicts().unwrap()[0].payload, [0xfe]);
    assert_eq!(book.apart().unwrap(), []);
    assert_eq!(book.person("p1").unwrap().as_deref(), Some("Ottoline Quillfeather"));
    let health = book.check().unwrap();
    assert_eq!((health.records, health.problems), (4, vec![]));
    drop(book);
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
}

#[test]
fn the_digests_of_a_journal_go_on_from_one_write_to_the_next() {
    let (_folder, path) = place();
    begin_old(&path);
    let mut book = Book::open(&path).unwrap();
    let id = book
        .import(KEYPAD, &[arrived(9, "a"), arrived(10, "b")])
        .map(|_| RecordId { journal: KEYPAD, seq: 11 });
    book.import(KEYPAD, &[arrived(11, "c")]).unwrap();
    let kept: Vec<([u8; 16], i64)> = book
        .rows("SELECT digest, seq FROM record WHERE journal = ?1 ORDER BY position", values![KEYPAD], |r| {
            Ok((r.get(0)?, r.get(1)?))
        })
        .unwrap();
    let mut digest = [0; 16];
    for (kept, seq) in kept {
        let id = RecordId { journal: KEYPAD, seq: u32::try_from(seq).unwrap() };
        digest = Chained::Record.digest(&digest, &book.entry(id).unwrap().unwrap());
        assert_eq!(kept, digest, "{id}");
    }
    assert!(book.entry(id.unwrap()).unwrap().is_some());
    let ends: Vec<(String, i64)> =
        book.rows("SELECT of, links FROM chain ORDER BY of", &[], |r| Ok((r.get(0)?, r.get(1)?))).unwrap();
    let ends: Vec<(&str, i64)> = ends.iter().map(|(of, links)| (of.as_str(), *links)).collect();
    assert_eq!(ends, [("000000000000004d", 2), ("commits", 7), ("conflicts", 1), ("fedcba9876543210", 5)]);
}
