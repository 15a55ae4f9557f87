//! The bytes that are frozen: `tests/frozen/version-1.txt` holds those of version 1, and nobody changes it.
//!
//! What a keypad has in its memory and says on the wire outlives the program that reads it: a keypad is flashed years after
//! its console was updated, or never. So the bytes of a version stay what they are. Something that a version cannot say is
//! said by a new kind, by a field behind the last one of a message, or by version 2 with a file of its own beside this one.

use crate::link::Checksum;
use std::format;
use std::string::String;
use std::vec::Vec;

/// Every section in one file: `[wire]`, `[records]`, `[cards]`, and `[memory]`, which the keypad's tests read.
const VERSION_1: &str = include_str!("../tests/frozen/version-1.txt");

/// The sum over it.
const SUM: u32 = 0x7842_da53;

/// The lines of a section.
pub(crate) fn section(name: &str) -> Vec<&'static str> {
    let head = format!("[{name}]");
    let behind = VERSION_1.lines().skip_while(|line| *line != head).skip(1);
    let lines: Vec<_> =
        behind.take_while(|line| !line.starts_with('[')).filter(|line| !line.is_empty()).collect();
    assert!(!lines.is_empty(), "no section {head}");
    lines
}

/// Bytes in hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Bytes from hexadecimal digits.
pub(crate) fn bytes(hex: &str) -> Vec<u8> {
    (0..hex.len()).step_by(2).map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap()).collect()
}

/// What is made now is what stands in the file.
pub(crate) fn holds(name: &str, made: &[String]) {
    assert_eq!(section(name), made, "version 1 is frozen; this code would write:\n{}", made.join("\n"));
}

#[test]
fn nobody_changes_the_file_of_a_frozen_version() {
    let sum = Checksum::of(VERSION_1.as_bytes());
    assert_eq!(
        sum, SUM,
        "do not change this file, add a version: it is what keypads out there have and say ({sum:#010x})"
    );
}
