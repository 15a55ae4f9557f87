//! The tables: what was changed of them is told, how they are made, and how they become newer ones.

use crate::store::server::connect::{Purpose, connect};
use crate::store::server::link::Link;
use crate::store::server::{schema, tables};
use crate::store::tests::{begin, fact, told_after};
use crate::store::{Book, Ground, Place, Trouble};
use std::sync::Barrier;
use std::thread;

/// A second schema, invented.
const SECOND: &[&str] = &[tables::MIGRATIONS[0], "CREATE TABLE bevelbook.second (number BIGINT)"];

fn link(place: &Place) -> Link {
    let Place::Server(address) = place else { panic!("{place} is a file") };
    Link::new(connect(address, Purpose::Write).unwrap())
}

fn version(place: &Place) -> Option<i64> {
    schema::version(&link(place)).unwrap()
}

#[test]
fn what_is_missing_changed_switched_off_or_foreign_is_named() {
    let Some(ground) = Ground::server() else { return };
    let missing = |what: &str| format!("the {what} is missing or not as this program makes it");
    let foreign = |what: &str| format!("the {what} is not this program's");
    for (sql, told) in [
        ("SELECT 1", vec![]),
        ("ANALYZE", vec![]),
        (
            "ALTER TABLE record DISABLE TRIGGER record_never_changed",
            vec![missing("trigger record_never_changed of record")],
        ),
        (
            "ALTER TABLE record ENABLE REPLICA TRIGGER record_leaps",
            vec![missing("trigger record_leaps of record")],
        ),
        (
            "DROP TRIGGER conflict_never_emptied ON conflict",
            vec![missing("trigger conflict_never_emptied of conflict")],
        ),
        (
            "CREATE OR REPLACE FUNCTION never_changed() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
            vec![missing("function never_changed")],
        ),
        ("DROP INDEX record_of_kind", vec![missing("index record_of_kind")]),
        ("CREATE INDEX quick ON record (utc_ms)", vec![foreign("index quick")]),
        ("ALTER TABLE person ALTER COLUMN name DROP NOT NULL", vec![missing("column name of person")]),
        ("ALTER TABLE record ALTER COLUMN utc_ms SET DEFAULT 5", vec![missing("column utc_ms of record")]),
        ("ALTER TABLE person ADD COLUMN telephone TEXT", vec![foreign("column telephone of person")]),
        (
            "ALTER TABLE record DROP CONSTRAINT record_kind_check",
            vec![missing("constraint record_kind_check of record")],
        ),
        (
            "CREATE TABLE extra (a BIGINT PRIMARY KEY)",
            vec![
                foreign("column a of extra"),
                foreign("constraint extra_pkey of extra"),
                foreign("index extra_pkey"),
                foreign("table extra"),
            ],
        ),
        ("CREATE VIEW jobs AS SELECT 1", vec![foreign("view jobs")]),
        (
            "CREATE RULE quietly AS ON DELETE TO person DO INSTEAD NOTHING",
            vec![foreign("rule quietly of person")],
        ),
        ("CREATE TABLE public.hidden () INHERITS (person); DROP TABLE public.hidden", vec![]),
        ("CREATE FUNCTION helper() RETURNS int LANGUAGE sql AS 'SELECT 1'", vec![foreign("function helper")]),
        (
            "CREATE TRIGGER helper BEFORE INSERT ON person FOR EACH ROW EXECUTE FUNCTION never_changed()",
            vec![foreign("trigger helper of person")],
        ),
    ] {
        assert_eq!(told_after(&ground, sql), told, "{sql}");
    }
    let triggers = told_after(&ground, "ALTER TABLE conflict DISABLE TRIGGER ALL");
    assert!(triggers.contains(&missing("trigger conflict_never_changed of conflict")), "{triggers:?}");
    assert!(triggers.iter().any(|told| told.contains("RI_ConstraintTrigger")), "{triggers:?}");
}

#[test]
fn what_inherits_from_a_table_is_named() {
    let Some(ground) = Ground::server() else { return };
    let told = told_after(&ground, "CREATE TABLE IF NOT EXISTS public.hidden () INHERITS (leap)");
    assert_eq!(told, ["the table public.hidden below leap is not this program's"]);
}

#[test]
fn an_empty_database_has_no_book_and_one_is_begun_once() {
    let Some(ground) = Ground::server() else { return };
    let place = ground.place();
    for missing in [Book::open(&place), Book::look(&place)] {
        assert!(matches!(missing.unwrap_err().trouble, Trouble::Missing));
    }
    assert!(!Book::begin_with_a_fact(&place).unwrap(), "by whoever says so alone");
    assert!(Book::begin(&place).unwrap());
    begin(&place).append(&fact(None, "kept")).unwrap();
    assert!(!Book::begin(&place).unwrap());
    assert_eq!(Book::look(&place).unwrap().entries_after(0).unwrap().len(), 1);
}

