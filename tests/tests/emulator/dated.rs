//! A clock chip on the memory's bus: what is logged in a start that no console meets is dated by it.

use crate::board::Board;
use crate::day::{at_work, pass};
use crate::rig::Console;
use crate::shop::{at_sizing, log};
use crate::whole::until_in_book;
use bevelbook_tests::emulator::{Key, image_an505};
use jiff::{SignedDuration, Timestamp};
use serde_json::Value;

/// Lets a keypad log a pass in a start that no console meets. What the book says of it, and between what it was made.
fn worked_alone(clock: bool) -> (Value, [Timestamp; 2]) {
    let shop = at_sizing(1);
    let mut board = Board::of(image_an505);
    board.options.clock = clock;
    board.begin();
    let step = at_work(&shop, &mut board);
    pass(&mut board, Key::Up, &step);
    board.cut_power();
    board.start();
    let step = board.until_lit();
    let least = Timestamp::now();
    pass(&mut board, Key::Up, &step);
    let most = Timestamp::now();
    board.cut_power();
    board.start();
    board.until_lit();
    let mut console = Console::start(&shop, board.port());
    console.until("connected, ");
    until_in_book(&shop, &board);
    assert_eq!(console.end(), Some(0));
    (log(&shop).pop().unwrap(), [least, most])
}

#[test]
fn a_clock_chip_dates_what_was_logged_where_no_console_was() {
    let (record, [least, most]) = worked_alone(true);
    assert_eq!(record["dated_by"], "keypad", "{record}");
    let at: Timestamp = record["at"].as_str().unwrap().parse().unwrap();
    // It tells whole seconds, those that were over when the board began, and on a busy machine the keypad's own ticks fall behind.
    let second = SignedDuration::from_secs(1);
    assert!(least - second * 2 <= at && at <= most, "{least} {at} {most}");
}

#[test]
fn without_one_it_is_not_dated() {
    let (record, _) = worked_alone(false);
    assert_eq!((&record["at"], &record["dated_by"]), (&Value::Null, &Value::Null), "{record}");
}
