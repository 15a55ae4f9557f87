//! The console at the bench: takes in what a keypad has, and keeps the open jobs on it.
//!
//! It stands on the host's end of the link and does no input or output of its own but the book's. The caller moves the
//! bytes ([`Bench::end`]), calls [`Bench::settle`] after each move, and shows the [`Note`]s.
//!
//! - A keypad is listened to only when the shop has adopted it; else [`Bench::asking`] waits for an answer.
//! - Records are committed before they are acknowledged. A record that differs from what the book has under its
//!   number stops the acknowledging until it is settled which of them counts; a book that fails, or whose server is away, is
//!   closed and opened again ([`Shelf`]), and nothing is acknowledged until what was not committed was pulled anew. Meanwhile
//!   the keypad is held: it knows of a console, shows that its records wait, and tells how many ([`gone`]).
//! - Numbers without a record are told as a gap, which the book shows too.
//! - What other consoles write is followed ([`FOLLOW_MS`]): new and changed jobs are sent, closed ones dropped.

mod book;
mod dating;
mod events;
mod gone;
mod held;
mod jobs;
mod link;
mod note;
mod now;
mod shelf;
#[cfg(test)]
mod tests;
mod words;

pub use book::{BenchBook, Opening};
pub use jobs::OpenJobs;
pub use link::Link;
pub use note::Note;
pub use now::Now;
pub use shelf::{Gone, Shelf};
pub use words::since_words;

use crate::work::{Work, WorkError};
use bevelbook_core::link::{HelloAck, HostSession};
use bevelbook_core::record::JournalId;
use dating::Dating;
use held::Held;
use std::collections::{HashMap, VecDeque};

/// How often is looked for what other consoles wrote, in milliseconds.
pub const FOLLOW_MS: u64 = 250;

/// How often is looked whether a backup is due, in milliseconds.
const LOOK_AFTER_MS: u64 = 3_600_000;

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

/// Who is on the line.
#[derive(Clone, Debug)]
struct OnLine {
    journal: JournalId,
    /// What the shop calls it; while the book is gone, what it calls itself.
    name: String,
    /// The last of its numbers that was committed, as far as we were told.
    committed: Option<u32>,
}

/// The console's side of one line.
#[derive(Debug)]
pub struct Bench<B: BenchBook = Work> {
    shelf: Shelf<B>,
    host: HostSession,
    /// The journal that the waiting cards were made for.
    cards_for: Option<JournalId>,
    keypad: Option<Keypad>,
    /// Who is on the line, while the book is gone too.
    on_line: Option<OnLine>,
    /// How many records came in since the book was gone.
    came: u32,
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

    /// The same of a book that need not be open yet: it is waited for.
    ///
    /// # Errors
    /// As [`Bench::new`] of one that is.
    pub fn at(shelf: Shelf<Work>, now: Now) -> Result<Self, WorkError> {
        match shelf.take() {
            Ok(work) => Self::new(work, now),
            Err(shelf) => Ok(Self::on(shelf, entropy()?, now)),
        }
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
        Ok(Self { jobs, host, ..Self::on(Shelf::of(book), session, now) })
    }

    /// The same of a book that need not be open yet.
    pub fn on(shelf: Shelf<B>, session: u16, now: Now) -> Self {
        Self {
            shelf,
            // No keypad looks at who says hello; that is said anew once it is known.
            host: HostSession::new(JournalId(0), session, now.utc_ms, now.ms),
            cards_for: None,
            keypad: None,
            on_line: None,
            came: 0,
            dating: HashMap::new(),
            asking: None,
            jobs: OpenJobs::default(),
            station: None,
            stale: true,
            version: None,
            follow_ms: 0,
            look_after_ms: 0,
            notes: VecDeque::new(),
        }
    }

    /// The end of the link that bytes are moved for.
    pub fn end(&mut self) -> &mut HostSession {
        &mut self.host
    }

    /// The port was opened anew: the keypad may be another one, or was started again.
    pub fn plugged(&mut self, now: Now) {
        self.unplugged();
        self.begin_session(now);
    }

    /// The port is gone.
    pub fn unplugged(&mut self) {
        (self.keypad, self.on_line, self.asking) = (None, None, None);
    }

    /// What happened, oldest first.
    pub fn take_note(&mut self) -> Option<Note> {
        self.notes.pop_front()
    }

    /// The keypad that waits to be adopted, while it can be.
    pub fn asking(&self) -> Option<&HelloAck> {
        self.asking.as_ref().filter(|_| self.shelf.book().is_some())
    }

    /// What the shop's keypads are called.
    pub fn keypad_names(&mut self, now: Now) -> Vec<String> {
        self.with_book(now, |book| book.keypad_names()).unwrap_or_default()
    }

    /// The keypad that waits is one of this shop's from now on, under `name`.
    pub fn adopt(&mut self, name: &str, now: Now) {
        let Some(ack) = self.asking.take() else { return };
        let journal = ack.journal;
        let name = name.to_owned();
        match self.with_book(now, |book| book.adopt(journal, &name)) {
            Some(Ok(())) => {
                self.notes.push_back(Note::Adopted { keypad: name, journal });
                self.host.restart(now.ms);
            }
            Some(Err(why)) => self.notes.push_back(Note::NotAdopted { journal, why }),
            None => {}
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
        self.settled();
    }

    /// When [`Bench::settle`] is to be called again at the latest, if no bytes come before.
    pub fn next_deadline(&self, now: Now) -> u64 {
        let follow = self.follow_ms.max(now.ms);
        self.host.next_deadline(now.ms).map_or(follow, |deadline| deadline.min(follow))
    }

    /// What is due with the book that day; a failure is told and stops nothing.
    fn look_after(&mut self, now: Now) {
        let Some(book) = self.shelf.book() else { return };
        if now.ms >= self.look_after_ms {
            self.look_after_ms = now.ms + LOOK_AFTER_MS;
            if let Err(why) = book.look_after(now.utc_ms) {
                self.notes.push_back(Note::NoBackup { why: why.to_string() });
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
