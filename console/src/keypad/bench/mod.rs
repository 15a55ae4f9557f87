//! The console at the bench: takes in what a keypad has, and keeps the open jobs on it.
//!
//! It stands on the host's end of the link and does no input or output of its own but the book's. The caller moves the
//! bytes ([`Bench::end`]), calls [`Bench::settle`] after each move, and shows the [`Note`]s.
//!
//! - A keypad is listened to only when the shop has adopted it; else [`Bench::asking`] waits for an answer.
//! - Records are committed before they are acknowledged. A record that differs from what the book has under its
//!   number stops the acknowledging until it is settled which of them counts; a book that fails is closed and opened again, and nothing is
//!   acknowledged until what was not committed was pulled anew.
//! - Numbers without a record are told as a gap, which the book shows too.
//! - What other consoles write is followed ([`FOLLOW_MS`]): new and changed jobs are sent, closed ones dropped.

mod book;
mod dating;
mod events;
mod held;
mod jobs;
mod link;
mod note;
#[cfg(test)]
mod tests;

pub use book::BenchBook;
pub use jobs::OpenJobs;
pub use link::Link;
pub use note::Note;

use crate::work::{Work, WorkError};
use bevelbook_core::link::{HelloAck, HostSession};
use bevelbook_core::record::JournalId;
use dating::Dating;
use held::Held;
use std::collections::{HashMap, VecDeque};

/// How often is looked for what other consoles wrote, in milliseconds.
pub const FOLLOW_MS: u64 = 250;

/// How often a book that failed is tried again, in milliseconds.
const REOPEN_MS: u64 = 1000;

/// How often is looked whether a backup is due, in milliseconds.
const LOOK_AFTER_MS: u64 = 3_600_000;

/// The time, as the caller has it.
#[derive(Clone, Copy, Debug)]
pub struct Now {
    /// Milliseconds on a clock that only goes forward.
    pub ms: u64,
    /// Milliseconds since 1970-01-01 UTC.
    pub utc_ms: i64,
}

/// The book, open or not.
#[derive(Debug)]
enum Shelf<B: BenchBook> {
    Open(Box<B>),
    /// It failed; when it is tried again.
    Failed {
        place: Box<B::Place>,
        again_ms: u64,
        /// What was told of it.
        why: String,
    },
}

/// The keypad that is connected.
#[derive(Debug)]
struct Keypad {
    journal: JournalId,
    name: String,
    /// How many cards it holds.
    room: usize,
    held: Held,
    /// The last of its numbers that the book had when it came.
    known: u32,
    /// A record differs from the book's, and nobody has decided yet: nothing more is acknowledged.
    conflict: bool,
    /// The revision of the station that it holds.
    station: u32,
}

/// The console's side of one line.
#[derive(Debug)]
pub struct Bench<B: BenchBook = Work> {
    shelf: Shelf<B>,
    host: HostSession,
    /// The journal that the waiting cards were made for.
    cards_for: Option<JournalId>,
    keypad: Option<Keypad>,
    /// What is known of the boots of each keypad that was here.
    dating: HashMap<JournalId, Dating>,
    asking: Option<HelloAck>,
    jobs: OpenJobs,
    /// The revision of the station that the keypad is to hold.
    station: Option<u32>,
    /// Whether the cards are to be made anew.
    stale: bool,
    /// The book's data version when the cards were made, and when it is asked for again.
    version: Option<i64>,
    follow_ms: u64,
    /// When the book is looked after again.
    look_after_ms: u64,
    notes: VecDeque<Note>,
}

impl Bench {
    /// Ready to say hello to whatever is on the line.
    ///
    /// # Errors
    /// The book cannot be read, or the system has no entropy.
    pub fn new(work: Work, now: Now) -> Result<Self, WorkError> {
        Self::with_session(work, entropy()?, now)
    }
}

