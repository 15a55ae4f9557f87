//! The Pico's image when its loop stands still, when it panics, and when the processor refuses to go on: it starts again
//! and nothing is lost.

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
fn goes_on(shop: &Shop, board: &mut Board) {
    let cable = board.plug();
    let mut console = Console::start(shop, &cable.path);
    let line = console.until("connected, ");
    assert!(line.contains("1 record"), "{line}");
    until_in_book(shop, 2);
    assert_whole(shop, 2);
    assert_eq!(console.end(), Some(0));
}

#[test]
fn a_loop_that_stands_still_is_started_again_by_the_watchdog() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    let (begun, waits) = (board.figures()["ms"].as_u64().unwrap(), board.unacknowledged());
    board.send(&["stall"]);
    let restarted = board.restarted();
    assert_eq!(restarted["why"], "not fed");
    let stood = restarted["ms"].as_u64().unwrap() - begun;
    println!("the watchdog bit after {stood} ms");
    // The loop feeds it for eight seconds, at the latest when it stalls.
    assert!((7_900..8_300).contains(&stood), "{stood}");
    assert_eq!(step(&board.until_as_library(false)), step(&shown), "the step in hand stands there again");
    assert_eq!(board.unacknowledged(), waits);
    has(&mut board, "warn", "its loop stood still");
    goes_on(&shop, &mut board);
}

/// The names of the places that the start after a defect of this `kind` logs.
fn places(board: &mut Board, image: &Image, kind: &str) -> Vec<String> {
    let told = has(board, "warn", "started after a defect");
    assert!(told.contains(&format!("number 1 in a row: {kind},")), "{told}");
    let words = told.split(' ').rev().take(4).filter(|word| *word != "0");
    let mut addresses: Vec<u32> = words.map(|word| u32::from_str_radix(word, 16).unwrap()).collect();
    let code = addresses.iter().filter_map(|address| image.code_at(*address));
    let names: Vec<String> = code.map(|code| code.name.clone()).collect();
    println!("{told}: {names:?}");
    addresses.sort_unstable();
    assert!(addresses.windows(2).all(|two| two[0] != two[1]), "a place twice");
    names
}

/// It has started again at once, shows the step in hand, and said where the defect was: in a function whose name ends so.
fn check_started_again(board: &mut Board, shown: &Picture, kind: &str, place: &str) {
    assert_eq!(board.restarted()["why"], "asked for");
    assert_eq!(step(&board.until_as_library(false)), step(shown), "the step in hand stands there again");
    let image = Image::load(&built().image).unwrap();
    let places = places(board, &image, kind);
    assert!(places.iter().any(|name| name.ends_with(place)), "no `{place}` in {places:?}");
}

fn address(name: &str) -> u32 {
    Image::load(&built().image).unwrap().find(name).unwrap().address
}

#[test]
fn a_panic_starts_it_again_at_once_and_its_log_says_from_where() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    let begun = board.figures()["ms"].as_u64().unwrap();
    board.send(&[&format!("call {}", address("panic_bounds_check"))]);
    check_started_again(&mut board, &shown, "Panic", "panic_bounds_check");
    let since = board.figures()["ms"].as_u64().unwrap() - begun;
    println!("on the display again after {since} ms");
    goes_on(&shop, &mut board);
    // Told once: the next start has another reason.
    let mut board = board.cut_power();
    board.until_as_library(true);
    assert!(log(&mut board).iter().all(|line| !line.message.contains("defect")));
}

#[test]
fn a_fault_of_the_processor_starts_it_again_and_so_does_one_in_an_interrupt() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    board.send(&["fault"]);
    // It sleeps in its loop nearly always.
    check_started_again(&mut board, &shown, "Fault", "main");
    // Behind the first instruction, which the emulator runs together with the entry.
    let beside = address("SWI_IRQ_1") + 2;
    board.send(&[&format!("once {beside} fault")]);
    let restarted = board.restarted();
    assert_eq!(restarted["why"], "asked for");
    assert_eq!(step(&board.until_as_library(false)), step(&shown));
    goes_on(&shop, &mut board);
}

/// One pass waits; what `command` does to it starts it again, and nothing is lost.
fn starts_again_after(command: &str, kind: &str, place: &str) {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    board.send(&[command]);
    check_started_again(&mut board, &shown, kind, place);
    goes_on(&shop, &mut board);
}

#[test]
fn a_panic_in_an_interrupt_starts_it_again() {
    let (beside, entry) = (address("SWI_IRQ_1") + 2, address("panic_bounds_check"));
    starts_again_after(&format!("once {beside} call {entry}"), "Panic", "panic_bounds_check");
}

#[test]
fn an_interrupt_that_nothing_handles_starts_it_again() {
    starts_again_after("unexpected", "Fault", "main");
}

#[test]
fn a_fault_before_the_watchdog_is_started_starts_it_again() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    // In the next start, before anything of the chip is set up.
    board.send(&[&format!("once {} fault", address("__cortex_m_rt_main")), "fault"]);
    board.restarted_at();
    board.restarted();
    assert_eq!(step(&board.until_as_library(false)), step(&shown));
    has(&mut board, "warn", "started after a defect, number 2 in a row: Fault");
    goes_on(&shop, &mut board);
}

#[test]
fn faults_that_follow_on_each_other_are_slowed_down_and_said_on_the_display() {
    let shop = at_sizing(1);
    let (mut board, shown) = with_one_waiting(&shop);
    // Where each start opens the memory.
    board.send(&[&format!("always {} fault", address("Unopened<P>::open")), "fault"]);
    let at: [u64; 4] = std::array::from_fn(|_| board.restarted_at());
    let apart: Vec<u64> = at.windows(2).map(|two| two[1] - two[0]).collect();
    println!("started again after {apart:?} ms");
    assert!(apart[0] < 500, "{apart:?}");
    assert!((2000..2500).contains(&apart[1]) && (4000..4500).contains(&apart[2]), "{apart:?}");
    board.until_restarts(4);
    board.send(&["never"]);
    board.restarted();
    board.until_restarts(5);
    board.send(&["centre", "wait 300"]);
    assert_eq!(step(&board.until_as_library(false)), step(&shown));
    goes_on(&shop, &mut board);
}
