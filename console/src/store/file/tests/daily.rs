//! Backups in their folder, made and thinned.

use super::super::backups_of;
use crate::store::tests::{begin, fact, place};
use crate::store::{Book, Trouble};
use jiff::civil::{DateTime, date};
use std::fs;

fn day(day: i8) -> DateTime {
    date(2026, 11, day).at(8, 3, 12, 0)
}

fn days_of(book: &Book) -> Vec<i8> {
    book.backups().unwrap().iter().map(|backup| backup.at.day()).collect()
}

#[test]
fn the_backups_of_so_many_days_are_kept_and_no_longer_ones() {
    let (folder, path) = place();
    let mut book = begin(&path);
    for n in 1..=5 {
        book.append(&fact(None, &n.to_string())).unwrap();
        book.back_up(day(n), 3).unwrap();
    }
    assert_eq!(days_of(&book), [3, 4, 5]);
    book.back_up(day(5).with().hour(19).build().unwrap(), 3).unwrap();
    assert_eq!(days_of(&book), [3, 4, 5, 5], "more of one day push out no other day");
    let newest = backups_of(&path).unwrap().pop().unwrap().path;
    assert!(newest.ends_with("backups/book-2026-11-05-190312.db"));
    assert_eq!(Book::open(&newest).unwrap().entries_after(0).unwrap().len(), 5);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |p: &std::path::Path| fs::metadata(p).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&folder.path().join("backups")), mode(&newest)), (0o700, 0o600));
    }
}

#[test]
fn backups_of_a_book_begun_anew_push_out_none_of_the_former() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    for n in 1..=4 {
        book.append(&fact(None, &n.to_string())).unwrap();
        book.back_up(day(n), 2).unwrap();
    }
    drop(book);
    fs::remove_file(&path).unwrap();
    let mut book = begin(&path);
    book.append(&fact(None, "anew")).unwrap();
    for n in 5..=8 {
        book.back_up(day(n), 2).unwrap();
    }
    assert_eq!(days_of(&book), [3, 4, 7, 8]);
}

#[test]
fn a_book_that_is_not_sound_makes_no_backup_and_removes_none() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    for n in 1..=3 {
        book.append(&fact(None, &n.to_string())).unwrap();
        book.back_up(day(n), 3).unwrap();
    }
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute_batch("DROP TRIGGER record_not_updated; UPDATE record SET payload = x'00' WHERE seq = 2")
        .unwrap();
    drop(other);
    let refused = book.back_up(day(4), 1).unwrap_err();
    assert!(matches!(refused.trouble, Trouble::Damaged { .. }), "{refused}");
    assert_eq!(days_of(&book), [1, 2, 3]);
}
