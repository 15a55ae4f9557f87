//! What the firmware logs, read from its line as a builder reads it.

use crate::board::{Board, warns};
use crate::day::pass;
use crate::full::fill;
use crate::rig::Console;
use crate::shop::at_sizing;
use crate::whole::until_in_book;
use bevelbook_keypad::memory::RESERVE;
use bevelbook_tests::emulator::{Key, LogLine, LogTo, image, read_log};
use bevelbook_tests::image::Image;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// No line is longer, in characters.
const LONGEST: usize = 240;

fn read(frames: &[u8]) -> Vec<LogLine> {
    read_log(image().unwrap(), frames).unwrap_or_else(|error| panic!("{error}"))
}

fn text(lines: &[LogLine]) -> String {
    lines.iter().map(|line| format!("{line}\n")).collect()
}

/// Starts with the log going to a file; where that is.
fn start_logged(board: &mut Board, name: &str) -> PathBuf {
    let file = board.options.memory.with_file_name(name);
    board.options.log = LogTo::File(file.clone());
    board.start();
    file
}

/// Asserts that the lines of `expected` (level and beginning) are there in this order, others between them or not.
fn assert_in_order(lines: &[LogLine], expected: &[(&str, &str)]) {
    let mut rest = lines.iter();
    for (level, begins) in expected {
        let found = rest.any(|line| line.level == *level && line.message.starts_with(begins));
        assert!(found, "no `{level} {begins}` in its place:\n{}", text(lines));
    }
}

/// A first start, a journal begun, rubbish on the line, a console, a job's card, a pass; then the power is cut, and it
/// starts again alone. The frames of each start.
fn two_starts() -> [Vec<u8>; 2] {
    let shop = at_sizing(1);
    let mut board = Board::new();
    let first = start_logged(&mut board, "first");
    let blank = board.until_lit();
    board.hold(Key::Centre).unwrap();
    let nothing = board.until(|picture| picture.differs(&blank) > 100);
    let mut line = std::fs::OpenOptions::new().write(true).open(board.port()).unwrap();
    line.write_all(&[0, 9, 1, 2, 3, 0]).unwrap();
    drop(line);
    let mut console = Console::start(&shop, board.port());
    console.until("job 1 (");
    let list = board.until_other(&nothing);
    board.press(Key::Centre).unwrap();
    let step = board.until_other(&list);
    pass(&mut board, Key::Up, &step);
    console.until("much too big");
    until_in_book(&shop, &board);
    assert_eq!(console.end(), Some(0));
    board.cut_power();
    let second = start_logged(&mut board, "second");
    board.until_lit();
    board.cut_power();
    [first, second].map(|file| std::fs::read(file).unwrap())
}

#[test]
fn the_log_tells_a_builder_what_happened_and_at_any_cut_finds_its_feet() {
    let [first, second] = two_starts();
    let (one, two) = (read(&first), read(&second));
    println!("{}\n{}", text(&one), text(&two));
    assert_in_order(
        &one,
        &[
            ("info", "start of 0"),
            ("warn", "no journal open: Blank"),
            ("info", "started in"),
            ("info", "journal "),
            ("info", "memory: 0 records, 0 pages damaged; 0 cards, 0 damaged"),
            ("info", "journal "),
            ("warn", "line: 1 runs of bytes dropped"),
            ("info", "console here: true"),
            ("debug", "card of job "),
            ("info", "saved 1: Pass(Pass {"),
            ("debug", "in the book up to 1"),
        ],
    );
    let begun = one.iter().find(|line| line.message.ends_with(" begun")).unwrap();
    let journal = begun.message.strip_suffix(" begun").unwrap();
    // That the book has it was told, but a mark is written for several; a console says it again.
    let opened = |boot, next, wait| format!("{journal} open: boot {boot}, record {next} next, {wait} wait");
    assert_in_order(&one, &[("info", &opened(1, 1, 0))]);
    assert_in_order(
        &two,
        &[("info", "start of 0"), ("info", "memory: 1 records, 0 pages damaged"), ("info", &opened(2, 2, 1))],
    );
    for lines in [&one, &two] {
        assert!(lines.iter().all(|line| !line.is_lost() && line.level != "error"), "{}", text(lines));
        assert!(lines.is_sorted_by_key(|line| line.ms), "{}", text(lines));
        assert!(lines.iter().all(|line| line.message.len() < LONGEST), "{}", text(lines));
    }
    assert_found_again(&first, &one, &second, &two);
}

