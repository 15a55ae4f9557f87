//! One turn at the bench, and the first word with what is on a line.

use super::bench::{Bench, BenchBook, Now, entropy};
use super::line::{Line, gone};
use crate::work::{Work, WorkError};
use bevelbook_core::link::{Event, HelloAck, HostSession, pump};
use jiff::Timestamp;
use std::io;
use std::time::{Duration, Instant};

/// How long a wait is at most, so that an end is noticed soon.
const LONGEST: Duration = Duration::from_millis(50);

/// The clock of a run.
#[derive(Clone, Copy, Debug)]
pub struct Clock(Instant);

impl Clock {
    /// Begins now.
    pub fn start() -> Self {
        Self(Instant::now())
    }

    /// The time since, and the wall time.
    pub fn now(&self) -> Now {
        let ms = u64::try_from(self.0.elapsed().as_millis()).unwrap_or(u64::MAX);
        Now { ms, utc_ms: Timestamp::now().as_millisecond() }
    }
}

impl<B: BenchBook> Bench<B> {
    /// Moves what has come, does what it calls for, and sends what follows from it. Whether any byte moved.
    ///
    /// # Errors
    /// The line failed.
    pub fn turn(&mut self, line: &mut impl Line, now: Now) -> io::Result<bool> {
        let came = pump(line, self.end(), now.ms).map_err(gone)?;
        self.settle(now);
        Ok(pump(line, self.end(), now.ms).map_err(gone)? || came)
    }
}

/// How long a keypad may take to answer hello; a board that is reset when its port is opened starts first.
const GREETING: Duration = Duration::from_secs(6);

/// Says hello on a line and gives what answers, or why nothing does; nothing is taken in.
///
/// # Errors
/// The book cannot be read.
pub fn greet(work: &Work, line: &mut impl Line) -> Result<io::Result<HelloAck>, WorkError> {
    let clock = Clock::start();
    let now = clock.now();
    let mut host = HostSession::new(work.own_journal()?, entropy()?, now.utc_ms, now.ms);
    while clock.0.elapsed() < GREETING {
        if let Err(error) = pump(line, &mut host, clock.now().ms) {
            return Ok(Err(gone(error)));
        }
        while let Some(event) = host.poll_event() {
            if let Event::Connected(keypad) = event {
                return Ok(Ok(keypad));
            }
        }
        if let Err(error) = line.wait(LONGEST) {
            return Ok(Err(error));
        }
    }
    Ok(Err(io::Error::new(io::ErrorKind::TimedOut, "it was waited for six seconds")))
}
