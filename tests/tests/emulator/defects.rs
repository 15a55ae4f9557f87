//! Panics and faults of the processor, in the loop, in an interrupt and before the loop: it starts again, nothing is lost, the
//! next start logs where it was; and a defect that returns at once is slowed down and told on the display.

use crate::board::Board;
use crate::day::{at_work, pass};
use crate::rig::Console;
use crate::shop::{assert_whole, at_sizing};
use crate::whole::{shows, until_in_book};
use bevelbook::keypad::{FilePages, LAYOUT};
use bevelbook_keypad::device::Device;
use bevelbook_keypad::screen::Screen;
use bevelbook_tests::Shop;
use bevelbook_tests::emulator::{Key, LogTo, Picture, image_an505, read_log};
use bevelbook_tests::image::Image;
use std::time::{Duration, Instant};

/// Where no code is, and none may be run from.
const NOWHERE: u32 = 0xf000_0000;

/// A keypad with one pass that waits for a console, its log in a file; what it shows.
fn with_one_waiting(shop: &Shop, mut board: Board) -> (Board, Picture) {
    board.options.log = LogTo::File(board.options.memory.with_file_name("log"));
    board.begin();
    let step = at_work(shop, &mut board);
    let shown = pass(&mut board, Key::Up, &step);
    (board, shown)
}

fn place(board: &Board, name: &str) -> u32 {
    let image = Image::load(&board.options.image).unwrap();
    image.find(name).unwrap_or_else(|| panic!("no {name}")).address
}

/// What the log says of defects, and the names of the places that it gives.
fn told(board: &Board) -> Vec<(String, Vec<String>)> {
    let LogTo::File(file) = &board.options.log else { panic!("no log") };
    let path = &board.options.image;
    let image = Image::load(path).unwrap();
    let lines = read_log(path, &std::fs::read(file).unwrap()).unwrap();
    let defects =
        lines.iter().filter_map(|line| line.message.strip_prefix("started after a defect, number "));
    let places = |said: &str| {
        let addresses = said.split(' ').rev().take(4).map(|word| u32::from_str_radix(word, 16).unwrap());
        addresses.filter_map(|address| image.code_at(address)).map(|code| code.name.clone()).collect()
    };
    defects.map(|said| (said.to_owned(), places(said))).collect()
}

/// The step in hand stands there again, and the console takes in what waits, once.
fn goes_on(shop: &Shop, board: &mut Board, shown: &Picture) {
    board.until(|picture| crate::board::same_below_header(picture, shown));
    let mut console = Console::start(shop, board.port());
    console.until("connected, ");
    until_in_book(shop, board);
    assert_whole(shop, 1);
    assert_eq!(console.end(), Some(0));
}

#[test]
fn a_panic_in_an_interrupt_starts_it_again_at_once_and_the_next_start_says_from_where() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop, Board::new());
    let mut debugger = board.debugger().unwrap();
    debugger.run_until(place(&board, "SysTick")).unwrap();
    debugger.send_to(place(&board, "panic_bounds_check")).unwrap();
    drop(debugger);
    goes_on(&shop, &mut board, &shown);
    let told = told(&board);
    println!("{told:#?}");
    let [(said, places)] = &told[..] else { panic!("{told:?}") };
    assert!(said.starts_with("1 in a row: Panic,"), "{said}");
    assert!(places.iter().any(|name| name.ends_with("panic_bounds_check")), "{places:?}");
}

fn fault(board: Board) {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop, board);
    let mut debugger = board.debugger().unwrap();
    // Within a call from the loop.
    debugger.run_until(place(&board, "Device<P>::keys")).unwrap();
    debugger.send_to(NOWHERE).unwrap();
    drop(debugger);
    goes_on(&shop, &mut board, &shown);
    let told = told(&board);
    println!("{told:#?}");
    let [(said, places)] = &told[..] else { panic!("{told:?}") };
    assert!(said.starts_with("1 in a row: Fault, called from f0000000 "), "{said}");
    assert!(places.iter().any(|name| name.ends_with("turn::work")), "{places:?}");
}

#[test]
fn a_fault_of_the_processor_starts_it_again_at_once_and_the_next_start_says_where() {
    fault(Board::new());
}

#[test]
fn so_does_one_on_the_second_board() {
    fault(Board::of(image_an505));
}

/// What is said of so many restarts.
fn notice(board: &Board, in_a_row: u8) -> Screen {
    let pages = FilePages::open(&board.options.memory, None).unwrap();
    let mut device = Device::new(pages, LAYOUT, "notice", 0);
    assert!(device.restarted(in_a_row));
    device.screen(0)
}

#[test]
fn a_fault_before_the_loop_that_returns_at_once_is_slowed_down_and_told_before_the_memory_is_opened() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop, Board::new());
    let open = place(&board, "Unopened<P>::open");
    let mut debugger = board.debugger().unwrap();
    board.reset().unwrap();
    for fault in 1..=4 {
        let begun = Instant::now();
        debugger.run_until(open).unwrap();
        let stood = begun.elapsed();
        println!("start {fault} came to opening after {stood:?}");
        // The third of them stood still for two seconds before the fourth start.
        assert!(fault < 4 || stood > Duration::from_millis(1900), "{stood:?}");
        debugger.send_to(NOWHERE).unwrap();
    }
    drop(debugger);
    // The fourth stands still for four, and says meanwhile why.
    let third = notice(&board, 3);
    board.until(|picture| shows(picture, &third));
    let fourth = notice(&board, 4);
    board.until(|picture| shows(picture, &fourth));
    board.press(Key::Up).unwrap();
    board.until(|picture| shows(picture, &fourth));
    board.press(Key::Centre).unwrap();
    goes_on(&shop, &mut board, &shown);
    let told = told(&board);
    let rows: Vec<&str> = told.iter().map(|(said, _)| said.split(", called").next().unwrap()).collect();
    assert_eq!(rows, ["1 in a row: Fault", "2 in a row: Fault", "3 in a row: Fault", "4 in a row: Fault"]);
}
