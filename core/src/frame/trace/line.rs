//! Lines of a record.

/// A line of a record, and its number counted from 1 by ends of line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line<'a> {
    /// Its number in the text.
    pub number: u32,
    /// What stands on it, without its end.
    pub text: &'a str,
}

/// Bytes that wrap a message on a wire: start, end, before the check sum.
const WRAPPING: [char; 3] = ['\x1c', '\x1d', '\x1e'];

/// The lines of `text` that hold anything: parted by CR LF, LF or CR, and by the bytes that wrap a message, which
/// do not count as ends of line.
pub fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut rest = text;
    let mut number = 1;
    core::iter::from_fn(move || {
        while !rest.is_empty() {
            let end = rest.find(|c| matches!(c, '\r' | '\n') || WRAPPING.contains(&c));
            let (line, after) = rest.split_at(end.unwrap_or(rest.len()));
            let found = Line { number, text: line };
            let ended = ["\r\n", "\r", "\n"].iter().find_map(|end| after.strip_prefix(end));
            number += u32::from(ended.is_some());
            rest = ended.unwrap_or_else(|| after.strip_prefix(WRAPPING).unwrap_or(after));
            if !line.trim().is_empty() {
                return Some(found);
            }
        }
        None
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::vec::Vec;

    fn cut(text: &str) -> Vec<(u32, &str)> {
        lines(text).map(|line| (line.number, line.text)).collect()
    }

    #[test]
    fn every_end_of_line_counts_once() {
        let expected = [(1, "A=1"), (2, "B=2"), (4, "C=3")];
        for text in ["A=1\r\nB=2\r\n\r\nC=3\r\n", "A=1\nB=2\n\nC=3", "A=1\rB=2\r\rC=3\r"] {
            assert_eq!(cut(text), expected, "{text:?}");
        }
        assert_eq!(cut(""), []);
    }

    #[test]
    fn bytes_that_wrap_a_message_are_no_part_of_it() {
        assert_eq!(cut("\x1cA=1\r\nB=2\r\n\x1eCRC=1F\r\n\x1d"), [(1, "A=1"), (2, "B=2"), (3, "CRC=1F")]);
        assert_eq!(cut("A=1\x1eCRC=1F\x1d"), [(1, "A=1"), (1, "CRC=1F")]);
    }
}
