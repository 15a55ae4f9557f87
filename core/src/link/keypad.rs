//! The keypad's end of the link.
//!
//! It answers requests and never repeats an answer by itself: the host asks again. It speaks unasked only to say that
//! it was started or that records wait ([`Status`]), at most once in [`STATUS_MS`], or [`STATUS_LEAST_MS`] when a
//! record was added. An answer that reads the memory is made when it is sent, not when it is asked for.

use super::answers::{acknowledge, batch, held, unsynced};
use super::frame::{Decoder, MAX_WIRE};
use super::message::{FROM_KEYPAD, IGNORABLE, Message, PROTOCOLS};
use super::parts::{CardJoiner, Joined};
use super::payload::{
    Acked, CardDropped, CardPart, CardStored, Hello, HelloAck, NAME_BYTES, StationStored, Status, TimeAck,
};
use super::{CardKept, KeypadStore, Nak, Reason};
use crate::record::JournalId;
use heapless::{Deque, String};

/// How long after the host was last heard it still counts as present, in milliseconds.
pub const PRESENT_MS: u64 = 3000;
/// The time between two hints that records wait or that there is no session, in milliseconds.
pub const STATUS_MS: u64 = 1000;
/// The time between two hints when records are added one behind the other, in milliseconds.
pub const STATUS_LEAST_MS: u64 = 100;
/// How many answers wait at once. The host has one request open; more are repeats or strangers.
const ANSWERS: usize = 4;

/// What is to be sent.
#[derive(Clone, Copy, Debug)]
enum Answer {
    Greeting { protocol: u8 },
    Records { from: u32 },
    Acknowledged,
    Clock,
    Stored(CardStored),
    Station,
    Dropped(CardDropped),
    Held { from: u8 },
    Refused(u8, Reason),
}

#[derive(Clone, Copy, Debug)]
struct Session {
    id: u16,
    journal: JournalId,
    heard_ms: u64,
    /// The host's wall time, and ours when it came.
    clock: (i64, u64),
}

/// The keypad's end of one line. `now_ms` is always milliseconds since the keypad was started.
#[derive(Clone, Debug)]
pub struct KeypadSession {
    name: String<NAME_BYTES>,
    firmware: &'static str,
    decoder: Decoder,
    session: Option<Session>,
    /// The host told the time, and nobody here took it yet.
    told_time: bool,
    answers: Deque<(u16, u8, Answer), ANSWERS>,
    joiner: CardJoiner,
    /// When a hint was last sent, and the next number it told.
    hinted: Option<(u64, u32)>,
}

impl KeypadSession {
    /// Just started. What exceeds [`NAME_BYTES`] bytes of the keypad's name and firmware version is left off.
    pub fn new(name: &str, firmware: &'static str) -> Self {
        Self {
            name: shortened(name),
            firmware,
            decoder: Decoder::new(),
            session: None,
            told_time: false,
            answers: Deque::new(),
            joiner: CardJoiner::new(),
            hinted: None,
        }
    }

    /// Takes bytes that came over the line, however they are cut.
    pub fn feed<S: KeypadStore>(&mut self, store: &mut S, mut bytes: &[u8], now_ms: u64) {
        while let Some(frame) = self.decoder.next(&mut bytes) {
            let (kind, session, tag) = (frame.kind, frame.session, frame.tag);
            if kind & FROM_KEYPAD != 0 {
                continue;
            }
            let mut message = Message::blank();
            let answer = match message.read(kind, frame.payload) {
                Ok(()) => self.answer(store, &message, session, now_ms),
                Err(Reason::UnknownMessage) if kind & IGNORABLE != 0 => continue,
                Err(reason) => Some(Answer::Refused(kind, reason)),
            };
            if let Some(answer) = answer {
                // A full queue drops it; the host asks again.
                let _ = self.answers.push_back((session, tag, answer));
            }
        }
    }

