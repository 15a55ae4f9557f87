//! The bench beside a keypad in this process.

use super::offered::offered;
use crate::keypad::{Bench, Clock, Note, PipeEnd, Software, pipe};

/// The bench, and both ends of its line.
pub(super) struct Beside {
    pub(super) bench: Bench,
    near: PipeEnd,
    far: PipeEnd,
}

impl Beside {
    pub(super) fn new(bench: Bench) -> Self {
        let (near, far) = pipe();
        Self { bench, near, far }
    }

    /// What happened, oldest first; not that it was a new keypad, which calls for nobody.
    pub(super) fn take_note(&mut self) -> Option<Note> {
        std::iter::from_fn(|| self.bench.take_note()).find(|note| !matches!(note, Note::UnknownKeypad { .. }))
    }

    /// Moves bytes both ways; whether any moved. That this program's own keypad becomes the shop's is no question.
    pub(super) fn turn(&mut self, keypad: &mut Software, clock: Clock) -> bool {
        // A pipe in this process does not fail.
        let moved = keypad.pump(&mut self.near).unwrap_or(false);
        let now = clock.now();
        let moved = self.bench.turn(&mut self.far, now).unwrap_or(false) || moved;
        if let Some(name) = offered(&mut self.bench, now) {
            self.bench.adopt(&name, now);
        }
        moved
    }
}
