//! JSON that steers no terminal, whichever text is in it.

use bevelbook_core::link::steers;
use std::fmt::Write as _;

/// The same value, with what steers escaped.
pub(crate) fn shown(written: &str) -> String {
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
        let shown = super::shown(&format!("{written:#}"));
        assert!(!shown.chars().any(|letter| steers(letter) && letter != '\n'), "{shown:?}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&shown).unwrap(), written);
    }
}
