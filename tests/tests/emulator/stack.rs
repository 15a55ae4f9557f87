//! How deep the stack goes: at most, proven from the image's code, and as far as a day took it, which is painted.

use crate::board::{Board, warns};
use crate::budgets::{load, static_ram};
use crate::full::fill;
use crate::rig::{Console, PATIENCE};
use crate::shop::{at_sizing, open_job};
use bevelbook_tests::emulator::{Emulator, Key, image, image_an505};
use bevelbook_tests::image::Image;
use bevelbook_tests::stack::{BARE, Bound, EXCEPTION_WITH_FLOATS, Rules, bound};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// What static RAM and the stack may take together: the aim.
const MOST: u32 = 16 * 1024;

/// The end of the board's RAM but for what is kept across a start, where the stack begins, and what it is painted with.
const RAM_END: u32 = 0x2001_0000 - 32;
const PAINT: u32 = 0xcccc_cccc;

fn proven() -> Bound {
    bound(image().unwrap(), BARE).unwrap_or_else(|why| panic!("{why}"))
}

/// How much of the stack was ever used.
fn stack(emulator: &mut Emulator, image: &Image) -> u32 {
    let (_, end) = static_ram(image);
    let end = end.next_multiple_of(4);
    let bytes = emulator.peek(end, (RAM_END - end) as usize).unwrap();
    let words = bytes.chunks_exact(4).map(|word| u32::from_le_bytes(word.try_into().unwrap()));
    RAM_END - end - 4 * words.take_while(|word| *word == PAINT).count() as u32
}

/// Says what was painted over, and compares it with what is proven.
fn within(used: u32, what: &str) {
    let most = proven().bytes();
    println!("{what}: {used} bytes of the stack, of at most {most}");
    assert!(used > 1024 && used <= most, "{used} of {most}");
}

/// Waits until the keypad holds so many cards.
fn until_cards(board: &Board, many: usize) {
    let begun = Instant::now();
    while board.memory().cards().count() != many {
        assert!(begun.elapsed() < PATIENCE, "{} cards", board.memory().cards().count());
        sleep(Duration::from_millis(50));
    }
}

#[test]
fn ram_and_the_deepest_stack_that_the_code_allows_stay_within_sixteen_kib() {
    let proven = proven();
    let (ram, _) = static_ram(&load());
    println!("{proven}\nwith static RAM {} bytes", ram + proven.bytes());
    assert!(ram + proven.bytes() <= MOST, "{}", ram + proven.bytes());
    // The second board has RAM for its picture; its stack takes hardly more, with registers of floating point.
    let second = Rules { exception: EXCEPTION_WITH_FLOATS, ..BARE };
    let second = bound(image_an505().unwrap(), second).unwrap_or_else(|why| panic!("{why}"));
    println!("the second board's takes at most {} bytes", second.bytes());
    assert!(second.bytes() <= 8 * 1024, "{second}");
}

#[test]
fn beginning_a_journal_by_a_key_stays_within_the_bound() {
    let image = load();
    let mut board = Board::begun();
    within(stack(&mut board, &image), "a journal begun");
}

#[test]
fn the_stack_stays_within_its_bound_on_a_day_with_everything_in_it() {
    let image = load();
    let shop = at_sizing(2);
    let mut board = Board::new();
    fill(&board.options.memory);
    board.start();
    let nothing = board.until_lit();
    // Everything that a day brings: all records taken in, cards exchanged, jobs chosen, passes, an undo, a menu.
    let mut console = Console::start(&shop, board.port());
    console.until("connected, ");
    crate::whole::until_in_book(&shop, &board);
    // The cards that this shop does not know go, and the job in hand with its own: then the list stands.
    until_cards(&board, 2);
    board.until_other(&nothing);
    board.press(Key::Up).unwrap();
    board.hold(Key::Centre).unwrap();
    for key in [Key::Down, Key::Centre, Key::Centre, Key::Up, Key::Right] {
        board.press(key).unwrap();
    }
    board.hold(Key::Left).unwrap();
    for _ in 0..3 {
        board.press(Key::Centre).unwrap();
    }
    // A reading that is out, of a job that is not sized yet: it is judged here.
    open_job(&shop, 3);
    console.until("job 3 (");
    board.hold(Key::Centre).unwrap();
    for key in [Key::Down, Key::Centre, Key::Down, Key::Down, Key::Centre, Key::Right] {
        board.press(key).unwrap();
    }
    let line = board.picture().unwrap();
    for _ in 0..4 {
        board.press(Key::Centre).unwrap();
    }
    let out = board.until_other(&line);
    assert!(warns(&out), "{out:?}");
    crate::whole::until_in_book(&shop, &board);
    assert_eq!(console.end(), Some(0));
    let used = stack(&mut board, &image);
    within(used, "a day");
}
