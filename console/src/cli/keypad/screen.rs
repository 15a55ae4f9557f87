//! The software keypad in a terminal, alone or above the log of the console beside it.
//!
//! Keypad above, log below, keys in the last row. A terminal smaller than 80 by 24 shows that it is too small, and
//! goes on.

use super::keys::{Meant, meant};
use crate::cli::page::wrapped;
use crate::cli::stop::Output;
use crate::cli::terminal::Terminal;
use crate::cli::{Failure, Report};
use crate::keypad::Software;
use bevelbook_core::link::plain;
use bevelbook_keypad::screen::text::ROWS;
use crossterm::cursor::MoveTo;
use crossterm::event::Event;
use crossterm::terminal::{Clear, ClearType, size};
use crossterm::{queue, style::Print};
use std::collections::VecDeque;
use std::io::{self, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::RecvTimeoutError;
use std::time::Duration;

/// The least terminal, columns and rows.
const LEAST: (u16, u16) = (80, 24);

/// How many lines of the log are kept.
const LOG: usize = 500;

/// How long a key is waited for before bytes are moved again.
const TURN: Duration = Duration::from_millis(15);

const KEYS: &str = "arrows, Enter · hold: Shift+arrow, or U D L R C · q end";

/// What stands in the terminal.
pub(in crate::cli) struct View {
    title: String,
    log: VecDeque<String>,
    /// A question that y or n answers.
    question: Option<String>,
    drawn: Vec<String>,
}

impl View {
    fn new(title: &str) -> Self {
        Self { title: title.into(), log: VecDeque::new(), question: None, drawn: Vec::new() }
    }

    fn say(&mut self, line: &str) {
        self.log.push_back(plain(line).collect());
        if self.log.len() > LOG {
            self.log.pop_front();
        }
    }

    /// The rows of a terminal of that size.
    fn rows(&self, keypad: &str, (columns, rows): (u16, u16)) -> Vec<String> {
        let (columns, rows) = (usize::from(columns), usize::from(rows));
        if columns < LEAST.0.into() || rows < LEAST.1.into() {
            let small = format!("too small: {columns}x{rows}, {}x{} needed", LEAST.0, LEAST.1);
            return vec![small.chars().take(columns).collect()];
        }
        let ruler = "-".repeat(columns);
        let mut shown = vec![self.title.clone(), ruler.clone()];
        let mut screen: Vec<String> = keypad.lines().map(|line| format!("    {line}")).collect();
        screen.resize(ROWS, String::new());
        shown.extend(screen);
        shown.push(ruler);
        let room = rows - shown.len() - 1;
        let log: Vec<String> = self.log.iter().flat_map(|line| broken(line, columns)).collect();
        shown.extend(log.iter().skip(log.len().saturating_sub(room)).cloned());
        shown.resize(rows - 1, String::new());
        shown.push(self.question.clone().unwrap_or_else(|| KEYS.into()));
        for line in &mut shown {
            *line = plain(line).take(columns).collect();
        }
        shown
    }

    fn draw(&mut self, keypad: &str) -> io::Result<()> {
        let rows = self.rows(keypad, size()?);
        if rows == self.drawn {
            return Ok(());
        }
        let mut out = Output;
        if rows.len() != self.drawn.len() {
            queue!(out, Clear(ClearType::All))?;
        }
        for (at, row) in (0..).zip(&rows) {
            queue!(out, MoveTo(0, at), Clear(ClearType::CurrentLine), Print(row))?;
        }
        self.drawn = rows;
        out.flush()
    }
}

/// A line of the log in rows; its blanks stay.
fn broken(line: &str, columns: usize) -> Vec<String> {
    wrapped("", line.split(' '), 4, columns)
}

/// A keypad in the terminal until q is pressed. `turn` moves its bytes, is told what was meant for it, and says whether
/// to go on.
pub(in crate::cli) fn show(
    mut keypad: Software,
    title: &str,
    stop: &AtomicBool,
    mut turn: impl FnMut(&mut Software, &mut View, Meant) -> io::Result<bool>,
) -> Result<Report, Failure> {
    let mut shown = || {
        let terminal = Terminal::take()?;
        let mut view = View::new(title);
        keypad.found().into_iter().for_each(|found| view.say(found));
        let mut meant = Meant::Nothing;
        while !stop.load(Ordering::Relaxed) && turn(&mut keypad, &mut view, meant)? {
            view.draw(&keypad.screen().to_string())?;
            meant = next(&terminal, &mut view);
            match meant {
                Meant::Quit => break,
                Meant::Press(press) => keypad.press(press),
                _ => {}
            }
        }
        Ok(Report::default())
    };
    shown().map_err(|error: io::Error| Failure::Fault(format!("the terminal or the port failed: {error}")))
}

/// Waits a moment for a key.
fn next(terminal: &Terminal, view: &mut View) -> Meant {
    match terminal.events.recv_timeout(TURN) {
        Ok(Event::Key(key)) => meant(key),
        Ok(Event::Resize(..)) => {
            view.drawn.clear();
            Meant::Nothing
        }
        Ok(_) | Err(RecvTimeoutError::Timeout) => Meant::Nothing,
        Err(RecvTimeoutError::Disconnected) => Meant::Quit,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keypad_and_log_fit_the_least_terminal_and_a_smaller_one_says_so() {
        let mut view = View::new("title");
        (0..100).for_each(|n| view.say(&format!("line {n} {}", "x".repeat(100))));
        let rows = view.rows("one\ntwo", LEAST);
        assert_eq!(rows.len(), 24);
        assert!(rows.iter().all(|row| row.chars().count() <= 80));
        assert_eq!((rows[2].as_str(), rows[3].as_str()), ("    one", "    two"));
        assert!(rows[21] == "line 99" && rows[22].starts_with("    xxx") && rows[23] == KEYS);
        for size in [(79, 24), (80, 23), (1, 1), (0, 0)] {
            let rows = view.rows("one", size);
            assert!(rows.len() == 1 && rows[0].len() <= usize::from(size.0), "{rows:?}");
        }
    }

    #[test]
    fn a_long_line_of_the_log_is_broken_between_words_and_nothing_of_it_is_lost() {
        assert_eq!(broken("one two  three four", 10), ["one two ", "    three", "    four"]);
        assert_eq!(broken("", 10), [""]);
    }
}
