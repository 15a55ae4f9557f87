//! A bench on a serial port that comes and goes.

use crate::cli::Failure;
use crate::cli::ports::{Chosen, port_failure};
use crate::cli::stop::sleep;
use crate::keypad::{Bench, Clock, Line, Link, Note, Port};
use std::path::Path;
use std::time::{Duration, Instant};

/// How often a port that is gone is looked for.
const HOT_PLUG: Duration = Duration::from_millis(500);

/// The bench and its port, whenever that is there.
pub(super) struct AtPort {
    pub(super) bench: Bench,
    chosen: Chosen,
    port: Option<Port>,
    /// Whether it was told that a port is waited for.
    waiting: bool,
    /// When a port that is gone is looked for again.
    again: Instant,
}

impl AtPort {
    pub(super) fn new(bench: Bench, chosen: Chosen) -> Self {
        Self { bench, chosen, port: None, waiting: false, again: Instant::now() }
    }

    /// Moves what has come, or looks for the port. That it is waited for is told once.
    pub(super) fn turn(&mut self, clock: Clock) -> Result<Option<Note>, Failure> {
        let gone = match &mut self.port {
            Some(port) => match self.bench.turn(port, clock.now()) {
                Ok(_) => {
                    if matches!(self.bench.link(), Link::Connected { .. }) {
                        self.chosen.answers();
                    }
                    return Ok(None);
                }
                Err(_) => {
                    self.port = None;
                    self.bench.unplugged();
                    Some("keypad; its port is gone")
                }
            },
            None if Instant::now() < self.again => return Ok(None),
            None => match self.chosen.open() {
                Ok(port) => {
                    self.bench.plugged(clock.now());
                    (self.port, self.waiting) = (Some(port), false);
                    return Ok(None);
                }
                // A port that was just plugged in may belong to nobody for a moment.
                Err(error) if error.is_missing() || self.waiting => (!self.waiting).then_some("keypad"),
                Err(error) => return Err(port_failure(&error)),
            },
        };
        self.again = Instant::now() + HOT_PLUG;
        self.waiting = true;
        Ok(gone.map(|what| Note::Waiting { what: what.into() }))
    }

    /// Waits until something is to be done, `longest` at most.
    pub(super) fn wait(&mut self, clock: Clock, longest: Duration) {
        let Some(port) = &mut self.port else { return sleep(longest) };
        let now = clock.now();
        let due = Duration::from_millis(self.bench.next_deadline(now).saturating_sub(now.ms));
        // Whatever fails here fails in the next turn too.
        let _ = port.wait(due.min(longest));
    }

    /// Where the port is, while it is there.
    pub(super) fn path(&self) -> Option<&Path> {
        self.port.as_ref().and(self.chosen.path())
    }
}
