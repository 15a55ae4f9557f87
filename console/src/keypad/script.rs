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
//! Empty lines, and what stands behind a `#`, are passed over. The end of the input ends nothing.

use super::software::Software;
use bevelbook_keypad::keys::{Key, Press};
use std::io::{BufRead, Write};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;
use std::time::{Duration, Instant};

/// One line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Command {
    /// A key is pressed.
    Press(Press),
    /// Time passes.
    Wait(Duration),
    /// The screen is asked for.
    Screen,
    /// The last record saved is asked for.
    Saved,
    /// The records that no console has are asked for.
    Unsynced,
    /// The keypad is ended.
    Quit,
}

const EXPECTED: &str = "up, down, left, right, centre, hold KEY, wait MS, screen, saved, unsynced or quit";

impl Command {
    /// Reads a line; nothing for an empty one.
    ///
    /// # Errors
    /// It is no command; the text says what would be.
    pub fn parse(line: &str) -> Result<Option<Self>, String> {
        let line = line.split('#').next().unwrap_or_default();
        let words: Vec<&str> = line.split_whitespace().collect();
        let unknown = || format!("`{}` is no command; expected {EXPECTED}", line.trim());
        Ok(Some(match words.as_slice() {
            [] => return Ok(None),
            ["screen"] => Self::Screen,
            ["saved"] => Self::Saved,
            ["unsynced"] => Self::Unsynced,
            ["quit"] => Self::Quit,
            ["wait", ms] => Self::Wait(Duration::from_millis(ms.parse().map_err(|_| unknown())?)),
            ["hold", name] => Self::Press(Press::long(Key::named(name).ok_or_else(unknown)?)),
            [name] => Self::Press(Press::short(Key::named(name).ok_or_else(unknown)?)),
            _ => return Err(unknown()),
        }))
    }
}

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

    /// Takes one line, if there is one and its time has come, and writes the answer.
    pub fn turn(&mut self, keypad: &mut Software, out: &mut impl Write) -> Turn {
        if Instant::now() < self.not_before {
            return Turn::Idle;
        }
        let Ok(line) = self.lines.try_recv() else { return Turn::Idle };
        // A reader that has gone away is no reason to lose presses.
        let mut answer = |text: String| drop(writeln!(out, "{text}").and_then(|()| out.flush()));
        match Command::parse(&line) {
            Ok(None) => {}
            Ok(Some(Command::Press(press))) => keypad.press(press),
            Ok(Some(Command::Wait(pause))) => self.not_before = Instant::now() + pause,
            Ok(Some(Command::Screen)) => answer(keypad.screen().to_string()),
            Ok(Some(Command::Saved)) => answer(keypad.saved().to_string()),
            Ok(Some(Command::Unsynced)) => answer(keypad.unsynced().to_string()),
            Ok(Some(Command::Quit)) => return Turn::Quit,
            Err(why) => answer(format!("error: {why}")),
        }
        Turn::Done
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_read_as_they_are_meant() {
        assert_eq!(Command::parse("up"), Ok(Some(Command::Press(Press::short(Key::Up)))));
        assert_eq!(
            Command::parse(" hold  centre # the menu"),
            Ok(Some(Command::Press(Press::long(Key::Centre))))
        );
        assert_eq!(Command::parse("wait 300"), Ok(Some(Command::Wait(Duration::from_millis(300)))));
        assert_eq!(Command::parse("# nothing"), Ok(None));
        for wrong in ["hold", "wait", "wait soon", "middle", "up up", "hold screen"] {
            assert!(Command::parse(wrong).unwrap_err().contains("expected up, down"), "{wrong}");
        }
    }
}
