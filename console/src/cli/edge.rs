//! The edge where text is written, to a terminal or to a program.
//!
//! Own text (names, notes, paths, what was typed) comes here as it was written, with whatever it holds. A terminal gets
//! letters alone, by the one definition of core ([`plain`]), and lines of this program's making: a view cleans each line
//! before it joins it to others, and here the rest is cleaned. Programs get the same text whole, what steers escaped.

use bevelbook_core::link::{plain, steers};
use std::fmt::Write as _;
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

/// JSON as it may be shown: the same value, what steers escaped.
pub(super) fn json(written: &str) -> String {
    let mut shown = String::with_capacity(written.len());
    for letter in written.chars() {
        // A line end in a text is escaped already; others stand between the parts.
        if steers(letter) && letter != '\n' {
            for unit in letter.encode_utf16(&mut [0; 2]) {
                // A string takes all that is written.
                let _ = write!(shown, "\\u{unit:04x}");
            }
        } else {
            shown.push(letter);
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_says_the_same_and_steers_nothing() {
        let text = "a\u{1b}\u{7f}\u{9b}\u{202e}\n\u{e0041}\"\\";
        let written = serde_json::json!({ text: [text] });
        let shown = json(&format!("{written:#}"));
        assert!(!shown.chars().any(|letter| steers(letter) && letter != '\n'), "{shown:?}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&shown).unwrap(), written);
    }

    #[test]
    fn a_message_has_one_beginning() {
        assert_eq!(message("no job `a\u{1b}\nerror: b`"), "no job `a \n  error: b`");
    }
}
