//! Power cuts at any moment, consoles killed at any moment, and rubbish on the line: what the display called saved is in
//! the book once.

use crate::board::{Board, same_below_header, warns};
use crate::day::at_work;
use crate::rig::Console;
use crate::shop::{assert_whole, at_sizing};
use crate::whole::until_in_book;
use bevelbook_tests::emulator::{Emulator, Key, PRESS, Picture};
use std::io::Write;
use std::time::Duration;

/// A generator of numbers that a seed repeats (xorshift, G. Marsaglia 2003: the triple 13, 7, 17).
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % bound
    }
}

/// What the display called saved, and what may have been.
#[derive(Debug)]
struct Tally {
    shown: u64,
    pressed: u64,
}

/// A pass that is pressed and may be cut off: closed, opened, and looked at, as long as there is time.
fn press_and_look(
    board: &mut Board,
    tally: &mut Tally,
    before: &Picture,
    chance: &mut Chance,
) -> Option<Picture> {
    board.contacts(&[Key::Up], true).unwrap();
    tally.pressed += 1;
    std::thread::sleep(PRESS);
    board.contacts(&[Key::Up], false).unwrap();
    // It is told some 15 ms from here, and saved and shown within a few more.
    std::thread::sleep(Duration::from_micros(chance.below(40_000)));
    if chance.below(2) == 0 {
        return None;
    }
    let shown = board.picture().unwrap();
    if same_below_header(&shown, before) || warns(&shown) {
        return None;
    }
    tally.shown += 1;
    Some(shown)
}

fn spoil(board: &Emulator, chance: &mut Chance) {
    let mut port = std::fs::OpenOptions::new().write(true).open(board.port()).unwrap();
    // Rubbish, then a frame that breaks off: bytes without the zero that ends one.
    let rubbish: Vec<u8> = (0..chance.below(300)).map(|_| chance.below(256) as u8).collect();
    port.write_all(&rubbish).unwrap();
    port.write_all(&[0, 9, 1, 2, 3]).unwrap();
}

/// After a power cut: what the memory holds lies between what was shown and what was pressed.
fn assert_between(board: &Board, tally: &Tally) -> u64 {
    let saved = u64::from(board.memory().next()) - 1;
    assert!((tally.shown..=tally.pressed).contains(&saved), "{saved} saved, {tally:?}");
    saved
}

/// Cuts the power `times` times. How often a cut fell between a press and its showing.
fn cut_power(times: u32, seed: u64) -> u32 {
    let shop = at_sizing(1);
    let mut board = Board::begun();
    let mut shown = at_work(&shop, &mut board);
    let (mut chance, mut open) = (Chance(seed), 0);
    let mut tally = Tally { shown: 0, pressed: 0 };
    for round in 0..times {
        // One time in three a console is there, and the cut may fall while it takes records in.
        let console = (round % 3 == 2).then(|| {
            let mut console = Console::start(&shop, board.port());
            console.until("connected, ");
            console
        });
        for _ in 0..chance.below(3) {
            board.press(Key::Up).unwrap();
            tally.pressed += 1;
            tally.shown += 1;
            let after = board.until_other(&shown);
            assert!(!warns(&after), "not saved: {after:?}");
            shown = after;
        }
        let seen = press_and_look(&mut board, &mut tally, &shown, &mut chance);
        if console.is_none() && round % 2 == 0 {
            spoil(&board, &mut chance);
        }
        board.cut_power();
        drop(console);
        let saved = assert_between(&board, &tally);
        open += u32::from(seen.is_none());
        // What was saved without being shown counts from here on: the next start shows it.
        (tally.shown, tally.pressed) = (saved, saved);
        board.start();
        shown = board.until_lit();
        assert!(!warns(&shown), "QEMU tears no page: {shown:?}");
    }
    let mut console = Console::start(&shop, board.port());
    console.until("connected, ");
    until_in_book(&shop, &board);
    assert_whole(&shop, tally.shown);
    assert_eq!(console.end(), Some(0));
    println!(
        "{times} power cuts, seed {seed}: {} passes, {open} cuts before the display said so",
        tally.shown
    );
    open
}

/// Kills the console `times` times while passes come in.
fn kill_console(times: u32, seed: u64) {
    let shop = at_sizing(1);
    let mut board = Board::begun();
    let mut shown = at_work(&shop, &mut board);
    let mut chance = Chance(seed);
    let mut passes = 0;
    for _ in 0..times {
        let mut console = Console::start(&shop, board.port());
        console.until("connected, ");
        for _ in 0..=chance.below(2) {
            board.press(Key::Up).unwrap();
            shown = board.until_other(&shown);
            assert!(!warns(&shown), "not saved: {shown:?}");
            passes += 1;
        }
        std::thread::sleep(Duration::from_micros(chance.below(200_000)));
        console.kill();
        spoil(&board, &mut chance);
    }
    let mut console = Console::start(&shop, board.port());
    console.until("connected, ");
    until_in_book(&shop, &board);
    assert_whole(&shop, passes);
    assert_eq!(console.end(), Some(0));
    println!("console killed {times} times, seed {seed}: {passes} passes");
}

#[test]
fn after_six_power_cuts_what_was_shown_as_saved_is_in_the_book_once() {
    cut_power(6, 0x5eed_0001);
}

#[test]
fn after_six_killed_consoles_everything_is_in_the_book_once() {
    kill_console(6, 0x5eed_0002);
}

#[test]
#[ignore = "two minutes: run by tests/run --long"]
fn after_fifty_power_cuts_what_was_shown_as_saved_is_in_the_book_once() {
    assert!(cut_power(50, 0x5eed_0003) > 0, "no cut fell before the display said so");
}

#[test]
#[ignore = "two minutes: run by tests/run --long"]
fn after_fifty_killed_consoles_everything_is_in_the_book_once() {
    kill_console(50, 0x5eed_0004);
}
