//! Several consoles on one book at once.

use super::super::{Book, Place};
use super::{Ground, arrived, begin, fact, on_both_engines};
use bevelbook_core::record::JournalId;
use std::process::Command;
use std::sync::Barrier;
use std::thread;
use std::time::{Duration, Instant};

/// Appends to the named job, each record saying how many that job already had when it was written.
fn write_many(place: &Place, job: u64, count: usize) {
    let mut book = begin(place);
    for _ in 0..count {
        book.write::<_, super::super::Error>(|tx| {
            let had = tx.entries_of_job(job)?.len();
            tx.append(&fact(Some(job), &had.to_string()))
        })
        .unwrap();
    }
}

/// Nothing lost, no number missing or doubled, order of numbers = order of commits.
fn assert_whole(place: &Place, writers: u64, each: usize) {
    let book = Book::open(place).unwrap();
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

fn two_threads_that_begin_a_book_and_write_at_once_lose_nothing(ground: &Ground) {
    let place = ground.place();
    let start = Barrier::new(2);
    thread::scope(|s| {
        for job in 0..2 {
            let (place, start) = (&place, &start);
            s.spawn(move || {
                start.wait();
                write_many(place, job, 200);
            });
        }
    });
    assert_whole(&place, 2, 200);
}

const BOOK: &str = "BEVELBOOK_TEST_BOOK";
const JOB: &str = "BEVELBOOK_TEST_JOB";

/// No test by itself: what the next test runs as processes of their own.
#[test]
#[ignore = "run by the test of two processes"]
fn as_a_process_of_its_own() {
    if let (Some(place), Ok(job)) = (std::env::var_os(BOOK), std::env::var(JOB)) {
        write_many(&Place::named(place).unwrap(), job.parse().unwrap(), 200);
    }
}

fn two_processes_that_begin_a_book_and_write_at_once_lose_nothing(ground: &Ground) {
    let place = ground.place();
    let program = std::env::current_exe().unwrap();
    let name = concat!(module_path!(), "::as_a_process_of_its_own");
    let name = name.split_once("::").unwrap().1;
    let mut writers: Vec<_> = ["0", "1"]
        .map(|job| {
            let mut command = Command::new(&program);
            command.args(["--ignored", "--exact", name]).env(BOOK, place.to_string()).env(JOB, job);
            command.stdout(std::process::Stdio::null()).spawn().unwrap()
        })
        .into();
    for writer in &mut writers {
        assert!(writer.wait().unwrap().success());
    }
    assert_whole(&place, 2, 200);
}

fn many_that_begin_the_same_book_at_once_all_succeed(ground: &Ground) {
    for _ in 0..ground.times(20) {
        let place = ground.place();
        let start = Barrier::new(4);
        let ids: Vec<_> = thread::scope(|s| {
            let open = || {
                start.wait();
                begin(&place).own_journal().unwrap()
            };
            let threads: Vec<_> = (0..4).map(|_| s.spawn(open)).collect();
            threads.into_iter().map(|t| t.join().unwrap()).collect()
        });
        assert!(ids.windows(2).all(|pair| pair[0] == pair[1]), "{ids:?}");
        ground.clear();
    }
}

fn another_consoles_writes_are_noticed_and_own_ones_are_not(ground: &Ground) {
    let (mut one, mut two) = (begin(ground.place()), begin(ground.place()));
    let before = one.data_version().unwrap();
    one.append(&fact(None, "own")).unwrap();
    assert_eq!(one.data_version().unwrap(), before);
    let seen = one.entries_after(0).unwrap()[0].position;
    two.import(JournalId(7), &[arrived(1, "theirs")]).unwrap();
    // A server's word of it is on its way for a moment.
    let begun = Instant::now();
    while one.data_version().unwrap() == before {
        assert!(begun.elapsed() < Duration::from_secs(3), "not noticed");
        thread::sleep(Duration::from_millis(1));
    }
    assert_eq!(one.entries_after(seen).unwrap()[0].payload, b"theirs");
}

on_both_engines!(
    two_threads_that_begin_a_book_and_write_at_once_lose_nothing,
    two_processes_that_begin_a_book_and_write_at_once_lose_nothing,
    many_that_begin_the_same_book_at_once_all_succeed,
    another_consoles_writes_are_noticed_and_own_ones_are_not,
);
