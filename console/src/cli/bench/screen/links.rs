//! How a line to a keypad stands.

use crate::cli::paint::{Said, Tone};
use crate::keypad::{Link, Note, since_words};

/// How a line stands, in words with a sign before them.
pub(super) fn link(link: Link, on: &str) -> Said {
    match link {
        Link::Waiting => Said::new(Tone::Look, format!("○ waiting for keypad{on}")),
        Link::New => Said::new(Tone::Look, format!("○ new keypad{on}, not added")),
        Link::Connected { keypad, waiting } => {
            Said::new(Tone::Good, format!("● keypad {keypad}{on}: connected, {}", Note::waiting(waiting)))
        }
        Link::Opening => Said::new(Tone::Look, "○ opening the book"),
        Link::Away { since, waiting } => {
            let since = since_words(since);
            let waiting = waiting.map_or(String::new(), |records| match records {
                0 => ", nothing waiting on the keypad".into(),
                many => format!(", {many} waiting on the keypad"),
            });
            Said::new(Tone::Bad, format!("× server away since {since}{waiting}"))
        }
        Link::NoBook => Said::new(Tone::Bad, "× the book failed: nothing is taken in"),
    }
}