/// Whoever comes late, or reads rubbish, or whose board was reset in the middle of a frame, loses that frame alone.
fn assert_found_again(first: &[u8], one: &[LogLine], second: &[u8], two: &[LogLine]) {
    for late in 1..60 {
        let lines = read(&first[late..]);
        let whole = first[..late].iter().skip(1).filter(|byte| **byte == 0).count();
        // What is left of the frame reads as lost, or by chance as something else.
        assert!(lines.ends_with(&one[whole + 1..]), "{late} bytes late:\n{}", text(&lines));
        assert!(lines.len() <= one.len() - whole, "{late} bytes late:\n{}", text(&lines));
    }
    let rubbish = [&[0xaa; 200], first].concat();
    let lines = read(&rubbish);
    assert!(lines[0].is_lost() && lines[1..] == *one, "{}", text(&lines));
    for reset in [1, 7, 30, first.len() - 2] {
        let lines = read(&[&first[..reset], second].concat());
        assert!(lines.ends_with(two), "reset after {reset} bytes:\n{}", text(&lines));
    }
}

#[test]
fn a_fact_that_finds_no_room_is_an_error_that_says_so() {
    let mut board = Board::new();
    let records = fill(&board.options.memory);
    let log = start_logged(&mut board, "full");
    board.until_lit();
    // What belongs to the lens in hand may use the reserve.
    for _ in 0..=RESERVE {
        board.press(Key::Up).unwrap();
    }
    board.until(warns);
    board.cut_power();
    let lines = read(&std::fs::read(log).unwrap());
    let found = format!("memory: {records} records, 0 pages damaged; 12 cards, 0 damaged");
    let last = records + u32::from(RESERVE);
    assert_in_order(
        &lines,
        &[
            ("info", &found),
            ("info", &format!("saved {last}: Pass(")),
            ("error", &format!("not saved (no room), {last} wait")),
        ],
    );
}

/// Nothing that is sent is of a length of its own: no text, no list. What somebody typed cannot be in the log.
#[test]
fn no_line_of_the_log_carries_free_text() {
    let image = Image::load(image().unwrap()).unwrap();
    let formats: Vec<&str> = image
        .symbols()
        .iter()
        .map(|symbol| &*symbol.name)
        .filter(|name| name.contains("\"data\":"))
        .collect();
    assert!(formats.iter().any(|format| format.contains("saved {=u32}")), "looked in the wrong place");
    for format in formats {
        for text in ["=str", "=[?]", "=[u8]", "__internal_Debug", "__internal_Display"] {
            assert!(!format.contains(text), "{format}");
        }
    }
}

#[test]
fn the_program_for_a_person_writes_the_log_to_a_file() {
    // For the lock: one QEMU runs at a time.
    let board = Board::new();
    let log = board.options.memory.with_file_name("lines");
    let mut program = Command::new(env!("CARGO_BIN_EXE_emulator"))
        .arg(&board.options.image)
        .arg("--memory")
        .arg(&board.options.memory)
        .arg("--log")
        .arg(&log)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    // It is written while the keypad runs.
    while !std::fs::read_to_string(&log).is_ok_and(|lines| lines.contains(" warn no journal open: Blank\n")) {
        assert!(begun.elapsed() < Duration::from_secs(120), "{:?}", std::fs::read_to_string(&log));
        std::thread::sleep(Duration::from_millis(50));
    }
    drop(program.stdin.take());
    assert!(program.wait().unwrap().success());
    let lines = std::fs::read_to_string(&log).unwrap();
    assert!(lines.lines().next().unwrap().contains(" info start of "), "{lines}");
}
