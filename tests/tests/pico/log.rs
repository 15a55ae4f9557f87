//! What the Pico's firmware logs, read out of its RAM as a debug probe does.

use crate::board::Board;
use crate::image::built;
use bevelbook_tests::emulator::{LogLine, read_log};
use bevelbook_tests::image::address_of;

/// The control block that a probe looks for: 16 bytes of name, the numbers of buffers either way, then each buffer to the
/// host: name, place, size, next to be written, next to be read, flags; words of 32 bits (as `defmt-rtt` declares it).
const BLOCK: u32 = 16 + 2 * 4 + 6 * 4;

/// The log from its beginning. Nobody reads it out meanwhile: once the buffer is full nothing more gets in.
pub(crate) fn log(board: &mut Board) -> Vec<LogLine> {
    let image = &built().image;
    let block = board.ram(address_of(image, "_SEGGER_RTT").unwrap(), BLOCK);
    assert_eq!(&block[..10], b"SEGGER RTT");
    let word = |n: usize| u32::from_le_bytes(block[4 * n..4 * n + 4].try_into().unwrap());
    let [place, size, written, read] = [7, 8, 9, 10].map(word);
    assert!(written < size && read == 0, "{written} of {size} bytes, {read} read");
    let frames = board.ram(place, written);
    read_log(image, &frames).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn a_probe_reads_what_a_first_start_logs() {
    let mut board = Board::new();
    let number = board.usb["serial"].as_str().unwrap().to_owned();
    board.send(&["wait 500", "hold centre", "wait 500"]);
    board.figures();
    let lines = log(&mut board);
    lines.iter().for_each(|line| println!("{line}"));
    assert_eq!(lines[0].message, format!("start of {number}"));
    let own = ["start of ", "no journal open: Blank", "journal ", "memory: 0 records", "journal "];
    let mut rest = lines.iter();
    for begins in own {
        assert!(rest.any(|line| line.message.starts_with(begins)), "no `{begins}` in its place: {lines:#?}");
    }
    assert!(lines.iter().all(|line| !line.is_lost() && line.level != "error"), "{lines:#?}");
    assert!(lines.is_sorted_by_key(|line| line.ms), "{lines:#?}");
}
