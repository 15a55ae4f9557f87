//! The Pico's image when its loop stands still, and when it panics: it starts again and nothing is lost.

use crate::board::{Board, HEADER_ROWS, Picture};
use crate::image::built;
use crate::log::log;
use crate::rig::Console;
use crate::shop::{assert_whole, at_sizing};
use crate::whole::{in_hand, until_in_book};
use bevelbook_tests::Shop;
use bevelbook_tests::image::Image;

/// The rows of the display below the header, which says what waits and whether a console is there.
fn step(shown: &Picture) -> &[String] {
    &shown[HEADER_ROWS..]
}

fn has(board: &mut Board, level: &str, begins: &str) -> String {
    let lines = log(board);
    let found = lines.iter().find(|line| line.level == level && line.message.starts_with(begins));
    found.unwrap_or_else(|| panic!("no `{begins}` in {lines:#?}")).message.clone()
}

/// A keypad with one pass in the book and one that waits; what it shows.
fn with_one_waiting(shop: &Shop) -> (Board, Picture) {
    let mut board = in_hand(shop);
    board.send(&["right", "wait 400"]);
    let shown = board.until_as_library(false);
    (board, shown)
}

/// The console takes in what waits, once and in order, over the port that the restarted board has.
fn goes_on(shop: &Shop, board: &mut Board, waits: u64, last: u64) {
    let cable = board.plug();
    let mut console = Console::start(shop, &cable.path);
    let line = console.until("connected, ");
    assert!(line.contains(&format!("{waits} record")), "{line}");
    until_in_book(shop, last);
    assert_whole(shop, last);
    assert_eq!(console.end(), Some(0));
}

#[test]
fn a_loop_that_stands_still_is_started_again_by_the_watchdog() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    let begun = board.figures()["ms"].as_u64().unwrap();
    board.send(&["stall"]);
    let restarted = board.restarted();
    assert_eq!(restarted["why"], "not fed");
    let stood = restarted["ms"].as_u64().unwrap() - begun;
    println!("the watchdog bit after {stood} ms");
    // The loop feeds it for eight seconds, at the latest when it stalls.
    assert!((7_900..8_300).contains(&stood), "{stood}");
    assert_eq!(step(&board.until_as_library(false)), step(&shown), "the step in hand stands there again");
    assert_eq!(board.unacknowledged(), 1);
    has(&mut board, "warn", "its loop stood still");
    goes_on(&shop, &mut board, 1, 2);
}

#[test]
fn a_panic_starts_it_again_at_once_and_its_log_says_from_where() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    let image = Image::load(&built().image).unwrap();
    let begun = board.figures()["ms"].as_u64().unwrap();
    let entry = image.find("panic_bounds_check").unwrap().address;
    board.send(&[&format!("call {entry}")]);
    let restarted = board.restarted();
    assert_eq!(restarted["why"], "asked for");
    assert!(restarted["ms"].as_u64().unwrap() - begun < 50, "{restarted}");
    assert_eq!(step(&board.until_as_library(false)), step(&shown), "the step in hand stands there again");
    assert_eq!(board.unacknowledged(), 1);
    let told = has(&mut board, "warn", "started after a defect");
    let addresses = told.split(' ').rev().take(4).map(|word| u32::from_str_radix(word, 16).unwrap());
    let places: Vec<&str> =
        addresses.filter_map(|address| image.code_at(address)).map(|code| code.name.as_str()).collect();
    println!("{told}: {places:?}");
    assert!(places.iter().any(|name| name.ends_with("panic_bounds_check")), "{told}");
    goes_on(&shop, &mut board, 1, 2);
    // Told once: the next start has another reason.
    let mut board = board.cut_power();
    board.until_as_library(true);
    assert!(log(&mut board).iter().all(|line| !line.message.contains("defect")));
}
