//! The edge where text is written, to a terminal or to a program.
//!
//! Own text (names, notes, paths, what was typed) comes here as it was written, with whatever it holds. A terminal gets
//! letters alone, by the one definition of core ([`plain`]), and lines of this program's making: a view cleans each line
//! before it joins it to others, and here the rest is cleaned. Programs get the same text whole ([`crate::json`]).

use bevelbook_core::link::plain;
use std::io::{self, Write};

/// Lines as they may be shown.
pub(super) fn lines(text: &str) -> String {
    text.split('\n').map(|line| plain(line).collect()).collect::<Vec<String>>().join("\n")
}

/// A message as it may be shown: what follows its first line is set in, so that at the margin stands only what begins a
/// message.
pub(super) fn message(text: &str) -> String {
    lines(text).replace('\n', "\n  ")
}

/// Says something on the error stream; whom it does not reach has no use for it.
pub(super) fn tell(text: &str) {
    let _ = writeln!(io::stderr(), "{}", message(text));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_has_one_beginning() {
        assert_eq!(message("no job `a\u{1b}\nerror: b`"), "no job `a \n  error: b`");
    }
}
