//! Several consoles on one book at once.

use super::super::Book;
use super::{arrived, begin, fact, place};
use bevelbook_core::record::JournalId;
use std::path::Path;
use std::process::Command;
use std::sync::Barrier;
use std::thread;

/// Appends to the named job, each record saying how many that job already had when it was written.
fn write_many(path: &Path, job: u64, count: usize) {
    let mut book = Book::open_or_begin(path).unwrap();
    for _ in 0..count {
        book.write::<_, super::super::Error>(|tx| {
            let had = tx.entries_of_job(job)?.len();
            tx.append(&fact(Some(job), &had.to_string()))
        })
        .unwrap();
    }
}

/// Nothing lost, no number missing or doubled, order of numbers = order of commits.
fn assert_whole(path: &Path, writers: u64, each: usize) {
    let book = Book::open(path).unwrap();
    let own = book.own_journal().unwrap();
    let all = book.entries_after(0).unwrap();
    assert!(all.iter().all(|e| e.id.journal == own));
    let seqs: Vec<u32> = all.iter().map(|e| e.id.seq).collect();
    let expected = u32::try_from(each).unwrap() * u32::try_from(writers).unwrap();
    assert_eq!(seqs, (1..=expected).collect::<Vec<_>>());
    for job in 0..writers {
        let said: Vec<_> = book.entries_of_job(job).unwrap().into_iter().map(|e| e.payload).collect();
        assert_eq!(said, (0..each).map(|n| n.to_string().into_bytes()).collect::<Vec<_>>());
    }
    assert_eq!(book.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn two_threads_that_begin_a_book_and_write_at_once_lose_nothing() {
    let (_folder, path) = place();
    let start = Barrier::new(2);
    thread::scope(|s| {
        for job in 0..2 {
            let (path, start) = (&path, &start);
            s.spawn(move || {
                start.wait();
                write_many(path, job, 200);
            });
        }
    });
    assert_whole(&path, 2, 200);
}

const BOOK: &str = "BEVELBOOK_TEST_BOOK";
const JOB: &str = "BEVELBOOK_TEST_JOB";

/// No test by itself: what the next test runs as processes of their own.
#[test]
#[ignore = "run by the test of two processes"]
fn as_a_process_of_its_own() {
    if let (Some(path), Ok(job)) = (std::env::var_os(BOOK), std::env::var(JOB)) {
        write_many(Path::new(&path), job.parse().unwrap(), 200);
    }
}

#[test]
fn two_processes_that_begin_a_book_and_write_at_once_lose_nothing() {
    let (_folder, path) = place();
    let program = std::env::current_exe().unwrap();
    let name = concat!(module_path!(), "::as_a_process_of_its_own");
    let name = name.split_once("::").unwrap().1;
    let mut writers: Vec<_> = ["0", "1"]
        .map(|job| {
            let mut command = Command::new(&program);
            command.args(["--ignored", "--exact", name]).env(BOOK, &path).env(JOB, job);
            command.stdout(std::process::Stdio::null()).spawn().unwrap()
        })
        .into();
    for writer in &mut writers {
        assert!(writer.wait().unwrap().success());
    }
    assert_whole(&path, 2, 200);
}

#[test]
fn many_that_begin_the_same_book_at_once_all_succeed() {
    for _ in 0..20 {
        let (_folder, path) = place();
        let start = Barrier::new(4);
        let ids: Vec<_> = thread::scope(|s| {
            let open = || {
                start.wait();
                Book::open_or_begin(&path).unwrap().own_journal().unwrap()
            };
            let threads: Vec<_> = (0..4).map(|_| s.spawn(open)).collect();
            threads.into_iter().map(|t| t.join().unwrap()).collect()
        });
        assert!(ids.windows(2).all(|pair| pair[0] == pair[1]), "{ids:?}");
    }
}

#[test]
fn a_backup_being_read_by_another_program_is_waited_for() {
    let (folder, path) = place();
    let backup = folder.path().join("backup.db");
    begin(&path).backup_to(&backup).unwrap();
    // A backup has no write-ahead log yet, and a reader stands in the way of beginning one.
    let reader = rusqlite::Connection::open(&backup).unwrap();
    reader.execute_batch("BEGIN; SELECT count(*) FROM record").unwrap();
    thread::scope(|s| {
        let opening = s.spawn(|| Book::open(&backup).map(drop));
        thread::sleep(std::time::Duration::from_millis(300));
        assert!(!opening.is_finished());
        reader.execute_batch("COMMIT").unwrap();
        opening.join().unwrap().unwrap();
    });
}

#[test]
fn another_consoles_writes_are_noticed_and_own_ones_are_not() {
    let (_folder, path) = place();
    let (mut one, mut two) = (begin(&path), begin(&path));
    let before = one.data_version().unwrap();
    one.append(&fact(None, "own")).unwrap();
    assert_eq!(one.data_version().unwrap(), before);
    let seen = one.entries_after(0).unwrap()[0].position;
    two.import(JournalId(7), &[arrived(1, "theirs")]).unwrap();
    assert_ne!(one.data_version().unwrap(), before);
    assert_eq!(one.entries_after(seen).unwrap()[0].payload, b"theirs");
}
