//! Whether a keypad becomes the shop's, and what it is then called.

use super::edge;
use bevelbook_core::link::{HelloAck, printable};
use std::io::{self, BufRead, IsTerminal, Write};

/// What a keypad calls itself; with a number behind it when another one is called that.
pub(super) fn new_name(keypad: &HelloAck, taken: &[String]) -> String {
    let shown = printable(&keypad.name);
    let own = if shown.trim().is_empty() { "keypad" } else { shown.trim() };
    let numbered = (2..).map(|number| format!("{own}-{number}"));
    std::iter::once(own.to_owned()).chain(numbered).find(|name| !taken.contains(name)).unwrap_or_default()
}

/// Asks a question whose answer is no unless it is yes; no without a person to ask.
pub(super) fn ask(question: &str) -> bool {
    answered(question).is_some_and(|answer| is_yes(&answer))
}

/// What a person answers; nothing without one to ask.
pub(super) fn answered(question: &str) -> Option<String> {
    let (input, mut err) = (io::stdin(), io::stderr());
    if !(input.is_terminal() && err.is_terminal()) {
        return None;
    }
    let mut answer = String::new();
    write!(err, "{}", edge::lines(question)).and_then(|()| err.flush()).ok()?;
    input.lock().read_line(&mut answer).ok()?;
    Some(answer.trim().to_owned())
}

fn is_yes(answer: &str) -> bool {
    matches!(answer.trim().to_lowercase().as_str(), "y" | "yes")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_yes_is_yes() {
        assert!(is_yes("y\n") && is_yes(" YES "));
        assert!(!is_yes("") && !is_yes("n") && !is_yes("yonder"));
    }
}
