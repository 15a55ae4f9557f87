//! One turn at the bench, and the loop over a serial port that comes and goes.

use super::bench::{Bench, Note, Now, session};
use super::line::{Line, gone};
use super::port::{Port, PortError};
use crate::work::{Work, WorkError};
use bevelbook_core::link::{Event, HelloAck, pump};
use jiff::Timestamp;
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// How long a wait is at most, so that an end is noticed soon.
const LONGEST: Duration = Duration::from_millis(50);

/// How often a port that is gone is looked for.
pub const HOT_PLUG: Duration = Duration::from_millis(500);

/// The clock of a run.
#[derive(Clone, Copy, Debug)]
pub struct Clock(Instant);

impl Clock {
    /// Begins now.
    #[must_use]
    pub fn start() -> Self {
        Self(Instant::now())
    }

    /// The time since, and the wall time.
    #[must_use]
    pub fn now(&self) -> Now {
        let ms = u64::try_from(self.0.elapsed().as_millis()).unwrap_or(u64::MAX);
        Now { ms, utc_ms: Timestamp::now().as_millisecond() }
    }
}

impl Bench {
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

/// What the person at the console sees and is asked.
pub trait Watcher {
    /// Shows what happened.
    ///
    /// # Errors
    /// Nobody can see it any more.
    fn show(&mut self, note: &Note) -> io::Result<()>;

    /// Asks whether a keypad becomes the shop's; the name it then has, or no.
    fn adopt(&mut self, keypad: &HelloAck) -> Option<String>;
}

/// How attending ended.
#[derive(Debug)]
pub enum Ended {
    /// It was asked to.
    Stopped,
    /// Nobody watches any more.
    Unwatched,
    /// The keypad on the line is not to be this shop's.
    NotAdopted(HelloAck),
    /// The port cannot be used, and waiting will not help.
    Port(PortError),
}

/// How long a keypad may take to answer hello; a board that is reset when its port is opened starts first.
const GREETING: Duration = Duration::from_secs(6);

/// Says hello on a line and gives what answers, or why nothing does; nothing is taken in.
///
/// # Errors
/// The book cannot be read.
pub fn greet(work: &Work, line: &mut impl Line) -> Result<io::Result<HelloAck>, WorkError> {
    let clock = Clock::start();
    let mut host = session(work, clock.now())?;
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

/// Attends the port that `find` gives, whenever it gives one, until `stop` is set.
///
/// `find` is asked again while it gives none, and after the port has gone.
pub fn attend(
    bench: &mut Bench,
    find: &mut dyn FnMut() -> Result<Port, PortError>,
    watcher: &mut dyn Watcher,
    stop: &AtomicBool,
) -> Ended {
    let clock = Clock::start();
    let mut waiting = false;
    while !stop.load(Ordering::Relaxed) {
        let mut port = match find() {
            Ok(port) => port,
            // A port that was just plugged in may belong to nobody for a moment.
            Err(error) if error.is_missing() || waiting => {
                if !waiting && watcher.show(&Note::Waiting { what: "the keypad".into() }).is_err() {
                    return Ended::Unwatched;
                }
                waiting = true;
                std::thread::sleep(HOT_PLUG);
                continue;
            }
            Err(error) => return Ended::Port(error),
        };
        bench.plugged(clock.now());
        match attend_port(bench, &mut port, clock, watcher, stop) {
            Ok(ended) => return ended,
            Err(_) => {
                let what = "the keypad; its port is gone".into();
                if watcher.show(&Note::Waiting { what }).is_err() {
                    return Ended::Unwatched;
                }
                waiting = true;
                std::thread::sleep(HOT_PLUG);
            }
        }
    }
    Ended::Stopped
}

fn attend_port(
    bench: &mut Bench,
    port: &mut Port,
    clock: Clock,
    watcher: &mut dyn Watcher,
    stop: &AtomicBool,
) -> io::Result<Ended> {
    while !stop.load(Ordering::Relaxed) {
        let now = clock.now();
        bench.turn(port, now)?;
        if let Some(ended) = look_after(bench, clock, watcher) {
            return Ok(ended);
        }
        let now = clock.now();
        let due = Duration::from_millis(bench.next_deadline(now).saturating_sub(now.ms));
        port.wait(due.min(LONGEST))?;
    }
    Ok(Ended::Stopped)
}

/// Shows what happened and asks what is to be asked; how it ended, if it did.
pub fn look_after(bench: &mut Bench, clock: Clock, watcher: &mut dyn Watcher) -> Option<Ended> {
    while let Some(note) = bench.take_note() {
        if watcher.show(&note).is_err() {
            return Some(Ended::Unwatched);
        }
    }
    let keypad = bench.asking()?.clone();
    match watcher.adopt(&keypad) {
        Some(name) => {
            bench.adopt(&name, clock.now());
            None
        }
        None => Some(Ended::NotAdopted(keypad)),
    }
}
