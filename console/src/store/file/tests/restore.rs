//! A backup brought back.

use super::super::Holds;
use super::super::restore::{Step, restore};
use crate::store::tests::{arrived, begin, fact, place};
use crate::store::{Book, Error, Trouble};
use bevelbook_core::record::JournalId;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

fn texts(path: &Path) -> Vec<String> {
    let book = Book::open(path).unwrap();
    let whole = book.check().unwrap();
    assert_eq!(whole.problems, Vec::<String>::new());
    book.entries_after(0).unwrap().into_iter().map(|e| String::from_utf8(e.payload).unwrap()).collect()
}

/// A book with a backup of when it had one record fewer of its own, and two fewer of a keypad.
fn book_with_backup() -> (TempDir, PathBuf, PathBuf) {
    let (folder, path) = place();
    let backup = folder.path().join("backup.db");
    let mut book = begin(&path);
    book.append(&fact(None, "early")).unwrap();
    book.import(JournalId(7), &[arrived(1, "cut")]).unwrap();
    book.backup_to(&backup).unwrap();
    book.append(&fact(None, "late")).unwrap();
    book.import(JournalId(7), &[arrived(2, "fits"), arrived(3, "read")]).unwrap();
    (folder, path, backup)
}

#[test]
fn the_book_is_as_the_backup_was_and_the_former_is_kept() {
    let (folder, path, backup) = book_with_backup();
    let own = Book::open(&path).unwrap().own_journal().unwrap();
    let backed_up = fs::read(&backup).unwrap();
    let restored = Book::restore(&path, &backup, "now", false).unwrap();
    let holds = |journal, records, last, newest_ms| Holds { journal, records, last, newest_ms };
    let mut has = [holds(own, 1, 1, Some(1_750_000_000_000)), holds(JournalId(7), 1, 1, None)];
    let mut missing = [holds(own, 1, 2, Some(1_750_000_000_000)), holds(JournalId(7), 2, 3, None)];
    for of in [&mut has, &mut missing] {
        of.sort_by_key(|holds| holds.journal.0.cast_signed());
    }
    assert_eq!((&restored.journals[..], &restored.missing[..]), (&has[..], &missing[..]));
    assert_eq!((restored.former_unread, restored.health.unwrap().problems), (None, vec![]));
    assert_eq!(texts(&path), ["early", "cut"]);
    assert_ne!(Book::open(&path).unwrap().own_journal().unwrap(), own, "numbers are not given twice");
    let kept = folder.path().join("book.db.before-now");
    assert_eq!(restored.kept.as_deref(), Some(&*kept));
    assert_eq!(texts(&kept), ["early", "cut", "late", "fits", "read"]);
    assert_eq!(fs::read(&backup).unwrap(), backed_up);
    let names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|f| f.unwrap().file_name()).collect();
    assert!(names.iter().all(|name| !name.to_string_lossy().contains(".part-")), "{names:?}");
    // The keypad is asked again, and what it still has comes in.
    let mut book = Book::open(&path).unwrap();
    assert_eq!(book.import(JournalId(7), &[arrived(2, "fits")]).unwrap().new, 1);
    drop(book);
    let again = Book::restore(&path, &kept, "now", false).unwrap();
    assert_eq!(texts(&path), ["early", "cut", "late", "fits", "read"], "there and back");
    assert_eq!(texts(&kept), ["early", "cut", "late", "fits", "read"], "a kept book is never written over");
    assert_eq!(texts(&again.kept.unwrap()), ["early", "cut", "fits"]);
}

#[test]
fn a_trial_says_the_same_and_changes_nothing() {
    let (folder, path, backup) = book_with_backup();
    let trial = Book::restore(&path, &backup, "now", true).unwrap();
    assert_eq!((trial.journals.len(), trial.missing.len(), trial.health), (2, 2, None));
    assert_eq!(texts(&path), ["early", "cut", "late", "fits", "read"]);
    assert!(!folder.path().join("book.db.before-now").exists());
}

#[test]
fn an_open_book_is_not_taken_from_whoever_has_it() {
    let (folder, path, backup) = book_with_backup();
    let mut open = Book::open(&path).unwrap();
    for trial in [true, false] {
        let refused = Book::restore(&path, &backup, "now", trial).unwrap_err();
        assert!(matches!(refused.trouble, Trouble::InUse), "{refused}");
    }
    open.append(&fact(None, "goes on")).unwrap();
    drop(open);
    assert_eq!(texts(&path), ["early", "cut", "late", "fits", "read", "goes on"]);
    assert!(!folder.path().join("book.db.before-now").exists());
}

