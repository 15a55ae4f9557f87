//! Line commands for the software keypad, so that another program can press its keys.
//!
//! | line | what it does |
//! |---|---|
//! | `up` `down` `left` `right` `centre` | presses a key; nothing is answered |
//! | `hold KEY` | holds it for a long press |
//! | `wait MS` | lets so much time pass before the next line |
//! | `screen` | answers with the eight rows of the screen |
//! | `saved` | answers with the number of the last record saved |
//! | `unsynced` | answers with the number of records that no console has |
//! | `quit` | ends |
//!
//! Empty lines, and what stands behind a `#`, are passed over.

use super::software::Software;
use bevelbook_core::link::plain;
use bevelbook_keypad::keys::{Key, Press};
use std::io::{BufRead, Write};
use std::sync::mpsc::{Receiver, TryRecvError, sync_channel};
use std::thread;
use std::time::{Duration, Instant};

const EXPECTED: &str = "up, down, left, right, centre, hold KEY, wait MS, screen, saved, unsynced or quit";

/// Lines that come in, and the pause before the next one is taken.
#[derive(Debug)]
pub struct Script {
    lines: Receiver<String>,
    not_before: Instant,
}

/// What a turn came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Something was done.
    Done,
    /// There was nothing to do.
    Idle,
    /// The input has ended, and all its lines were done.
    Ended,
    /// The keypad is ended.
    Quit,
}

impl Script {
    /// Reads `input` on a thread of its own, so that nothing else waits for it.
    pub fn read(input: impl BufRead + Send + 'static) -> Self {
        let (sender, lines) = sync_channel(64);
        thread::spawn(move || {
            for line in input.lines().map_while(Result::ok) {
                if sender.send(line).is_err() {
                    return;
                }
            }
        });
        Self { lines, not_before: Instant::now() }
    }

    /// Takes one line, if there is one and its time has come, and writes the answer; without a reader for that it ends.
    pub fn turn(&mut self, keypad: &mut Software, out: &mut impl Write) -> Turn {
        if Instant::now() < self.not_before {
            return Turn::Idle;
        }
        let line = match self.lines.try_recv() {
            Ok(line) => line,
            Err(TryRecvError::Empty) => return Turn::Idle,
            Err(TryRecvError::Disconnected) => return Turn::Ended,
        };
        let line = line.split('#').next().unwrap_or_default().trim();
        if line == "quit" {
            return Turn::Quit;
        }
        let wrong = || {
            let shown: String = plain(line).collect();
            format!("error: `{shown}` is no command; expected {EXPECTED}")
        };
        let answer = self.obey(line, keypad).unwrap_or_else(wrong);
        if !answer.is_empty() && writeln!(out, "{answer}").and_then(|()| out.flush()).is_err() {
            return Turn::Quit;
        }
        Turn::Done
    }

    /// Does what a line says and gives the answer, empty where there is none; nothing where it is no command.
    fn obey(&mut self, line: &str, keypad: &mut Software) -> Option<String> {
        match line.split_whitespace().collect::<Vec<_>>().as_slice() {
            [] => {}
            ["screen"] => return Some(keypad.screen().to_string()),
            ["saved"] => return Some(keypad.saved().to_string()),
            ["unsynced"] => return Some(keypad.unsynced().to_string()),
            ["wait", ms] => self.not_before = Instant::now() + Duration::from_millis(ms.parse().ok()?),
            ["hold", name] => keypad.press(Press::long(Key::named(name)?)),
            [name] => keypad.press(Press::short(Key::named(name)?)),
            _ => return None,
        }
        Some(String::new())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_done_as_they_are_meant_and_what_is_no_command_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let mut keypad = Software::start(&folder.path().join("keypad.mem"), "lines", None, None).unwrap();
        let mut said = |line: &str| {
            let mut script = Script::read(std::io::Cursor::new(line.to_owned()));
            let mut out = Vec::new();
            let turn = loop {
                match script.turn(&mut keypad, &mut out) {
                    Turn::Idle => thread::yield_now(),
                    turn => break turn,
                }
            };
            (turn, String::from_utf8(out).unwrap(), script.not_before > Instant::now())
        };
        for (line, waits) in [("up", false), ("# nothing", false), ("wait 60000 # long", true)] {
            assert_eq!(said(line), (Turn::Done, String::new(), waits), "{line}");
        }
        assert_eq!(said("saved").1, "0\n");
        assert_eq!(said("unsynced").1, "0\n");
        let before = said("screen").1;
        assert_eq!(said(" hold  centre # the menu").1, "");
        assert_ne!(said("screen").1, before);
        assert_eq!((said("quit").0, said("").0), (Turn::Quit, Turn::Ended));
        for wrong in ["hold", "wait", "wait soon", "middle", "up up", "hold screen"] {
            let told = said(wrong).1;
            assert!(
                told.starts_with(&format!("error: `{wrong}` is no command; expected up, down")),
                "{told}"
            );
        }
    }
}
