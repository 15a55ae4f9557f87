//! The Pico's image at the bench: it starts, is taken in, logs passes alone and beside the console, and is cut off.

use crate::board::{Board, HEADER_ROWS, PATIENCE};
use crate::rig::Console;
use crate::shop::{assert_whole, at_sizing, log};
use bevelbook_tests::Shop;
use serde_json::json;
use std::time::{Duration, Instant};

/// Waits until the book has `last` as the number of the keypad's last record.
pub(crate) fn until_in_book(shop: &Shop, last: u64) {
    let begun = Instant::now();
    while log(shop).last().and_then(|record| record["seq"].as_u64()) != Some(last) {
        assert!(begun.elapsed() < PATIENCE, "{:?}", log(shop));
        std::thread::sleep(Duration::from_millis(200));
    }
}

/// A keypad that was given job 1 by a console that has its first pass and is away again.
pub(crate) fn in_hand(shop: &Shop) -> Board {
    let mut board = Board::new();
    board.send(&["hold centre", "wait 500"]);
    let cable = board.plug();
    let mut console = Console::start(shop, &cable.path);
    console.until("connected, ");
    console.until("job 1 (");
    board.send(&["wait 500", "centre", "wait 500", "up", "wait 400"]);
    console.until("much too big");
    board.until_as_library(false);
    assert_eq!(console.end(), Some(0));
    board
}

#[test]
fn it_starts_on_a_blank_memory_and_is_taken_in_by_the_host() {
    let mut board = Board::new();
    // The number is that of the flash chip, the ids those for private tests.
    assert_eq!(board.usb["serial"], "e6614104032a5b17");
    assert_eq!(board.usb["ids"], serde_json::json!([0x1209, 0x0001]));
    board.until_as_library(true);
    assert!(board.memory_bytes().iter().all(|byte| *byte == 0xff), "nothing is written unasked");
    // Short presses begin nothing; a display that has not changed is not written to.
    board.send(&["up", "left", "centre", "wait 700"]);
    let before = board.figures();
    board.send(&["wait 1000"]);
    assert_eq!(board.figures()["display_bytes"], before["display_bytes"]);
    assert!(board.memory_bytes().iter().all(|byte| *byte == 0xff));
    board.send(&["hold centre", "wait 500"]);
    board.figures();
    assert!(board.memory_bytes().iter().any(|byte| *byte != 0xff), "a journal was begun");
    board.until_as_library(true);
}

#[test]
fn a_day_with_the_console_away_and_there_and_the_power_cut() {
    let shop = at_sizing(1);
    let mut board = in_hand(&shop);

    // Nobody is there: what it has to say is dropped, what it has to keep is kept.
    board.send(&["right", "wait 400", "right", "wait 400"]);
    let shown = board.until_as_library(false);
    let mut board = board.cut_power();
    let again = board.until_as_library(false);
    assert_eq!(shown[HEADER_ROWS..], again[HEADER_ROWS..], "the step in hand stands there again");
    board.send(&["right", "wait 400"]);
    board.until_as_library(false);

    let cable = board.plug();
    let mut console = Console::start(&shop, &cable.path);
    let line = console.until("connected, ");
    assert!(line.contains("3 records waiting"), "{line}");
    until_in_book(&shop, 4);
    assert_whole(&shop, 4);
    assert_eq!(console.end(), Some(0));
    // It was told that its records are in the book, at the latest by the second console.
    let mut line = String::new();
    for _ in 0..2 {
        let mut console = Console::start(&shop, &cable.path);
        line = console.until("connected, ");
        assert_eq!(console.end(), Some(0));
    }
    assert!(line.contains("nothing waiting"), "{line}");
    crate::budget::check_running(&board.figures());
}

#[test]
fn a_fast_press_while_a_card_is_written_is_not_lost() {
    let shop = at_sizing(1);
    let mut board = Board::new();
    board.send(&["hold centre", "wait 500"]);
    board.figures();
    // Down and up again between two pages of the card.
    board.send(&["during 2 centre 25"]);
    let cable = board.plug();
    let mut console = Console::start(&shop, &cable.path);
    console.until("job 1 (");
    // The job was chosen by it: the next press says how its first lens fits.
    board.send(&["wait 500", "up", "wait 400"]);
    console.until("much too big");
    board.until_as_library(false);
    assert_eq!(console.end(), Some(0));
}

#[test]
fn a_disturbed_display_is_right_again_with_the_next_picture_and_what_is_saved_sounds() {
    let shop = at_sizing(1);
    let mut board = in_hand(&shop);
    let before = board.figures()["sounds"].as_array().unwrap().len();
    board.send(&["disturb"]);
    assert!(board.picture().iter().all(|row| !row.contains('#')), "the disturbance is seen");
    board.send(&["right", "wait 400"]);
    board.until_as_library(false);
    let sounds = board.figures()["sounds"].clone();
    println!("{sounds}");
    let sounds: Vec<u64> =
        sounds.as_array().unwrap()[before..].iter().map(|ms| ms.as_u64().unwrap()).collect();
    assert_eq!(sounds, [40], "a pass is saved");
}

#[test]
fn a_clock_beside_the_memory_tells_the_time_at_the_start_and_is_set_by_a_console() {
    let shop = at_sizing(1);
    let mut board = Board::with_clock();
    board.send(&["hold centre", "wait 500"]);
    let before = board.figures()["clock"].clone();
    assert_eq!(before, json!([0x00, 0x30, 0x08, 0x03, 0x01, 0x12, 0x26]));
    let said = crate::log::log(&mut board).into_iter().find(|line| line.message.contains("clock"));
    assert_eq!(said.unwrap().message, "the clock knows the time: true");
    let cable = board.plug();
    let mut console = Console::start(&shop, &cable.path);
    console.until("job 1 (");
    let begun = Instant::now();
    while board.figures()["clock"] == before {
        assert!(begun.elapsed() < PATIENCE, "the clock was not set");
    }
    println!("{}", board.figures()["clock"]);
    assert_eq!(console.end(), Some(0));
}
