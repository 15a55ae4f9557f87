//! The demo's bench: keys of a software keypad are pressed; what it saves reaches the book over the link, and by no
//! other way.

use super::Failure;
use crate::keypad::{Bench as Console, FOLLOW_MS, FilePages, Note, Now, open_memory};
use crate::settings::Settings;
use crate::work::Work;
use bevelbook_core::link::{End, MAX_WIRE};
use bevelbook_core::record::JobId;
use bevelbook_keypad::app::{App, LOCK_OUT_MS};
use bevelbook_keypad::keys::{Key, Press};
use bevelbook_keypad::screen::text::render;
use std::path::Path;

/// How long both ends may take to agree, in milliseconds of the demo's own time.
const PATIENCE_MS: u64 = 10_000;

/// How finely the demo's time runs while both ends talk, in milliseconds.
const TALK_MS: u64 = 10;

/// Keypad and console with a cable between them. Its time runs as fast as it is used.
pub(super) struct Bench {
    console: Console,
    app: App<FilePages>,
    /// Whether bytes cross between keypad and console; a test takes the cable out.
    plugged: bool,
    now_ms: u64,
    began_utc_ms: i64,
    /// What the records say that reached the book.
    arrived: Vec<String>,
}

impl Bench {
    /// A keypad with a blank memory in `folder`, and a console on the book at `book`.
    pub(super) fn start(
        folder: &Path,
        book: &Path,
        settings: Settings,
        plugged: bool,
    ) -> Result<Self, Failure> {
        let (memory, _) = open_memory(&folder.join("keypad.mem"), None).map_err(Failure::fault)?;
        let began_utc_ms = jiff::Timestamp::now().as_millisecond();
        let console = Console::new(Work::open(book, settings)?, Now { ms: 0, utc_ms: began_utc_ms })?;
        Ok(Self {
            console,
            app: App::new(memory, "demo"),
            plugged,
            now_ms: 0,
            began_utc_ms,
            arrived: Vec::new(),
        })
    }

    /// Waits until the keypad is adopted and everything it saved is in the book.
    pub(super) fn settle(&mut self) -> Result<(), Failure> {
        self.wait_until("its records did not reach the book", |bench| {
            bench.app.memory().unacknowledged() == 0
        })
    }

    /// Waits until the keypad has been told what was written about a job just now.
    pub(super) fn expect_card(&mut self, job: JobId) -> Result<(), Failure> {
        // What was pending before may still come first: whatever was written is followed within this time.
        for _ in 0..4 * FOLLOW_MS / TALK_MS {
            self.talk();
        }
        self.wait_until("the card of a job did not reach it", |bench| {
            bench.app.memory().find_card(job).is_some()
        })
    }

    /// Presses keys: `u d l r c`, in capitals when held; then lets both ends talk. What the records say that reached
    /// the book.
    pub(super) fn press(&mut self, keys: &str) -> Result<Vec<String>, Failure> {
        for letter in keys.chars().filter(|letter| !letter.is_whitespace()) {
            let (key, _) = meant(letter);
            self.now_ms += LOCK_OUT_MS;
            self.app.press(Press { key, held: letter.is_ascii_uppercase() }, self.now_ms);
        }
        self.settle()?;
        Ok(std::mem::take(&mut self.arrived))
    }

    /// What the keypad shows.
    pub(super) fn screen(&self) -> String {
        render(&self.app.screen(self.now_ms)).to_string()
    }

    fn wait_until(&mut self, fault: &str, done: impl Fn(&Self) -> bool) -> Result<(), Failure> {
        let until = self.now_ms + PATIENCE_MS;
        loop {
            self.talk();
            if done(self) {
                return Ok(());
            }
            if self.now_ms >= until {
                return Err(Failure::Fault(format!("the keypad is not heard: {fault}")));
            }
        }
    }

    /// A moment of both ends.
    fn talk(&mut self) {
        self.now_ms += TALK_MS;
        let now = Now { ms: self.now_ms, utc_ms: self.began_utc_ms + self.now_ms.cast_signed() };
        let mut buffer = [0; MAX_WIRE];
        while let Some(bytes) = self.console.end().poll_transmit(&mut buffer, now.ms) {
            if self.plugged {
                self.app.feed(bytes, now.ms);
            }
        }
        while let Some(bytes) = self.app.poll_transmit(&mut buffer, now.ms) {
            if self.plugged {
                self.console.end().feed(bytes, now.ms);
            }
        }
        self.console.settle(now);
        if self.console.asking().is_some() {
            self.console.adopt("demo", now);
        }
        while let Some(note) = self.console.take_note() {
            if let Note::Record { says, .. } = note {
                self.arrived.push(says);
            }
        }
    }
}

/// The key of a letter, and its sign.
const fn meant(letter: char) -> (Key, &'static str) {
    match letter.to_ascii_lowercase() {
        'u' => (Key::Up, "↑"),
        'd' => (Key::Down, "↓"),
        'l' => (Key::Left, "←"),
        'r' => (Key::Right, "→"),
        _ => (Key::Centre, "●"),
    }
}

/// Keys as a person would read them.
pub(super) fn shown(keys: &str) -> String {
    let shown = keys.chars().filter(|letter| !letter.is_whitespace()).map(|letter| {
        let (_, sign) = meant(letter);
        if letter.is_ascii_uppercase() { format!("{sign}…") } else { sign.to_owned() }
    });
    shown.collect::<Vec<_>>().join(" ")
}