    /// The next bytes to send, if there are any now.
    pub fn poll_transmit<'b, S: KeypadStore>(
        &mut self,
        store: &mut S,
        buffer: &'b mut [u8; MAX_WIRE],
        now_ms: u64,
    ) -> Option<&'b [u8]> {
        if let Some((session, tag, answer)) = self.answers.pop_front() {
            return Some(self.message(store, answer, now_ms).answer_to_wire(session, tag, buffer));
        }
        if self.hint_due(store)? > now_ms {
            return None;
        }
        let (next, boot) = (store.next(), store.boot());
        self.hinted = Some((now_ms, next));
        let status = Status { unsynced: unsynced(store), next, boot, ticks: now_ms as u32 };
        let session = self.current(store).map_or(0, |session| session.id);
        Some(Message::Status(status).answer_to_wire(session, 0, buffer))
    }

    /// When [`KeypadSession::poll_transmit`] next has something to send, if nothing comes in before and no record is
    /// added; may lie in the past.
    pub fn next_deadline<S: KeypadStore>(&self, store: &S, now_ms: u64) -> Option<u64> {
        if self.answers.is_empty() { self.hint_due(store) } else { Some(now_ms) }
    }

    /// Whether a console was heard within the last [`PRESENT_MS`].
    pub fn console_present(&self, now_ms: u64) -> bool {
        self.session.is_some_and(|session| now_ms.saturating_sub(session.heard_ms) <= PRESENT_MS)
    }

    /// The console's wall time in milliseconds since 1970-01-01 UTC, as it told it, carried on. For showing only:
    /// records are dated on the host.
    pub fn utc_ms(&self, now_ms: u64) -> Option<i64> {
        let (utc_ms, told_ms) = self.session?.clock;
        utc_ms.checked_add_unsigned(now_ms.saturating_sub(told_ms))
    }

    /// The same once each time the console tells it: what a clock is set by.
    pub fn take_told_utc_ms(&mut self, now_ms: u64) -> Option<i64> {
        if core::mem::take(&mut self.told_time) { self.utc_ms(now_ms) } else { None }
    }

    /// How many runs of bytes were no frame.
    pub const fn dropped(&self) -> u32 {
        self.decoder.dropped()
    }

    /// The session, unless the journal has changed since it began.
    fn current<S: KeypadStore>(&self, store: &S) -> Option<Session> {
        self.session.filter(|session| session.journal == store.journal())
    }

    fn hint_due<S: KeypadStore>(&self, store: &S) -> Option<u64> {
        let Some((sent_ms, told)) = self.hinted else { return Some(0) };
        if told != store.next() {
            return Some(sent_ms + STATUS_LEAST_MS);
        }
        let wanted = self.current(store).is_none() || unsynced(store) > 0;
        wanted.then_some(sent_ms + STATUS_MS)
    }

    fn answer<S: KeypadStore>(
        &mut self,
        store: &mut S,
        message: &Message,
        id: u16,
        now_ms: u64,
    ) -> Option<Answer> {
        let refused = |reason| Some(Answer::Refused(message.kind(), reason));
        match message {
            Message::Hello(hello) => return Some(self.greet(store, *hello, id, now_ms)),
            Message::HostNak(_) => return None,
            _ => {}
        }
        if self.current(store).is_none_or(|session| session.id != id) {
            return refused(Reason::NoSession);
        }
        if let Some(session) = &mut self.session {
            session.heard_ms = now_ms;
        }
        match message {
            Message::Pull(pull) if (1..=store.next()).contains(&pull.from) => {
                Some(Answer::Records { from: pull.from })
            }
            Message::Pull(_) => refused(Reason::Range),
            Message::Ack(ack) => match acknowledge(store, *ack) {
                Ok(()) => Some(Answer::Acknowledged),
                Err(reason) => refused(reason),
            },
            Message::Time(time) => {
                if let Some(session) = &mut self.session {
                    session.clock = (time.utc_ms, now_ms);
                }
                self.told_time = true;
                Some(Answer::Clock)
            }
            Message::CardPart(piece) => match self.take_piece(store, piece) {
                Ok(()) => Some(Answer::Stored(CardStored {
                    job: piece.job,
                    revision: piece.revision,
                    part: piece.part,
                })),
                Err(reason) => refused(reason),
            },
            Message::CardDrop(card) => {
                self.joiner.forget();
                match store.drop_card(card.job) {
                    Ok(()) => Some(Answer::Dropped(CardDropped { job: card.job })),
                    Err(error) => refused(error.into()),
                }
            }
            Message::CardList(list) => Some(Answer::Held { from: list.from }),
            Message::Station(station) => match store.store_station(station) {
                Ok(()) => Some(Answer::Station),
                Err(error) => refused(error.into()),
            },
            _ => None,
        }
    }

    fn greet<S: KeypadStore>(&mut self, store: &S, hello: Hello, id: u16, now_ms: u64) -> Answer {
        let [lowest, highest] = PROTOCOLS;
        if hello.lowest > highest || hello.highest < lowest || id == 0 {
            let reason = if id == 0 { Reason::NoSession } else { Reason::Protocol };
            return Answer::Refused(Message::Hello(hello).kind(), reason);
        }
        self.joiner.forget();
        self.told_time = true;
        self.session =
            Some(Session { id, journal: store.journal(), heard_ms: now_ms, clock: (hello.utc_ms, now_ms) });
        Answer::Greeting { protocol: hello.highest.min(highest) }
    }

    #[inline(never)]
    fn take_piece<S: KeypadStore>(&mut self, store: &mut S, piece: &CardPart) -> Result<(), Reason> {
        match self.joiner.take(piece) {
            Joined::Part | Joined::Closed => Ok(()),
            Joined::OutOfOrder => Err(Reason::CardOrder),
            Joined::Malformed => Err(Reason::Malformed),
            Joined::Whole => {
                let card = CardKept::decode(self.joiner.bytes()).map_err(|_| Reason::Malformed)?;
                if card.job != piece.job || card.revision != piece.revision {
                    return Err(Reason::Malformed);
                }
                store.store_card(card, self.joiner.bytes())?;
                self.joiner.close();
                Ok(())
            }
        }
    }

    fn message<S: KeypadStore>(&self, store: &mut S, answer: Answer, now_ms: u64) -> Message {
        let ticks = now_ms as u32;
        match answer {
            Answer::Greeting { protocol } => Message::HelloAck(HelloAck {
                protocol,
                journal: store.journal(),
                boot: store.boot(),
                ticks,
                oldest: store.oldest(),
                next: store.next(),
                acknowledged: store.acknowledged(),
                name: self.name.clone(),
                card_slots: store.card_slots(),
                firmware: shortened(self.firmware),
                station: store.station(),
            }),
            Answer::Records { from } => Message::Batch(batch(store, from)),
            Answer::Acknowledged => Message::Acked(Acked { acknowledged: store.acknowledged() }),
            Answer::Clock => Message::TimeAck(TimeAck { boot: store.boot(), ticks }),
            Answer::Stored(stored) => Message::CardStored(stored),
            Answer::Station => Message::StationStored(StationStored { revision: store.station() }),
            Answer::Dropped(dropped) => Message::CardDropped(dropped),
            Answer::Held { from } => Message::CardsHeld(held(store, from)),
            Answer::Refused(of, reason) => {
                let [lowest, highest] = PROTOCOLS;
                Message::Nak(Nak { of, reason, lowest, highest })
            }
        }
    }
}

fn shortened(text: &str) -> String<NAME_BYTES> {
    let mut short = String::new();
    for letter in text.chars() {
        if short.push(letter).is_err() {
            break;
        }
    }
    short
}
