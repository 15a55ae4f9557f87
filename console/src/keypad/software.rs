//! The software keypad: the keypad's own application over a file, driven by whoever presses its keys.

use super::line::{Line, gone};
use super::pages::{FilePages, MemoryError, open_memory};
use bevelbook_core::link::pump;
use bevelbook_core::record::{Clock, JobId, JobState};
use bevelbook_keypad::app::App;
use bevelbook_keypad::keys::Press;
use bevelbook_keypad::screen::text::{TextScreen, render};
use std::io;
use std::path::Path;
use std::time::Instant;

/// A keypad made of software; its clock begins when it is started.
pub struct Software {
    app: App<FilePages>,
    started: Instant,
    /// What was found when its memory was opened, where that is worth telling.
    found: Option<String>,
}

impl Software {
    /// Starts a keypad on the memory file at `path`; see [`open_memory`]. It calls itself `name`, and has a
    /// clock that said `clock`, or none.
    ///
    /// # Errors
    /// The memory cannot be opened.
    pub fn start(
        path: &Path,
        name: &str,
        clock: Option<Clock>,
        cut_after: Option<u32>,
    ) -> Result<Self, MemoryError> {
        let (mut memory, recovery) = open_memory(path, cut_after)?;
        clock.into_iter().for_each(|said| memory.started_at(said));
        let damaged = recovery.journal.damage.len() + usize::from(recovery.damaged_cards);
        let found = (damaged > 0).then(|| format!("{damaged} pages were found damaged and set aside"));
        Ok(Self { app: App::new(memory, name), started: Instant::now(), found })
    }

    /// What was found when its memory was opened, where that is worth telling.
    pub fn found(&self) -> Option<&str> {
        self.found.as_deref()
    }

    /// Milliseconds since it was started.
    pub fn now_ms(&self) -> u64 {
        u64::try_from(self.started.elapsed().as_millis()).unwrap_or(u64::MAX)
    }

    /// A key is pressed.
    pub fn press(&mut self, press: Press) {
        let now_ms = self.now_ms();
        self.app.press(press, now_ms);
    }

    /// What it shows.
    pub fn screen(&self) -> TextScreen {
        render(&self.app.screen(self.now_ms()))
    }

    /// The job that it has in hand.
    pub fn in_hand(&self) -> Option<JobId> {
        self.app.in_hand().map(JobState::job)
    }

    /// How many of its records no console has yet, gaps included.
    pub fn unsynced(&self) -> u32 {
        self.app.memory().unacknowledged()
    }

    /// The number of the last record that it saved; 0 before the first.
    pub fn saved(&self) -> u32 {
        self.app.memory().next().saturating_sub(1)
    }

    /// Moves bytes over its line. Whether any moved.
    ///
    /// # Errors
    /// The line failed.
    pub fn pump(&mut self, line: &mut impl Line) -> io::Result<bool> {
        let now_ms = self.now_ms();
        pump(line, &mut self.app, now_ms).map_err(gone)
    }
}
