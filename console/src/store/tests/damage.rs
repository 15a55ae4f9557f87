//! A book that was changed by something else: rows that were taken out, a foreign hand.

use super::{Ground, arrived, begin, fact, on_both_engines};
use crate::store::{Book, Error};
use bevelbook_core::record::JournalId;

pub(in crate::store) const KEYPAD: JournalId = JournalId(0xfedc_ba98_7654_3210);

/// A book with records of two journals for three jobs and for none, names, conflicts, and records kept apart.
pub(in crate::store) fn fill(mut book: Book) {
    let filled: Result<(), Error> = book.write(|tx| {
        for n in 0..30_u32 {
            let text = format!("{n}: the dial stood at 58.{n:02}, the lens was too large by a hair");
            tx.append(&fact((n % 4 != 0).then_some(u64::from(n % 4)), &text))?;
            let mut record = arrived(n + 1, &format!("pass {n}"));
            record.job = (n % 5 != 0).then_some(u64::from(n % 4));
            record.utc_ms = Some(1_750_000_000_000 + i64::from(n));
            record.apart = (n % 9 == 8).then(|| "a keypad does not write this".to_owned());
            tx.import(KEYPAD, &[record])?;
        }
        let late = [arrived(3, "otherwise"), arrived(7, "otherwise too"), arrived(40, "later")];
        tx.import(KEYPAD, &late)?;
        tx.set_person("p1", "Ottoline Quillfeather")?;
        tx.set_person("p2", "Barnaby Thistlewood")
    });
    filled.unwrap();
}

/// What the check of a book says after a foreign hand, which no trigger stopped, did something to it.
pub(in crate::store) fn told_after(ground: &Ground, sql: &str) -> Vec<String> {
    fill(begin(ground.place()));
    ground.hand_past_triggers(sql);
    let told = Book::look(ground.place()).unwrap().check().unwrap().problems;
    ground.clear();
    told
}

fn a_changed_record_is_named(ground: &Ground) {
    let told_after = |sql: &str| told_after(ground, sql);
    assert_eq!(told_after("SELECT 1"), Vec::<String>::new());
    let keypads = "journal = (SELECT id FROM journal WHERE NOT begun_here)";
    let numbered = |seq: u32| format!("{keypads} AND seq = {seq}");
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    for change in [
        "payload = digest",
        "kind = 3",
        "job = NULL",
        "boot = 4",
        "ticks = 0",
        "utc_ms = 5",
        "apart = 'no reason'",
        "digest = (SELECT digest FROM record WHERE position = 1)",
    ] {
        let sql = format!("UPDATE record SET {change} WHERE {}", numbered(12));
        one(&sql, "record fedcba9876543210:12 was changed");
    }
    let told =
        told_after(&format!("UPDATE record SET payload = digest WHERE {} OR {}", numbered(12), numbered(13)));
    assert_eq!(told, ["record fedcba9876543210:12 was changed", "record fedcba9876543210:13 was changed"]);
    one(
        "UPDATE conflict SET payload = digest WHERE position = 1",
        "what arrived as record fedcba9876543210:3 and differs was changed",
    );
    one(
        "UPDATE person SET name = 'Ottoline Marrowby' WHERE reference = 'p1'",
        "the name behind \"p1\" was changed",
    );
}

fn a_removed_record_is_named(ground: &Ground) {
    let told_after = |sql: &str| told_after(ground, sql);
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    let keypads = "FROM record WHERE journal = (SELECT id FROM journal WHERE NOT begun_here)";
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

fn a_record_put_in_or_in_another_place_is_found(ground: &Ground) {
    let told_after = |sql: &str| told_after(ground, sql);
    let put = "INSERT INTO record (position, journal, seq, kind, payload, digest)
               SELECT 1000, journal, 31, kind, payload, digest FROM record WHERE position = 2";
    assert_eq!(told_after(put), ["record fedcba9876543210:31 was changed"]);
    // The last of one journal and the first of the next change places.
    let order = "UPDATE record SET position = 1000 WHERE position = 10;
                 UPDATE record SET position = 10 WHERE position = 11;
                 UPDATE record SET position = 11 WHERE position = 1000";
    assert_eq!(told_after(order), ["the order of the records of different journals was changed"]);
    let dangling = "INSERT INTO record (position, journal, seq, kind, payload, digest)
         SELECT 1000, 99, 1, kind, payload, digest FROM record WHERE position = 2";
    let told = told_after(dangling);
    assert_eq!(told[0], "a row of record refers to a missing row of journal");
    assert!(told.contains(&"the kept end of journal 0000000000000063 is missing".to_owned()), "{told:?}");
}

fn a_changed_end_of_a_chain_is_found(ground: &Ground) {
    let told_after = |sql: &str| told_after(ground, sql);
    let end = "chain SET digest = (SELECT digest FROM record WHERE position = 1) WHERE of =";
    let one = |sql: &str, told: &str| assert_eq!(told_after(sql), [told], "{sql}");
    one(&format!("UPDATE {end} 'fedcba9876543210'"), "the kept end of journal fedcba9876543210 was changed");
    one(&format!("UPDATE {end} 'conflicts'"), "the kept end of the conflicts was changed");
    one(&format!("UPDATE {end} 'commits'"), "the order of the records of different journals was changed");
    one(
        "UPDATE chain SET links = links - 1 WHERE of = 'fedcba9876543210'",
        "journal fedcba9876543210 has 1 records too many",
    );
    one("DELETE FROM chain WHERE of = 'conflicts'", "the kept end of the conflicts is missing");
    one(
        "INSERT INTO chain SELECT 'somebody', 3, digest FROM record WHERE position = 1",
        "all 3 records of somebody are missing",
    );
}

on_both_engines!(
    a_changed_record_is_named,
    a_removed_record_is_named,
    a_record_put_in_or_in_another_place_is_found,
    a_changed_end_of_a_chain_is_found,
);