impl<B: BenchBook> Bench<B> {
    /// Ready to say hello to whatever is on the line. `session` is a number that the last client of the line did not use,
    /// as a random one.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn with_session(mut book: B, session: u16, now: Now) -> Result<Self, B::Error> {
        book.note_choices()?;
        let mut jobs = OpenJobs::default();
        book.go_on(&mut jobs)?;
        let host = HostSession::new(book.own_journal()?, session, now.utc_ms, now.ms);
        Ok(Self {
            shelf: Shelf::Open(Box::new(book)),
            host,
            cards_for: None,
            keypad: None,
            dating: HashMap::new(),
            asking: None,
            jobs,
            station: None,
            stale: true,
            version: None,
            follow_ms: 0,
            look_after_ms: 0,
            notes: VecDeque::new(),
        })
    }

    /// The end of the link that bytes are moved for.
    pub fn end(&mut self) -> &mut HostSession {
        &mut self.host
    }

    /// The port was opened anew: the keypad may be another one, or was started again.
    pub fn plugged(&mut self, now: Now) {
        self.keypad = None;
        self.asking = None;
        self.begin_session(now);
    }

    /// The port is gone.
    pub fn unplugged(&mut self) {
        self.keypad = None;
        self.asking = None;
    }

    /// What happened, oldest first.
    pub fn take_note(&mut self) -> Option<Note> {
        self.notes.pop_front()
    }

    /// The keypad that waits to be adopted.
    pub const fn asking(&self) -> Option<&HelloAck> {
        self.asking.as_ref()
    }

    /// The keypad that waits is one of this shop's from now on, under `name`.
    pub fn adopt(&mut self, name: &str, now: Now) {
        let Some(ack) = self.asking.take() else { return };
        let journal = ack.journal;
        let name = name.to_owned();
        if self.with_book(now, |book| book.adopt(journal, &name)).is_some() {
            self.notes.push_back(Note::Adopted { keypad: name, journal });
            self.host.restart(now.ms);
        }
    }

    /// Does what the bytes that came call for: commits, acknowledges, sends cards; and follows other consoles.
    pub fn settle(&mut self, now: Now) {
        self.host.set_clock(now.utc_ms, now.ms);
        self.reopen(now);
        while let Some(event) = self.host.poll_event() {
            self.take(event, now);
        }
        self.follow(now);
        self.look_after(now);
    }

    /// When [`Bench::settle`] is to be called again at the latest, if no bytes come before.
    pub fn next_deadline(&self, now: Now) -> u64 {
        let follow = self.follow_ms.max(now.ms);
        self.host.next_deadline(now.ms).map_or(follow, |deadline| deadline.min(follow))
    }

    fn begin_session(&mut self, now: Now) {
        self.cards_for = None;
        if let Some(own) = self.with_book(now, |book| book.own_journal()) {
            // Sessions count up from where they are: nobody else is on the line.
            self.host = HostSession::new(own, self.host.session(), now.utc_ms, now.ms);
        }
    }

    /// What is due with the book that day; a failure is told and stops nothing.
    fn look_after(&mut self, now: Now) {
        let Shelf::Open(book) = &self.shelf else { return };
        if now.ms >= self.look_after_ms {
            self.look_after_ms = now.ms + LOOK_AFTER_MS;
            if let Err(why) = book.look_after(now.utc_ms) {
                self.notes.push_back(Note::NoBackup { why: why.to_string() });
            }
        }
    }

    /// Does something with the book; a book that fails is closed.
    fn with_book<T>(&mut self, now: Now, work_on: impl FnOnce(&mut B) -> Result<T, B::Error>) -> Option<T> {
        let Shelf::Open(book) = &mut self.shelf else { return None };
        match work_on(book) {
            Ok(done) => Some(done),
            Err(error) => {
                let why = error.to_string();
                self.notes.push_back(Note::BookFailed { why: why.clone() });
                let place = Box::new(book.place());
                self.shelf = Shelf::Failed { place, again_ms: now.ms + REOPEN_MS, why };
                // What was handed out and not committed is pulled again, from what the book then has.
                self.keypad = None;
                self.host.restart(now.ms + REOPEN_MS);
                None
            }
        }
    }

    fn reopen(&mut self, now: Now) {
        let Shelf::Failed { place, again_ms, why } = &mut self.shelf else { return };
        if now.ms < *again_ms {
            return;
        }
        match B::reopen(place) {
            Ok(book) => {
                self.shelf = Shelf::Open(Box::new(book));
                self.jobs = OpenJobs::default();
                (self.stale, self.version) = (true, None);
                self.notes.push_back(Note::BookOpen);
                // It may be another one: what still waits to be sent was made from the one before.
                self.begin_session(now);
            }
            Err(error) => {
                *again_ms = now.ms + REOPEN_MS;
                let told = std::mem::replace(why, error.to_string());
                if *why != told {
                    self.notes.push_back(Note::BookFailed { why: why.clone() });
                }
            }
        }
    }

    /// Looks whether another console wrote, makes the cards anew when anything did, and sends what is behind. While the
    /// keypad has more records to give, that is done only as often as others are followed: each batch would make the cards
    /// anew.
    fn follow(&mut self, now: Now) {
        let look = now.ms >= self.follow_ms;
        if look {
            self.follow_ms = now.ms + FOLLOW_MS;
            let version = self.with_book(now, |book| book.version());
            self.stale |= version != self.version;
            self.version = version;
            let mut jobs = std::mem::take(&mut self.jobs);
            self.with_book(now, |book| book.go_on(&mut jobs));
            self.jobs = jobs;
        }
        let Some(Keypad { journal, room, station, conflict, .. }) = self.keypad else { return };
        if self.stale && !look && self.host.is_behind() {
            return;
        }
        if self.stale {
            let settled = |held: crate::work::Held| held.conflict.is_none();
            if conflict && self.with_book(now, |book| book.held(journal)).is_some_and(settled) {
                // What was held back is acknowledged, or pulled, from where the book is.
                self.keypad = None;
                self.host.restart(now.ms);
                return;
            }
            let mut jobs = std::mem::take(&mut self.jobs);
            let before = jobs.no_room.clone();
            let made = self.with_book(now, |book| book.refresh(&mut jobs, journal, room));
            self.jobs = jobs;
            if made.is_none() {
                return;
            }
            // What it is told of the station is worked out anew when that may differ from what it holds.
            if !self.jobs.station_stands || self.station != Some(station) {
                let Some(wanted) = self.with_book(now, |book| book.station_for(journal)) else { return };
                self.station = Some(wanted.revision);
                if wanted.revision != station {
                    self.host.send_station(wanted);
                }
            }
            self.stale = false;
            if self.jobs.no_room != before && !self.jobs.no_room.is_empty() {
                self.notes.push_back(Note::NoRoom { jobs: self.jobs.no_room.clone() });
            }
        }
        if let Some(keypad) = &mut self.keypad {
            keypad.held.queue(&mut self.host, &self.jobs);
        }
    }
}

/// The number of a session that hardly anyone had before.
pub(super) fn entropy() -> Result<u16, WorkError> {
    Ok(getrandom::u32().map_err(WorkError::Entropy)? as u16)
}
