//! What a command says while it reads long: on a terminal, and from its first second on.

use std::io::{IsTerminal, Write, stderr};
use std::time::{Duration, Instant};

/// So long nothing is said, and then not more often.
const OFTEN: Duration = Duration::from_secs(1);

/// How much was read so far.
pub(super) struct Progress {
    what: &'static str,
    many: u64,
    told: Instant,
    shown: bool,
}

impl Progress {
    /// Of `what`, none yet.
    pub(super) fn of(what: &'static str) -> Self {
        Self { what, many: 0, told: Instant::now(), shown: false }
    }

    /// One more.
    pub(super) fn one(&mut self) {
        self.many += 1;
        if self.told.elapsed() >= OFTEN && stderr().is_terminal() {
            (self.told, self.shown) = (Instant::now(), true);
            // Whom it does not reach waits without it.
            let _ = write!(stderr(), "\r{} {} read", self.many, self.what);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown {
            let _ = write!(stderr(), "\r\u{1b}[K");
        }
    }
}
