//! The bench beside a keypad in this process.

use crate::cli::Failure;
use crate::cli::adoption::new_name;
use crate::keypad::{Bench, Clock, Note, PipeEnd, Software, pipe};
use crate::work::Work;

/// The bench, and both ends of its line.
pub(super) struct Beside {
    pub(super) bench: Bench,
    near: PipeEnd,
    far: PipeEnd,
    /// Names that keypads have already.
    taken: Vec<String>,
}

impl Beside {
    pub(super) fn new(work: Work, clock: Clock) -> Result<Self, Failure> {
        let taken = work.keypads()?.into_iter().map(|keypad| keypad.name).collect();
        let (near, far) = pipe();
        Ok(Self { bench: Bench::new(work, clock.now())?, near, far, taken })
    }

    /// What happened, oldest first; not that it was a new keypad, which calls for nobody.
    pub(super) fn take_note(&mut self) -> Option<Note> {
        std::iter::from_fn(|| self.bench.take_note()).find(|note| !matches!(note, Note::UnknownKeypad { .. }))
    }

    /// Moves bytes both ways; whether any moved. That this program's own keypad becomes the shop's is no question.
    pub(super) fn turn(&mut self, keypad: &mut Software, clock: Clock) -> bool {
        // A pipe in this process does not fail.
        let moved = keypad.pump(&mut self.near).unwrap_or(false);
        let moved = self.bench.turn(&mut self.far, clock.now()).unwrap_or(false) || moved;
        if let Some(name) = self.bench.asking().map(|keypad| new_name(keypad, &self.taken)) {
            self.bench.adopt(&name, clock.now());
        }
        moved
    }
}
