//! The book's file moved, replaced or written over while it is open, or put beside the log of another.

use crate::store::tests::{begin, fact, place};
use crate::store::{Book, Error, Trouble};
use std::fs;
use std::path::Path;

fn texts(book: &Book) -> Vec<String> {
    book.entries_after(0).unwrap().into_iter().map(|e| String::from_utf8(e.payload).unwrap()).collect()
}

/// What a write says and leaves.
fn refused(book: &mut Book) -> Trouble {
    book.append(&fact(None, "lost")).unwrap_err().trouble
}

#[test]
fn nothing_is_committed_into_a_book_that_was_moved_away_or_deleted() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "kept")).unwrap();
    let away = folder.path().join("away.db");
    fs::rename(&path, &away).unwrap();
    assert!(matches!(refused(&mut book), Trouble::Moved));
    assert!(matches!(Book::open(&path), Err(Error { trouble: Trouble::Missing, .. })), "and none is begun");
    fs::rename(&away, &path).unwrap();
    book.append(&fact(None, "put back")).unwrap();
    assert_eq!(texts(&book), ["kept", "put back"]);
    fs::rename(&path, &away).unwrap();
    drop(book);
    fs::rename(&away, &path).unwrap();
    assert_eq!(texts(&Book::open(&path).unwrap()), ["kept", "put back"], "its log waited for it");
}

#[test]
fn nothing_is_committed_into_a_book_whose_place_another_took() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "first")).unwrap();
    let backup = folder.path().join("backup.db");
    book.backup_to(&backup).unwrap();
    fs::rename(&backup, &path).unwrap();
    let backed_up = fs::read(&path).unwrap();
    assert!(matches!(refused(&mut book), Trouble::Replaced));
    drop(book);
    assert_eq!(fs::read(&path).unwrap(), backed_up);
    let beside_a_foreign_log = Book::open(&path).unwrap_err();
    assert!(matches!(beside_a_foreign_log.trouble, Trouble::ForeignLog), "{beside_a_foreign_log}");
}

#[test]
fn a_backup_copied_over_the_open_book_is_noticed_and_not_spoilt() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "first")).unwrap();
    let backup = folder.path().join("backup.db");
    book.backup_to(&backup).unwrap();
    for n in 0..200 {
        book.append(&fact(None, &"later ".repeat(n))).unwrap();
    }
    fs::copy(&backup, &path).unwrap();
    assert!(matches!(refused(&mut book), Trouble::Replaced | Trouble::Damaged { .. }));
    drop(book);
    assert_eq!(fs::read(&path).unwrap(), fs::read(&backup).unwrap());
}

/// A book whose program was killed, with its log beside it: the state in which hands copy backups over books.
fn killed(path: &Path, writes: usize) {
    let live = path.with_extension("live");
    let mut book = begin(&live);
    for n in 0..writes {
        book.append(&fact(None, &n.to_string())).unwrap();
    }
    fs::copy(&live, path).unwrap();
    fs::copy(live.with_extension("live-wal"), path.with_extension("db-wal")).unwrap();
}

#[test]
fn a_backup_copied_beside_the_log_of_the_former_book_is_refused_and_both_are_kept() {
    for writes in [1, 3, 40, 900] {
        let (folder, path) = place();
        let older = folder.path().join("older.db");
        let mut early = begin(folder.path().join("early.db"));
        early.append(&fact(None, "early")).unwrap();
        early.backup_to(&older).unwrap();
        killed(&path, writes);
        fs::copy(&older, &path).unwrap();
        let files = || [fs::read(&path).unwrap(), fs::read(path.with_extension("db-wal")).unwrap()];
        let before = files();
        for opened in [Book::open(&path), Book::open_or_begin(&path)] {
            let refused = opened.unwrap_err();
            assert!(matches!(refused.trouble, Trouble::ForeignLog), "{writes}: {refused}");
        }
        assert_eq!(files(), before);
        fs::remove_file(path.with_extension("db-wal")).unwrap();
        assert_eq!(texts(&Book::open(&path).unwrap()), ["early"]);
    }
}

#[test]
fn no_book_is_begun_beside_the_log_of_one_that_was_moved_away() {
    let (_folder, path) = place();
    killed(&path, 5);
    fs::rename(&path, path.with_extension("away")).unwrap();
    let log = fs::read(path.with_extension("db-wal")).unwrap();
    assert!(matches!(Book::open_or_begin(&path), Err(Error { trouble: Trouble::ForeignLog, .. })));
    assert_eq!(fs::read(path.with_extension("db-wal")).unwrap(), log);
}

#[test]
fn a_book_whose_program_was_killed_opens_with_its_own_log() {
    let (_folder, path) = place();
    killed(&path, 30);
    assert_eq!(Book::open(&path).unwrap().entries_after(0).unwrap().len(), 30);
}