#[test]
fn what_is_no_sound_book_takes_no_ones_place() {
    let (folder, path, backup) = book_with_backup();
    let letter = folder.path().join("letter");
    fs::write(&letter, "Dear Ottoline, ".repeat(400)).unwrap();
    let mut bytes = fs::read(&backup).unwrap();
    let length = bytes.len();
    bytes[4096..length - 4096].fill(0x5a);
    let spoilt = folder.path().join("spoilt.db");
    fs::write(&spoilt, bytes).unwrap();
    for from in [&letter, &spoilt, &folder.path().join("none.db"), &path, &folder.path().to_path_buf()] {
        let refused = Book::restore(&path, from, "now", false).unwrap_err();
        assert!(refused.to_string().contains(&*from.to_string_lossy()), "{refused}");
    }
    assert_eq!(texts(&path).len(), 5);
    assert!(!folder.path().join("book.db.before-now").exists());
}

#[test]
fn a_damaged_book_gives_its_place_and_is_kept_as_it_lies() {
    let (folder, path, backup) = book_with_backup();
    for (n, damage) in [&b"nonsense"[..], &[0; 5000], b""].into_iter().enumerate() {
        fs::write(&path, damage).unwrap();
        fs::write(path.with_extension("db-wal"), b"a log of its own").unwrap();
        let when = n.to_string();
        let restored = Book::restore(&path, &backup, &when, false).unwrap();
        assert!(restored.former_unread.is_some());
        let kept = folder.path().join(format!("book.db.before-{when}"));
        assert_eq!(fs::read(&kept).unwrap(), damage);
        let log = folder.path().join(format!("book.db.before-{when}-wal"));
        assert_eq!(fs::read(log).unwrap(), b"a log of its own");
        assert_eq!(texts(&path), ["early", "cut"]);
    }
}

#[test]
fn a_book_that_is_gone_comes_back() {
    let (_folder, path, backup) = book_with_backup();
    fs::remove_file(&path).unwrap();
    let restored = Book::restore(&path, &backup, "now", false).unwrap();
    assert_eq!((restored.kept, restored.former_unread), (None, None));
    assert_eq!(texts(&path), ["early", "cut"]);
}

/// Each way in which hands put a backup beside the log of a program that was killed: `restore` brings it back.
#[test]
fn thirty_of_thirty_come_back_over_the_log_of_a_killed_program() {
    for n in 0..30 {
        let (folder, path, backup) = book_with_backup();
        let (live, log) = (folder.path().join("live.db"), path.with_extension("db-wal"));
        let mut book = begin(&live);
        for write in 0..(n * 7 + 1) {
            book.append(&fact(None, &"x".repeat(write * 13 % 900))).unwrap();
        }
        fs::copy(live.with_extension("db-wal"), &log).unwrap();
        // By hand over the book, or beside the book and its log by the command.
        fs::copy(if n % 2 == 0 { &backup } else { &live }, &path).unwrap();
        drop(book);
        Book::restore(&path, &backup, "now", false).unwrap();
        assert_eq!(texts(&path), ["early", "cut"], "{n}");
    }
}

const BOOK: &str = "BEVELBOOK_TEST_RESTORE";
const STEP: &str = "BEVELBOOK_TEST_STEP";

/// No test by itself: what the next test runs as a process of its own, and it dies at the step that it is told.
#[test]
#[ignore = "run by the test that kills it"]
fn as_a_process_that_dies() {
    let (Some(path), Ok(step)) = (std::env::var_os(BOOK), std::env::var(STEP)) else { return };
    let path = Path::new(&path);
    let backup = path.with_file_name("backup.db");
    let _ = restore(path, &backup, &path.with_file_name("kept.db"), false, |done: Step| {
        if format!("{done:?}") == step {
            std::process::abort();
        }
    });
}

#[test]
fn killed_at_any_step_it_leaves_the_former_or_the_new_book_whole() {
    for (step, new) in
        [("Copied", false), ("Shut", false), ("Kept", false), ("LogCleared", false), ("InPlace", true)]
    {
        let (folder, path, backup) = book_with_backup();
        let name = concat!(module_path!(), "::as_a_process_that_dies").split_once("::").unwrap().1;
        let mut command = Command::new(std::env::current_exe().unwrap());
        command.args(["--ignored", "--exact", name]).env(BOOK, &path).env(STEP, step);
        let killed = command.output().unwrap();
        assert!(!killed.status.success(), "{step}: {killed:?}");
        let expected: &[&str] =
            if new { &["early", "cut"] } else { &["early", "cut", "late", "fits", "read"] };
        assert_eq!(texts(&path), expected, "{step}");
        let parts = fs::read_dir(folder.path()).unwrap();
        let parts = parts.filter(|f| f.as_ref().unwrap().file_name().to_string_lossy().contains(".part-"));
        assert_eq!(parts.count(), 0, "{step}: swept by whoever opens the book next");
        match Book::restore(&path, &backup, "again", false) {
            Ok(_) => assert_eq!(texts(&path), ["early", "cut"], "{step}"),
            Err(Error { trouble, .. }) => panic!("{step}: {trouble:?}"),
        }
    }
}
