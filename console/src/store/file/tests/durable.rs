//! What a write has returned for outlasts a loss of power. What SQLite does with the disk it does by these settings of the
//! connection; each connection has its own, so each way of coming by one is asked.

use crate::store::Book;
use crate::store::tests::{begin, fact, place};

fn settings(book: &Book) -> [(&'static str, String); 6] {
    let names = [
        "synchronous",
        "journal_mode",
        "foreign_keys",
        "recursive_triggers",
        "trusted_schema",
        "secure_delete",
    ];
    names.map(|name| {
        let sql = format!("SELECT CAST({name} AS TEXT) FROM pragma_{name}");
        (name, book.conn.value(&sql, &[]).unwrap())
    })
}

#[test]
fn every_connection_waits_for_the_disk_before_a_write_returns() {
    let (_folder, path) = place();
    // FULL is 2 (sqlite.org/pragma.html#pragma_synchronous): in write-ahead mode, NORMAL may lose what was committed.
    let safe = [
        ("synchronous", "2"),
        ("journal_mode", "wal"),
        ("foreign_keys", "1"),
        ("recursive_triggers", "1"),
        ("trusted_schema", "0"),
        ("secure_delete", "1"),
    ]
    .map(|(name, value)| (name, value.to_owned()));
    let mut first = begin(&path);
    assert_eq!(settings(&first), safe);
    first.append(&fact(None, "anything")).unwrap();
    assert_eq!(settings(&first), safe, "after a write");
    assert_eq!(settings(&Book::open(&path).unwrap()), safe, "another console");
    drop(first);
    assert_eq!(settings(&begin(&path)), safe, "opened again");
}
