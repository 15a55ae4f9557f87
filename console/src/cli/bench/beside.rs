//! The bench beside a keypad in this process.

use super::offered::offered;
use crate::keypad::{Bench, Clock, Note, PipeEnd, pipe};

/// The bench, and its end of the line.
pub(super) struct Beside {
    pub(super) bench: Bench,
    line: PipeEnd,
}

impl Beside {
    /// With the keypad's end of the line.
    pub(super) fn new(bench: Bench) -> (Self, PipeEnd) {
        let (near, line) = pipe();
        (Self { bench, line }, near)
    }

    /// What happened, oldest first; not that it was a new keypad, which calls for nobody.
    pub(super) fn take_note(&mut self) -> Option<Note> {
        std::iter::from_fn(|| self.bench.take_note()).find(|note| !matches!(note, Note::UnknownKeypad { .. }))
    }

    /// Moves what waits; whether any moved. The keypad in this process is this shop's without asking.
    pub(super) fn turn(&mut self, clock: Clock) -> bool {
        let now = clock.now();
        // A pipe in this process does not fail.
        let moved = self.bench.turn(&mut self.line, now).unwrap_or(false);
        if let Some(name) = offered(&mut self.bench, now) {
            self.bench.adopt(&name, now);
        }
        moved
    }
}
