//! A whole pair on each emulated board, with its power cut in the middle of a press, and the console that takes it all in.

use crate::board::Board;
use crate::rig::Console;
use crate::shop::{assert_whole, done, open_job};
use crate::whole::{shows, until_in_book};
use bevelbook_keypad::app::App;
use bevelbook_tests::Shop;
use bevelbook_tests::emulator::{Key, PATIENCE, Picture, image, image_an505};
use std::time::{Duration, Instant};

/// The presses of a pair that is as ordered, by the first letters of the keys: read uncut and spotted, two passes and the
/// bevel, read in the frame, each right and left; the PD, and all that is left to be looked at.
const RIGHT_AND_LEFT: [&str; 3] = ["ccccc", "rdc", "cccc"];
const BOTH: &str = "cr";

/// A shop with an order, its dial stated.
fn shop() -> Shop {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    open_job(&shop, 1);
    shop
}

fn named(letter: char) -> Key {
    Key::ALL.into_iter().find(|key| key.name().starts_with(letter)).unwrap()
}

/// Waits until the display shows what the library makes of the memory, and that differs from `before`.
fn as_library(board: &mut Board, before: Option<&Picture>) -> Picture {
    let begun = Instant::now();
    loop {
        let app = App::new(board.memory(), "copy");
        let picture = board.picture().unwrap();
        let other = before.is_none_or(|before| !crate::board::same_below_header(&picture, before));
        if other && shows(&picture, &app.screen(0)) {
            return picture;
        }
        assert!(begun.elapsed() < PATIENCE, "{picture:?}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// Presses a key, and cuts the power before the display can say what became of it; starts again. What was saved by then is
/// there, and the screen is that of the step.
fn cut_while_pressed(board: &mut Board, key: Key) -> Picture {
    let before = board.memory().next();
    board.contacts(&[key], true).unwrap();
    board.pass(Duration::from_millis(60)).unwrap();
    board.contacts(&[key], false).unwrap();
    board.pass(Duration::from_millis(18)).unwrap();
    board.cut_power();
    let saved = board.memory().next() - before;
    println!("the power was cut {} the record was saved", if saved > 0 { "after" } else { "before" });
    assert!(saved <= 1, "{saved}");
    board.start();
    let shown = as_library(board, None);
    if saved > 0 {
        return shown;
    }
    board.press(key).unwrap();
    as_library(board, Some(&shown))
}

/// Works the pair whose first step is `shown`, and says how many records it took.
fn work(board: &mut Board, mut shown: Picture) -> u64 {
    for (part, keys) in RIGHT_AND_LEFT.into_iter().enumerate() {
        for eye in 0..2 {
            for (n, letter) in keys.chars().enumerate() {
                // Amid the passes of the left lens.
                if (part, eye, n) == (1, 1, 1) {
                    shown = cut_while_pressed(board, named(letter));
                    continue;
                }
                board.press(named(letter)).unwrap();
                shown = board.until_other(&shown);
            }
            shown = as_library(board, None);
        }
    }
    for letter in BOTH.chars() {
        board.press(named(letter)).unwrap();
        shown = as_library(board, Some(&shown));
    }
    u64::from(board.memory().next()) - 1
}

fn pair(mut board: Board) {
    let shop = shop();
    board.begin();
    let nothing = board.picture().unwrap();
    let mut console = Console::start(&shop, board.port());
    console.until("job 1 (");
    let list = board.until_other(&nothing);
    assert_eq!(console.end(), Some(0));
    board.press(Key::Centre).unwrap();
    let first = board.until_other(&list);
    let records = work(&mut board, first);
    let mut console = Console::start(&shop, board.port());
    console.until("connected, ");
    until_in_book(&shop, &board);
    assert_whole(&shop, records);
    assert_eq!(console.end(), Some(0));
    let inspected = done(&shop, &["inspect", "1", "--json"]).json();
    assert_eq!(inspected["verdict"], "within", "{inspected}");
}

#[test]
fn a_whole_pair_on_the_first_board() {
    pair(Board::of(image));
}

#[test]
fn a_whole_pair_on_the_second_board() {
    pair(Board::of(image_an505));
}
