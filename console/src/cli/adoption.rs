//! Whether a keypad becomes the shop's, and what it is then called.

use bevelbook_core::link::{HelloAck, plain, printable};
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
    let (input, mut err) = (io::stdin(), io::stderr());
    if !(input.is_terminal() && err.is_terminal()) {
        return false;
    }
    let mut answer = String::new();
    let asked = write!(err, "{}", plain(question).collect::<String>()).and_then(|()| err.flush());
    asked.and_then(|()| input.lock().read_line(&mut answer)).is_ok() && is_yes(&answer)
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
