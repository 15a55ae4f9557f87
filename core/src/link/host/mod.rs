//! The host's end of the link.
//!
//! One request is open at a time; it is repeated after 250 ms, doubling to 4 s, for as long as the caller keeps
//! asking. What is asked for next, most pressing first: hello, acknowledge what was committed, the clock (every
//! minute), records, cards, and when [`POLL_MS`] have passed records again, which tells the keypad that the console
//! is there.
//!
//! **Nothing is acknowledged before it is committed**: the caller commits what [`Event::Records`] and [`Event::Gap`]
//! say and then calls [`HostSession::committed`]. When a commit fails it calls [`HostSession::restart`] instead, or
//! [`HostSession::hold`] before that as long as nothing can be committed.
//!
//! **A session ends** when the keypad says that it knows none, tells another boot counter, or does not answer four
//! times; the next one has another number, so that nothing said in the old one counts. Cards that were not stored are
//! sent again.
//!
//! The caller's loop: [`HostSession::feed`] what came, [`HostSession::poll_event`] until there is none,
//! [`HostSession::poll_transmit`] until there is nothing, wait for bytes or [`HostSession::next_deadline`].

mod accept;
mod ask;
mod commits;
mod errand;
mod errands;
mod event;
mod walk;

pub use errand::{CARD_QUEUE, QueueFull};
pub use event::Event;

use super::frame::{Decoder, MAX_WIRE};
use super::message::{FROM_KEYPAD, IGNORABLE, Message, PROTOCOLS};
use super::payload::{HostNak, Status};
use super::{Nak, Reason, Station};
use crate::record::{JobId, JournalId};
use errand::Errand;
use heapless::Deque;
use walk::Walk;

