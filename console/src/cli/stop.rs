//! How a command that runs on is ended: `bench` and `keypad software`.
//!
//! A signal (Ctrl-C, SIGTERM, SIGHUP), a closed terminal and an output that nobody can read any more set one flag,
//! which the command looks at in every turn, at most 50 ms apart. What holds it up meanwhile is mostly a `write` that
//! waits for a reader, and no program can bound that for itself: `poll` promises room for some bytes only, and
//! `O_NONBLOCK` would also change the terminal for the shell that lent it. So one thread watches from outside and ends
//! the whole process: half a second after the flag was set, or when a piece of output waits for a reader for 0.8 s. That
//! may fall anywhere, and everywhere it leaves what a power cut would leave: a transaction that was not committed never
//! was, a page of a memory is rewritten or not, a lock goes with its process.
//!
//! `job new` that asks waits for a line and nothing else; a signal ends it with the words that nothing was saved. All other
//! commands keep what the system does on a signal, which ends them at once. They hold nothing while they
//! print, so that they may wait for a reader as long as a person takes to read a page.

use super::Failure;
use super::report::{self, FAULT};
use super::terminal::put_back;
use std::io::{self, IsTerminal, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// How often is looked, by the thread that watches.
const LOOK: Duration = Duration::from_millis(50);

/// How long a command may take to end by itself.
const GRACE: Duration = Duration::from_millis(500);

/// How long a piece of output may wait for a reader.
const UNREAD: Duration = Duration::from_millis(800);

/// How long the last words may take, which may find no reader either.
const LAST_WORDS: Duration = Duration::from_millis(100);

/// Set when the command is to end.
static STOP: AtomicBool = AtomicBool::new(false);

/// Since when a piece of output waits for a reader.
static WAITS: Mutex<Option<Instant>> = Mutex::new(None);

/// Has the flag set instead of the program ended, and sees to it that the program ends.
pub(super) fn stop_on_signals() -> Result<&'static AtomicBool, Failure> {
    let handler = || STOP.store(true, Ordering::Relaxed);
    ctrlc::set_handler(handler).map_err(|e| Failure::Fault(format!("cannot listen for Ctrl-C: {e}")))?;
    thread::spawn(watch);
    Ok(&STOP)
}

/// Set when a command that asks has its last answer, and saves.
static SAVING: AtomicBool = AtomicBool::new(false);

/// Ends a command that asks by a signal as by a no: with these last words, and at once, since it waits for a key. While it
/// saves it is left to end by itself.
pub(super) fn end_on_signals(words: &'static str) -> Result<(), Failure> {
    let handler = move || {
        if !SAVING.load(Ordering::Relaxed) {
            let _ = writeln!(io::stderr(), "\n{words}");
            std::process::exit(report::DECLINED.into());
        }
    };
    ctrlc::set_handler(handler).map_err(|e| Failure::Fault(format!("cannot listen for Ctrl-C: {e}")))
}

/// From now on a signal ends no command that asks.
pub(super) fn is_saving() {
    SAVING.store(true, Ordering::Relaxed);
}

/// Sleeps as long, or until the command is to end.
pub(super) fn sleep(long: Duration) {
    let begun = Instant::now();
    while !STOP.load(Ordering::Relaxed) && begun.elapsed() < long {
        thread::sleep(LOOK.min(long));
    }
}

/// The standard output of a command that runs on.
pub(super) struct Output;

impl Write for Output {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        waited(|| io::stdout().write(bytes))
    }

    fn flush(&mut self) -> io::Result<()> {
        waited(|| io::stdout().flush())
    }
}

fn waited<T>(write: impl FnOnce() -> T) -> T {
    let since = |since| *WAITS.lock().unwrap_or_else(PoisonError::into_inner) = since;
    since(Some(Instant::now()));
    let written = write();
    since(None);
    written
}

fn watch() {
    let keys = io::stdin().is_terminal();
    let mut asked = None;
    loop {
        thread::sleep(LOOK);
        if gone(keys) {
            STOP.store(true, Ordering::Relaxed);
        }
        if STOP.load(Ordering::Relaxed) && asked.get_or_insert_with(Instant::now).elapsed() >= GRACE {
            end("ended while something held it up; what was not told as saved may not be");
        }
        let waits = *WAITS.lock().unwrap_or_else(PoisonError::into_inner);
        if waits.is_some_and(|since| since.elapsed() >= UNREAD) {
            end("nobody reads what it says, so it ended; start it again");
        }
    }
}

/// Whether the reader of the output is gone, or the terminal that keys come from.
#[cfg(unix)]
fn gone(keys: bool) -> bool {
    use crate::keypad::ready;
    use rustix::event::PollFlags;
    // Asked for nothing, poll tells of ends alone.
    let ended = |stream| ready(stream, PollFlags::empty(), Duration::ZERO).unwrap_or(false);
    ended(rustix::stdio::stdout()) || keys && ended(rustix::stdio::stdin())
}

#[cfg(not(unix))]
fn gone(_: bool) -> bool {
    false
}

fn end(why: &'static str) -> ! {
    thread::spawn(move || {
        put_back();
        let _ = writeln!(io::stderr(), "error: {why}");
    });
    thread::sleep(LAST_WORDS);
    std::process::exit(FAULT.into())
}
