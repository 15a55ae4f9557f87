//! The server is killed again and again while a shop works on its book.

use crate::account::{self, Answer};
use crate::console::Task;
use crate::consoles::Consoles;
use crate::keypad::Chance;
use crate::shop;
use bevelbook_server::Server;
use std::time::Duration;

/// Kills it so often, and looks each time whether what was acknowledged before is there.
fn kill_and_start_again(times: usize, consoles: usize, task: Task) {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    shop::begin(&database.url());
    let mut consoles = Consoles::start(&database.url(), consoles, task);
    let (mut chance, mut before) = (Chance::new(9), 0);
    for _ in 0..times {
        // In the middle of its work: something more was acknowledged than before.
        before = consoles.until_acknowledged(before + 1);
        std::thread::sleep(Duration::from_millis(chance.below(500) as u64));
        server.kill9();
        server.restart();
        consoles.account.lock().unwrap().assert_acknowledged(&account::book(&mut database.client()));
    }
    consoles.end();
    let account = consoles.wait();
    let book = account::book(&mut database.client());
    account.assert_all(&book, &shop::open(&database.url()).unwrap());
    let answered = |so: fn(&Answer) -> bool| account.answered(so);
    println!(
        "killed {times} times; {} records of {} keypads, none lost, none twice; {} typed were recorded, {} were not and said so, \
         {} could not be told",
        account.held.values().map(Vec::len).sum::<usize>(),
        account.held.len(),
        answered(|answer| matches!(answer, Answer::Recorded(_))),
        answered(|answer| matches!(answer, Answer::Not(_))),
        answered(|answer| matches!(answer, Answer::Unsure)),
    );
}

#[test]
fn a_server_killed_again_and_again_loses_nothing_that_it_acknowledged() {
    kill_and_start_again(4, 2, Task { number: 0, keypads: 2, records: 200, typed: 1000, pace_ms: 300 });
}

#[test]
#[ignore = "takes minutes"]
fn a_server_killed_a_hundred_times_loses_nothing_that_it_acknowledged() {
    kill_and_start_again(100, 5, Task { number: 0, keypads: 4, records: 250, typed: 1000, pace_ms: 3000 });
}