/// The time before a request is first repeated, in milliseconds; doubles with each repeat.
pub const RETRY_MS: u64 = 250;
/// The longest time between two repeats, in milliseconds.
pub const RETRY_MOST_MS: u64 = 4000;
/// After this many tries without an answer the keypad counts as lost.
pub const TRIES: u8 = 4;
/// The time between two requests when nothing else is to be done, in milliseconds.
pub const POLL_MS: u64 = 1000;
/// The time between two anchors, in milliseconds.
pub const CLOCK_MS: u64 = 60_000;
/// An answer makes two events at most, and while it waits a loss is told once: requests wait until they are taken.
const EVENTS: usize = 4;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Phase {
    /// Hello is to be said.
    Greeting,
    /// The keypad answered; the caller says from where on.
    Greeted,
    Running,
    RolledBack,
    /// The caller can commit nothing for now.
    Held,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Request {
    Hello,
    Pull { from: u32 },
    Ack { upto: u32 },
    Time,
    Part(u8),
    Drop(JobId),
    List { from: u8 },
    Station,
}

/// A request that waits for its answer.
#[derive(Clone, Copy, Debug)]
struct Open {
    request: Request,
    tag: u8,
    tries: u8,
    first_ms: u64,
    due_ms: u64,
}

/// What the keypad said of itself.
#[derive(Clone, Copy, Debug)]
struct Peer {
    journal: JournalId,
    boot: u32,
    acknowledged: u32,
    next: u32,
    slots: u8,
}

/// The host's end of one line. `now_ms` is any clock that only goes forward, in milliseconds.
#[derive(Clone, Debug)]
pub struct HostSession {
    journal: JournalId,
    /// Wall time at the zero of `now_ms`.
    utc_at_zero_ms: i64,
    decoder: Decoder,
    session: u16,
    tag: u8,
    phase: Phase,
    peer: Option<Peer>,
    open: Option<Open>,
    /// When the next hello may be said.
    hello_ms: u64,
    /// When the keypad last answered.
    heard_ms: u64,
    /// When the next anchor is wanted.
    clock_ms: u64,
    /// The last number handed to the caller, and the last one it committed.
    delivered: u32,
    committed: u32,
    walk: Option<Walk>,
    /// What the keypad is to hold of the station, until it does.
    station: Option<Station>,
    errands: Deque<Errand, CARD_QUEUE>,
    /// The next piece of the first card, and how often the keypad wanted that card from its beginning.
    part: u8,
    begun_again: u8,
    list_from: Option<u8>,
    events: Deque<Event, EVENTS>,
    status: Option<Status>,
    nak: Option<(u16, u8, Nak)>,
    lost: bool,
    refused: bool,
}

impl HostSession {
    /// Ready to say hello for the console whose journal is `journal`. `session` is a number that the last client of
    /// this line did not use, as a random one; sessions count up from it. `utc_ms` is the wall time at `now_ms`.
    pub fn new(journal: JournalId, session: u16, utc_ms: i64, now_ms: u64) -> Self {
        let mut host = Self {
            journal,
            utc_at_zero_ms: 0,
            decoder: Decoder::new(),
            session,
            tag: 0,
            phase: Phase::Greeting,
            peer: None,
            open: None,
            hello_ms: now_ms,
            heard_ms: now_ms,
            clock_ms: now_ms,
            delivered: 0,
            committed: 0,
            walk: None,
            station: None,
            errands: Deque::new(),
            part: 0,
            begun_again: 0,
            list_from: None,
            events: Deque::new(),
            status: None,
            nak: None,
            lost: false,
            refused: false,
        };
        host.set_clock(utc_ms, now_ms);
        host.restart(now_ms);
        host
    }

    /// The wall time at `now_ms`; said again when it was set.
    pub fn set_clock(&mut self, utc_ms: i64, now_ms: u64) {
        self.utc_at_zero_ms = utc_ms.saturating_sub_unsigned(now_ms);
    }

    /// Begins a new session: the port was opened again, or a commit failed. What was not committed is pulled again,
    /// waiting cards stay.
    pub fn restart(&mut self, now_ms: u64) {
        self.session = self.session.wrapping_add(1).max(1);
        self.phase = Phase::Greeting;
        self.peer = None;
        self.open = None;
        self.walk = None;
        self.status = None;
        self.part = 0;
        self.hello_ms = now_ms;
    }

    /// Tells the keypad how the station counts, in the place of what still waits; [`Event::StationStored`] says when it
    /// holds it.
    pub const fn send_station(&mut self, station: Station) {
        self.station = Some(station);
    }

    /// Takes bytes that came over the line, however they are cut.
    pub fn feed(&mut self, mut bytes: &[u8], now_ms: u64) {
        // The decoder lends from itself: it is taken out while a frame is looked at.
        let mut decoder = core::mem::take(&mut self.decoder);
        while let Some(frame) = decoder.next(&mut bytes) {
            let (kind, session, tag) = (frame.kind, frame.session, frame.tag);
            if kind & FROM_KEYPAD == 0 {
                continue;
            }
            match Message::decode(kind, frame.payload) {
                Ok(Message::Status(status)) => self.hint(session, status, now_ms),
                Ok(message) => {
                    let open = self.open.filter(|open| session == self.session && tag == open.tag);
                    if let Some(open) = open {
                        self.open = None;
                        self.heard_ms = now_ms;
                        self.accept(open, message, now_ms);
                    }
                }
                Err(Reason::UnknownMessage) if kind & IGNORABLE == 0 && session == self.session => {
                    let [lowest, highest] = PROTOCOLS;
                    let nak = Nak { of: kind, reason: Reason::UnknownMessage, lowest, highest };
                    self.nak = Some((session, tag, nak));
                }
                Err(_) => {}
            }
        }
        self.decoder = decoder;
    }

    /// What happened, oldest first.
    pub fn poll_event(&mut self) -> Option<Event> {
        if let Some(event) = self.events.pop_front() {
            return Some(event);
        }
        if let Some(status) = self.status.take() {
            return Some(Event::Status(status));
        }
        let (event, last) = self.walk.as_mut()?.next()?;
        self.delivered = last;
        self.walk = self.walk.take().filter(|walk| !walk.is_done());
        Some(event)
    }

    /// The next bytes to send, if there are any now.
    pub fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]> {
        if let Some((session, tag, nak)) = self.nak.take() {
            return Some(Message::HostNak(HostNak(nak)).to_wire(session, tag, buffer));
        }
        if let Some(open) = self.open.filter(|open| now_ms >= open.due_ms && open.tries >= TRIES) {
            self.lose(open, now_ms);
        }
        let open = match self.open {
            Some(open) if now_ms < open.due_ms => return None,
            Some(open) => open,
            None if !self.events.is_empty() => return None,
            None => {
                let request = self.choose(now_ms)?;
                self.tag = self.tag.wrapping_add(1).max(1);
                Open { request, tag: self.tag, tries: 0, first_ms: now_ms, due_ms: now_ms }
            }
        };
        let wait_ms = (RETRY_MS << open.tries.min(TRIES)).min(RETRY_MOST_MS);
        self.open = Some(Open {
            tries: open.tries.saturating_add(1),
            due_ms: now_ms.saturating_add(wait_ms),
            ..open
        });
        let message = self.message(open.request, now_ms)?;
        Some(message.to_wire(self.session, open.tag, buffer))
    }

    /// When [`HostSession::poll_transmit`] next has something to send, if nothing comes in before; may lie in the
    /// past. `None` while the caller is to say from where to go on.
    pub fn next_deadline(&self, now_ms: u64) -> Option<u64> {
        match (self.open, self.phase) {
            _ if self.nak.is_some() => Some(now_ms),
            (Some(open), _) => Some(open.due_ms),
            (None, Phase::Greeting) => Some(self.hello_ms),
            (None, Phase::Greeted) => None,
            (None, _) if self.choose(now_ms).is_some() => Some(now_ms),
            (None, Phase::Running) => Some(self.clock_ms.min(self.heard_ms + POLL_MS)),
            (None, Phase::RolledBack | Phase::Held) => Some(self.heard_ms + POLL_MS),
        }
    }

    /// The number of the session, or of the next one.
    pub const fn session(&self) -> u16 {
        self.session
    }

    /// How many runs of bytes were no frame.
    pub const fn dropped(&self) -> u32 {
        self.decoder.dropped()
    }

    fn tell(&mut self, event: Event) {
        // Never full: see EVENTS.
        let _ = self.events.push_back(event);
    }

    const fn utc_ms(&self, now_ms: u64) -> i64 {
        self.utc_at_zero_ms.saturating_add_unsigned(now_ms)
    }
}
