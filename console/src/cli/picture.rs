//! A terminal as a picture: what is shown is data, and of its picture only what changed is written.

use super::Failure;
use super::stop::Output;
use super::terminal::Terminal;
use crossterm::event::{Event, KeyEvent};
use ratatui::backend::CrosstermBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Size;
use std::io;
use std::sync::mpsc::RecvTimeoutError;
use std::time::Duration;

/// How long a key is waited for before bytes are moved again.
const TURN: Duration = Duration::from_millis(15);

/// A terminal that shows a `T`.
pub(super) struct Picture<T> {
    screen: ratatui::Terminal<CrosstermBackend<Output>>,
    /// What stands there, and at what size.
    drawn: Option<(T, Size)>,
    // Put back last.
    terminal: Terminal,
}

/// What came of the terminal.
pub(super) enum Next {
    Key(KeyEvent),
    Nothing,
    /// It is gone.
    Gone,
}

impl<T: Clone + PartialEq> Picture<T> {
    pub(super) fn take() -> Result<Self, Failure> {
        let terminal = told(Terminal::take())?;
        let screen = told(ratatui::Terminal::new(CrosstermBackend::new(Output)))?;
        Ok(Self { screen, drawn: None, terminal })
    }

    /// Draws what is shown, where that or the size of the terminal has changed; that size.
    pub(super) fn show(&mut self, shown: &T, draw: impl FnOnce(&T, &mut Buffer)) -> Result<Size, Failure> {
        let size = told(self.screen.size())?;
        if self.drawn.as_ref().is_none_or(|(drawn, at)| (drawn, *at) != (shown, size)) {
            told(self.screen.draw(|frame| draw(shown, frame.buffer_mut())))?;
            self.drawn = Some((shown.clone(), size));
        }
        Ok(size)
    }

    /// Waits a moment for a key.
    pub(super) fn next(&self) -> Next {
        match self.terminal.events.recv_timeout(TURN) {
            Ok(Event::Key(key)) => Next::Key(key),
            Ok(_) | Err(RecvTimeoutError::Timeout) => Next::Nothing,
            Err(RecvTimeoutError::Disconnected) => Next::Gone,
        }
    }
}

fn told<T>(done: io::Result<T>) -> Result<T, Failure> {
    done.map_err(|error| Failure::Fault(format!("the terminal failed: {error}")))
}
