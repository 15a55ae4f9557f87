//! What these tests would find: numbers that are not allotted under the lock are given twice, and a book that differs from what
//! was said is told.

use crate::account::{Account, Answer, Row, assert_numbered};
use bevelbook_core::record::{JournalId, Stored};
use bevelbook_server::{Database, Server};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Barrier;
use std::thread;

/// As a write of the book begins (`store/server/link.rs`).
const LOCK: &str = "UPDATE book SET writes = writes + 1 RETURNING writes";

/// Four who give numbers to records at the level that the book is written at, with the lock or without. The numbers.
fn numbers(database: &Database<'_>, lock: Option<&str>) -> Vec<i64> {
    database.sql(
        "CREATE TABLE book (writes bigint); INSERT INTO book VALUES (0); CREATE TABLE record (number bigint)",
    );
    let begin = Barrier::new(4);
    thread::scope(|all| {
        for _ in 0..4 {
            all.spawn(|| {
                let mut client = database.client();
                begin.wait();
                for _ in 0..100 {
                    let mut write =
                        client.build_transaction().isolation_level(READ_COMMITTED).start().unwrap();
                    lock.into_iter().for_each(|lock| drop(write.query_one(lock, &[]).unwrap()));
                    let last = write.query_one("SELECT coalesce(max(number), 0) FROM record", &[]).unwrap();
                    let next = last.get::<_, i64>(0) + 1;
                    write.execute("INSERT INTO record VALUES ($1)", &[&next]).unwrap();
                    write.commit().unwrap();
                }
            });
        }
    });
    let rows = database.client().query("SELECT number FROM record ORDER BY number", &[]).unwrap();
    rows.iter().map(|row| row.get(0)).collect()
}

const READ_COMMITTED: postgres::IsolationLevel = postgres::IsolationLevel::ReadCommitted;

#[test]
fn without_the_lock_numbers_are_given_twice_and_with_it_never() {
    let Some(server) = Server::shared() else { return };
    let mut unlocked = numbers(&server.database(), None);
    unlocked.dedup();
    println!(
        "400 numbers by four writers: without the lock {} of them twice, with it none",
        400 - unlocked.len()
    );
    assert!(unlocked.len() < 400, "this would find nothing");
    assert_eq!(numbers(&server.database(), Some(LOCK)), (1..=400).collect::<Vec<i64>>());
}

fn row(position: i64, seq: u32, kind: u8) -> Row {
    let record = Stored { seq, boot: 1, ticks: seq, kind, data: heapless::Vec::new() };
    Row::of_keypad(position, JournalId(7), record)
}

#[test]
fn a_record_that_was_lost_doubled_made_up_or_changed_is_told() {
    let whole: Vec<Row> = (1..=3).map(|at| row(i64::from(at), at, 1)).collect();
    let mut account = Account::default();
    account.acknowledged.insert(JournalId(7), 3);
    account.held.insert(JournalId(7), whole.iter().map(|row| row.record.clone()).collect());
    account.typed.insert("said".into(), Answer::Not("away".into()));
    let tells = |book: &[Row]| {
        let look = || {
            account.assert_acknowledged(book);
            account.assert_same(book);
            account.assert_true(book);
            assert_numbered(book);
        };
        catch_unwind(AssertUnwindSafe(look)).is_err()
    };
    assert!(!tells(&whole));
    assert!(tells(&whole[..2]), "lost at the end");
    assert!(tells(&[row(1, 1, 1), row(2, 3, 1)]), "lost within");
    assert!(tells(&[&whole[..], &[row(4, 3, 1)]].concat()), "twice");
    assert!(tells(&[&whole[..], &[row(4, 4, 1)]].concat()), "made up");
    assert!(tells(&[&whole[..2], &[row(3, 3, 2)]].concat()), "changed");
    assert!(
        tells(&[&whole[..], &[Row::of_desk(4, JournalId(8), "{\"text\":\"said\"}")]].concat()),
        "recorded after all"
    );
}
