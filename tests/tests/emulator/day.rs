//! A day without a console: everything waits in the keypad, and comes in whole when one is connected.

use crate::board::{Board, warns};
use crate::rig::Console;
use crate::shop::{assert_whole, at_sizing, log};
use crate::whole::until_in_book;
use bevelbook_tests::Shop;
use bevelbook_tests::emulator::{Key, Picture};
use serde_json::Value;

/// A keypad that has the card of job 1 and asks for a pass; the console that sent it has ended.
pub(crate) fn at_work(shop: &Shop, board: &mut Board) -> Picture {
    let nothing = board.picture().unwrap();
    let mut console = Console::start(shop, board.port());
    console.until("job 1 (");
    let list = board.until_other(&nothing);
    assert_eq!(console.end(), Some(0));
    board.press(Key::Centre).unwrap();
    board.until_other(&list)
}

/// Says of a lens that it is still too big, and waits until the display asks for the next pass.
pub(crate) fn pass(board: &mut Board, key: Key, before: &Picture) -> Picture {
    board.press(key).unwrap();
    let after = board.until_other(before);
    assert!(!warns(&after), "not saved: {after:?}");
    after
}

/// What the passes in the book were, in the keypad's order.
fn outcomes(log: &[Value]) -> Vec<bool> {
    let says = |record: &Value| record["says"].as_str().unwrap().to_owned();
    log.iter()
        .map(says)
        .inspect(|says| assert!(says.contains("too big"), "{says}"))
        .map(|says| says.contains("much"))
        .collect()
}

fn day(passes: u64) {
    let shop = at_sizing(1);
    let mut board = Board::begun();
    let mut shown = at_work(&shop, &mut board);
    // Which of the two it was follows the bits of a number, so that a pair exchanged would show.
    let far: Vec<bool> = (0..passes).map(|n| n * n % 7 % 2 == 0).collect();
    for far in &far {
        shown = pass(&mut board, if *far { Key::Up } else { Key::Right }, &shown);
    }
    let memory = board.memory();
    assert_eq!((u64::from(memory.unacknowledged()), u64::from(memory.next())), (passes, passes + 1));
    let mut console = Console::start(&shop, board.port());
    let line = console.until("connected, ");
    assert!(line.contains(&format!("{passes} records waiting")), "{line}");
    until_in_book(&shop, &board);
    assert_whole(&shop, passes);
    assert_eq!(outcomes(&log(&shop)), far);
    assert_eq!(console.end(), Some(0));
}

#[test]
fn forty_passes_alone_come_in_once_and_in_order() {
    day(40);
}

#[test]
#[ignore = "a minute and a half: run by tests/run --long"]
fn two_hundred_passes_alone_come_in_once_and_in_order() {
    day(200);
}
