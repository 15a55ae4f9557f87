//! Twenty consoles and two hundred keypads at once.

use crate::account::{self, Answer};
use crate::console::Task;
use crate::consoles::Consoles;
use crate::shop;
use bevelbook_server::Server;
use std::time::Instant;

/// Plays a crowd, and compares what it says with the book.
fn play(consoles: usize, task: Task) {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    let url = database.url();
    shop::begin(&url);
    let began = Instant::now();
    let account = Consoles::start(&url, consoles, task).wait();
    let took = began.elapsed();
    let book = account::book(&mut database.client());
    let passes = account.assert_all(&book, &shop::open(&url).unwrap());
    let held: usize = account.held.values().map(Vec::len).sum();
    assert_eq!(account.held.len(), consoles * task.keypads);
    let recorded = account.answered(|answer| matches!(answer, Answer::Recorded(_)));
    println!(
        "{consoles} consoles, {} keypads: {held} records of theirs, {recorded} of {} typed (the others refused), {passes} \
         passes under the guard; {} records in {took:.1?}",
        account.held.len(),
        account.typed.len(),
        book.len()
    );
    assert!(recorded * 2 > account.typed.len(), "{:?}", account.typed);
}

#[test]
fn twenty_consoles_with_two_keypads_each_work_on_one_book() {
    play(20, Task { number: 0, keypads: 2, records: 3, typed: 4, pace_ms: 400 });
}

#[test]
#[ignore = "takes minutes"]
fn twenty_consoles_and_two_hundred_keypads_work_on_one_book() {
    play(20, Task { number: 0, keypads: 10, records: 10, typed: 20, pace_ms: 400 });
}
