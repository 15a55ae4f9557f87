//! The console is killed again and again while it takes records in: each is in the book once.

use crate::rig::{Console, Keypad};
use crate::shop::{assert_whole, at_sizing};
use bevelbook::store::Book;
use bevelbook_tests::Shop;
use std::time::{Duration, Instant};

/// The last number of the keypad in the book; none before the book knows the keypad.
fn in_book(book: &Book) -> Option<u32> {
    let journals = book.journals().unwrap();
    let (keypad, _) = journals.iter().find(|(_, begun_here)| !begun_here)?;
    book.last_seq(*keypad).unwrap()
}

/// Kills the console at some moment while a record comes in, `times` times. Says how often the book had a record
/// that the keypad had not been told so of.
fn kill_and_start_again(times: u32) -> u32 {
    let shop = at_sizing(1);
    let mut keypad = Keypad::start(&shop);
    Console::start(&shop, &keypad.port).until("job 1 (");
    keypad.send(&["centre"]);
    let mut between = 0;
    for round in 1..=times {
        let mut console = Console::start(&shop, &keypad.port);
        console.until("connected, ");
        let book = Book::open(shop.book()).unwrap();
        keypad.send(&["up", "wait 310"]);
        match round % 3 {
            // As soon as the record is in the book: before, while or after it is acknowledged.
            0 | 1 => {
                let begun = Instant::now();
                while in_book(&book).unwrap_or(0) < round && begun.elapsed() < Duration::from_secs(10) {}
            }
            // At any moment.
            _ => std::thread::sleep(Duration::from_millis(u64::from(round * 37 % 250))),
        }
        console.kill();
        let saved = keypad.ask("saved");
        assert_eq!(saved, u64::from(round));
        let unsynced = keypad.ask("unsynced");
        between += u32::from(u64::from(in_book(&book).unwrap_or(0)) + unsynced > saved);
    }
    let mut console = Console::start(&shop, &keypad.port);
    console.until("connected, ");
    keypad.until_synced();
    assert_whole(&shop, times.into());
    assert_eq!(console.end(), Some(0));
    between
}

fn pass_count(shop: &Shop) -> usize {
    crate::shop::log(shop)
        .iter()
        .filter(|record| record["says"].as_str().unwrap().contains("much too big"))
        .count()
}

#[test]
fn a_console_killed_a_hundred_times_loses_and_doubles_none() {
    let between = kill_and_start_again(100);
    println!("killed 100 times, {between} of them between commit and acknowledgement");
    assert!(between > 0, "the moment was never hit");
}

#[test]
fn a_console_takes_in_what_it_has_not_seen_when_it_comes_back() {
    let shop = at_sizing(1);
    let mut keypad = Keypad::start(&shop);
    let mut console = Console::start(&shop, &keypad.port);
    console.until("job 1 (");
    keypad.send(&["centre", "up", "wait 310"]);
    console.until("much too big");
    assert_eq!(console.end(), Some(0));
    keypad.send(&["up", "wait 310", "up", "wait 310"]);
    assert_eq!((keypad.ask("saved"), keypad.ask("unsynced")), (3, 2));
    let mut console = Console::start(&shop, &keypad.port);
    let line = console.until("connected, ");
    assert!(line.contains("2 records waiting"), "{line}");
    keypad.until_synced();
    assert_whole(&shop, 3);
    assert_eq!(pass_count(&shop), 3);
}