#[test]
fn a_schema_of_somebody_else_is_refused_and_left_as_it_is() {
    let Some(ground) = Ground::server() else { return };
    for (sql, found) in [
        ("CREATE TABLE bevelbook.notes (a BIGINT)", "other tables"),
        ("CREATE TABLE bevelbook.book (title TEXT)", "other columns"),
        ("CREATE TABLE bevelbook.book (mark TEXT, version BIGINT)", "no mark"),
    ] {
        ground.hand(&format!("CREATE SCHEMA bevelbook; {sql}"));
        let place = ground.place();
        for refused in
            [Book::open(&place).map(drop), Book::look(&place).map(drop), Book::begin(&place).map(drop)]
        {
            let told = refused.unwrap_err().to_string();
            assert!(told.contains("is not a bevelbook book") && told.contains(found), "{told}");
        }
        let tables =
            "DO $$ BEGIN ASSERT (SELECT count(*) = 1 FROM pg_tables WHERE schemaname = 'bevelbook'); END $$";
        ground.hand(tables);
        ground.clear();
    }
}

#[test]
fn a_newer_schema_is_refused_also_when_it_comes_while_the_book_is_open() {
    let Some(ground) = Ground::server() else { return };
    let place = ground.place();
    let mut book = begin(&place);
    book.append(&fact(None, "kept")).unwrap();
    ground.hand("UPDATE book SET version = 9");
    let opened = [Book::open(&place).map(drop), Book::look(&place).map(drop)];
    for refused in opened.into_iter().chain([book.append(&fact(None, "not this")).map(drop)]) {
        let refused = refused.unwrap_err();
        assert!(
            matches!(refused.trouble, Trouble::NewerSchema { found: 9, known: tables::KNOWN }),
            "{refused}"
        );
    }
    assert_eq!(book.entries_after(0).unwrap().len(), 1);
}

#[test]
fn two_consoles_at_once_bring_an_older_book_to_the_newest_schema_once() {
    let Some(ground) = Ground::server() else { return };
    let place = ground.place();
    for _ in 0..4 {
        begin(&place).append(&fact(None, "kept")).unwrap();
        let start = Barrier::new(3);
        thread::scope(|threads| {
            for _ in 0..3 {
                threads.spawn(|| {
                    let link = link(&place);
                    start.wait();
                    schema::migrate(&link, 1, SECOND).unwrap();
                });
            }
        });
        assert_eq!(version(&place), Some(2));
        ground.hand("SELECT number FROM second; UPDATE book SET version = 1; DROP TABLE second");
        assert_eq!(Book::look(&place).unwrap().entries_after(0).unwrap().len(), 1);
        ground.clear();
    }
}

#[test]
fn a_step_that_fails_leaves_the_book_as_it_was_and_a_beginning_that_fails_leaves_none() {
    let Some(ground) = Ground::server() else { return };
    let place = ground.place();
    let half = format!("{}; SELECT 1 / 0", SECOND[1]);
    let failing = [SECOND[0], &half];
    schema::migrate(&link(&place), 0, &failing).unwrap_err();
    assert_eq!(version(&place), None);
    begin(&place).append(&fact(None, "kept")).unwrap();
    let link = link(&place);
    schema::migrate(&link, 1, &failing).unwrap_err();
    assert_eq!(version(&place), Some(1));
    schema::migrate(&link, 1, SECOND).unwrap();
    assert_eq!(version(&place), Some(2));
}

#[test]
fn a_book_that_is_another_making_of_one_gives_this_console_another_journal() {
    let Some(ground) = Ground::server() else { return };
    let place = ground.begun();
    let mut book = begin(&place);
    let first = book.append(&fact(Some(1), "written, and not in the backup")).unwrap();
    drop(book);
    assert_eq!(Book::open(&place).unwrap().own_journal().unwrap(), first.journal, "the same book");
    // As a backup that is put back: the same rows in another making of the tables, the last record missing.
    ground.hand_past_triggers(
        "CREATE SCHEMA kept; CREATE TABLE kept.journal AS TABLE journal; CREATE TABLE kept.console AS TABLE console;
         DROP SCHEMA bevelbook CASCADE",
    );
    assert!(Book::begin(&place).unwrap());
    ground.hand("INSERT INTO journal TABLE kept.journal; INSERT INTO console TABLE kept.console");
    let again = begin(&place).append(&fact(Some(2), "another one")).unwrap();
    assert_ne!(again, first, "no number is given a second time");
    assert_ne!(again.journal, first.journal);
}

#[test]
fn a_schema_without_tables_is_begun_in_and_a_database_that_lacks_letters_is_not() {
    let Some(server) = bevelbook_server::Server::shared() else { return };
    let database = server.database();
    database.sql("CREATE SCHEMA bevelbook");
    assert!(Book::begin(Place::named(database.url().into()).unwrap()).unwrap());
    server
        .sql("CREATE DATABASE few_letters TEMPLATE template0 ENCODING 'LATIN1' LC_COLLATE 'C' LC_CTYPE 'C'");
    let refused = Book::begin(Place::named(server.url("few_letters").into()).unwrap()).unwrap_err();
    assert!(refused.to_string().contains("keeps letters as LATIN1, and a book needs UTF8"), "{refused}");
}
