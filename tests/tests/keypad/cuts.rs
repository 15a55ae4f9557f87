//! Power is cut in the middle of each page write of a short day: what was shown as saved is in the book once.

use crate::rig::{Console, Keypad};
use crate::shop::{at_sizing, log, numbers};
use bevelbook_tests::Shop;
use std::fs;
use std::path::{Path, PathBuf};

/// A shop, and the memory of a keypad that has its jobs.
fn prepared() -> (Shop, PathBuf) {
    let shop = at_sizing(1);
    let mut keypad = Keypad::start(&shop);
    let mut console = Console::start(&shop, &keypad.port);
    console.until("job 1 (");
    keypad.send(&["quit"]);
    keypad.wait();
    let memory = shop.folder().join("keypad.mem");
    (shop, memory)
}

/// Presses a day of six passes and two bevels as far as the keypad lives, and gives the last number that it said was saved.
fn day(keypad: &mut Keypad) -> u64 {
    keypad.send(&["centre"]);
    let mut saved = keypad.try_ask("saved").unwrap_or(0);
    for outcome in ["up", "right", "right", "down", "centre", "up", "down", "centre"] {
        keypad.send(&[outcome]);
        match keypad.try_ask("saved") {
            Some(number) => saved = saved.max(number),
            None => return saved,
        }
        keypad.send(&["wait 310"]);
    }
    saved
}

/// One day with a cut at page write `number`; whether it came to that write.
fn cut_at(shop: &Shop, memory: &Path, number: u32, connected: bool) -> bool {
    let (cut, port) = (number.to_string(), shop.folder().join(format!("port-{number}")));
    let mut saved = 0;
    let mut console = None;
    if let Some(mut keypad) = Keypad::try_start(shop, memory, &["--cut-after-writes", &cut]) {
        if connected {
            console = Some(Console::start(shop, &keypad.port));
        }
        saved = day(&mut keypad);
        if keypad.try_ask("saved").is_some() {
            return false;
        }
        keypad.wait();
    }
    drop(console);
    let mut keypad = Keypad::try_start(shop, memory, &[]).unwrap();
    std::os::unix::fs::symlink(&keypad.port, &port).unwrap();
    let mut console = Console::start(shop, &port);
    console.until("connected, ");
    keypad.until_synced();
    let records = log(shop);
    // A gap says nothing.
    let said = records.iter().filter(|record| record["says"].is_string());
    let in_book: Vec<u64> = said.map(|record| record["seq"].as_u64().unwrap()).collect();
    let mut once = in_book.clone();
    once.dedup();
    assert_eq!(in_book, once);
    // A pass that was being saved may be there too: it was not shown, and it is whole or not there.
    let shown = (1..=saved).filter(|seq| !in_book.contains(seq)).collect::<Vec<_>>();
    assert_eq!(
        shown, [0_u64; 0],
        "cut at write {number}: shown as saved and not in the book, of {records:?}"
    );
    assert!(
        in_book.len() as u64 <= saved + 1,
        "cut at write {number}: {saved} shown, {in_book:?} in the book"
    );
    true
}

fn cut_at_each_write(from: u32, most: u32, connected: bool) -> u32 {
    let mut number = from;
    while number < from + most {
        let (shop, memory) = prepared();
        let kept = fs::read(&memory).unwrap();
        assert_eq!(kept.len(), 32 * 1024);
        if !cut_at(&shop, &memory, number, connected) {
            assert_eq!(numbers(&shop).len(), if connected { 8 } else { 0 });
            return number - from;
        }
        number += 1;
    }
    number - from
}

#[test]
fn power_cut_at_each_page_write_of_a_short_day_loses_nothing_that_was_shown() {
    let cuts = cut_at_each_write(1, 40, false);
    println!("{cuts} page writes were cut");
    assert!((4..40).contains(&cuts), "{cuts}");
}

#[test]
fn power_cut_at_each_page_write_while_the_console_takes_records_in() {
    let cuts = cut_at_each_write(1, 400, true);
    println!("{cuts} page writes were cut");
    assert!((6..400).contains(&cuts), "{cuts}");
}

#[test]
fn power_cut_while_a_journal_is_begun_leaves_a_memory_that_begins_one() {
    for number in 1..=4 {
        let shop = at_sizing(1);
        let memory = shop.folder().join("fresh.mem");
        let cut = number.to_string();
        let first = Keypad::try_start(&shop, &memory, &["--cut-after-writes", &cut]);
        assert!(first.is_none() || number > 2, "cut at write {number}");
        drop(first);
        let mut keypad = Keypad::try_start(&shop, &memory, &[]).unwrap();
        assert_eq!(keypad.ask("saved"), 0);
    }
}
