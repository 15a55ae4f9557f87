//! The link between console and keypad: frames, messages, and the state machine of either end.
//!
//! Read it bottom up: [`frame`] finds frames in bytes, [`message`] lists the messages and their codes, [`payload`] says
//! what each holds, [`HostSession`] and [`KeypadSession`] are the two ends, and [`pump()`] joins an end to a byte stream.
//! Nothing here reads a clock or a port: bytes and times are arguments.
//!
//! **What moves.** The host pulls records, commits them, and only then acknowledges them; the keypad never frees a
//! record that was not acknowledged. The host sends [`Card`]s: what the keypad needs to know of a job, and no person's
//! name; and the [`Station`]: how sizes are counted, for every job. The keypad speaks unasked only in STATUS, and nothing in that is kept. Nothing on this link writes firmware
//! or begins a journal.
//!
//! **Requests may be repeated.** Each is idempotent and has one answer, found by session and tag. The host repeats a
//! request until it is answered; the keypad repeats nothing.
//!
//! **Sessions.** The host picks a number at hello, and either end passes over frames of another session: bytes for a
//! departed client, or from before a restart, say nothing now. A keypad that was started again knows no session, and
//! refuses until hello is said.
//!
//! **Order and loss.** Records have numbers. A batch answers for a range of them; a number in the range without a
//! record is lost, and the host notes a gap. A host that has more than the keypad ever wrote pulls nothing and says so.
//!
//! **Later versions.** HELLO offers a range of protocol versions, HELLO_ACK picks one. Fields are added at the end of
//! a message; a new message says in its code whether a reader may pass over it. Version 1 is not frozen yet.
//!
//! ```
//! use bevelbook_core::link::{Decoder, HostSession, MAX_WIRE, Message};
//! use bevelbook_core::record::JournalId;
//! let mut host = HostSession::new(JournalId(7), 1, 0, 0);
//! let mut buffer = [0; MAX_WIRE];
//! let hello = host.poll_transmit(&mut buffer, 0).unwrap_or_default();
//! // However the bytes come, with noise before them.
//! let mut decoder = Decoder::new();
//! let bytes: Vec<u8> = [0x55, 0xaa].iter().chain(hello).copied().collect();
//! let frame = decoder.next(&mut &bytes[..]).expect("a frame");
//! assert!(matches!(Message::decode(frame.kind, frame.payload), Ok(Message::Hello(_))));
//! // Without an answer it is said again, 250 ms later.
//! assert_eq!(host.next_deadline(0), Some(250));
//! ```

mod answers;
mod card;
mod checksum;
pub mod frame;
mod host;
mod keypad;
pub mod message;
mod nak;
mod parts;
pub mod payload;
mod pump;
mod records;
mod station;
mod store;
mod text;

pub use card::{
    CARD_BOUND, CARD_FORMAT, Card, CardError, CardHeading, CardKept, FILED, LABEL_BYTES, LEFT_OUT, MAX_CARD,
    TRAY_BYTES,
};
pub use checksum::Checksum;
pub use frame::{Decoder, Frame, MAX_WIRE};
pub use host::{
    CARD_QUEUE, CLOCK_MS, Event, HostSession, POLL_MS, QueueFull, RETRY_MOST_MS, RETRY_MS, TRIES,
};
pub use keypad::{KeypadSession, PRESENT_MS, STATUS_LEAST_MS, STATUS_MS};
pub use message::{Message, PROTOCOLS};
pub use nak::{Nak, Reason};
pub use parts::{CardJoiner, CardParts, Joined, MAX_PARTS};
pub use payload::{HeldCard, HelloAck, Status};
pub use pump::{End, PumpError, pump};
pub use records::{MAX_RUN_BYTES, RecordRun, Records};
pub use station::Station;
pub use store::{KeypadStore, StoreError};
pub use text::{plain, printable, steers};

#[cfg(test)]
mod tests;
