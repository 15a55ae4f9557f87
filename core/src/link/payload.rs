//! What each message says. Numbers are postcard's varints, texts and lists carry their length.

use super::{Nak, RecordRun};
use crate::bytes::coded;
use crate::record::{JobId, JournalId};
use heapless::{String, Vec};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The most bytes of a name or a firmware version.
pub const NAME_BYTES: usize = 16;
/// The most bytes of a card in one message.
pub const PART_BYTES: usize = 176;
/// The most cards that one [`CardsHeld`] lists.
pub const HELD_CARDS: usize = 14;

coded! {
    /// Host: begins a session, under the session number of its frame. Answered by [`HelloAck`].
    ///
    /// The first two fields stay as they are in every protocol version.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Hello {
        /// The lowest protocol version that the host speaks.
        pub lowest: u8,
        /// The highest.
        pub highest: u8,
        /// The journal of the console itself.
        pub journal: JournalId,
        /// The host's wall time, milliseconds since 1970-01-01 UTC.
        pub utc_ms: i64,
    }
}

/// Keypad: who it is and what it holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct HelloAck {
    /// The protocol version of this session.
    pub protocol: u8,
    /// The keypad's journal.
    pub journal: JournalId,
    /// How often it was started.
    pub boot: u32,
    /// Milliseconds since that boot; wraps after 49.7 days.
    pub ticks: u32,
    /// The number of the oldest record that can be read; `next` when there is none.
    pub oldest: u32,
    /// The number that the next record will get.
    pub next: u32,
    /// Every record up to this one was acknowledged; 0 is none.
    pub acknowledged: u32,
    /// What it is called.
    pub name: String<NAME_BYTES>,
    /// How many cards it holds at once.
    pub card_slots: u8,
    /// The version of its firmware.
    pub firmware: String<NAME_BYTES>,
    /// The revision of the [`Station`](super::Station) that it holds; 0 is none.
    pub station: u32,
}

coded! {
    /// Host: asks for the records from `from` on. Answered by [`Batch`].
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Pull {
        /// Number of the first record wanted, from 1 to the keypad's next.
        pub from: u32,
    }
}

/// Keypad: all records it can read in `from..through`. A number in that range without a record is lost.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
pub struct Batch {
    /// The keypad's journal.
    pub journal: JournalId,
    /// The number that was asked for.
    pub from: u32,
    /// One past the last number that this batch answers for.
    pub through: u32,
    /// The number that the next record will get: there is more when it is above `through`.
    pub next: u32,
    /// The records.
    pub records: RecordRun,
}

coded! {
    /// Host: has committed every record up to `upto`. Answered by [`Acked`]; valid only for
    /// `acknowledged <= upto < next`.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Ack {
        /// The keypad's journal.
        pub journal: JournalId,
        /// Number of the last record committed without one missing before it.
        pub upto: u32,
    }
}

/// Keypad: what is acknowledged now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Acked {
    /// Every record up to this one.
    pub acknowledged: u32,
}

coded! {
    /// Host: asks for the keypad's clock and tells its own. Answered by [`TimeAck`].
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Time {
        /// The host's wall time, milliseconds since 1970-01-01 UTC.
        pub utc_ms: i64,
    }
}

/// Keypad: its clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct TimeAck {
    /// How often it was started.
    pub boot: u32,
    /// Milliseconds since that boot; wraps after 49.7 days.
    pub ticks: u32,
}

coded! {
    /// Host: a piece of an encoded [`super::Card`], in order. Answered by [`CardStored`].
    #[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct CardPart {
        /// The job of the card.
        pub job: JobId,
        /// The revision of the card.
        pub revision: u32,
        /// Which piece, from 0.
        pub part: u8,
        /// How many there are.
        pub parts: u8,
        /// Its bytes; every piece but the last is full.
        pub data: Vec<u8, PART_BYTES>,
    }
}

/// Keypad: has taken a piece of a card. At the last one the whole card is stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct CardStored {
    /// The job of the card.
    pub job: JobId,
    /// The revision of the card.
    pub revision: u32,
    /// The piece.
    pub part: u8,
}

coded! {
    /// Host: a job leaves the keypad. Answered by [`CardDropped`].
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct CardDrop {
        /// The job.
        pub job: JobId,
    }
}

/// Keypad: holds no card of that job any more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct CardDropped {
    /// The job.
    pub job: JobId,
}

/// Keypad: has stored what it was told of the station.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct StationStored {
    /// The revision held now.
    pub revision: u32,
}

coded! {
    /// Host: asks which cards the keypad holds. Answered by [`CardsHeld`].
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct CardList {
        /// From which slot on.
        pub from: u8,
    }
}

/// A card that the keypad holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct HeldCard {
    /// Its job.
    pub job: JobId,
    /// Its revision.
    pub revision: u32,
}

/// Keypad: the cards in the slots `from..through`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct CardsHeld {
    /// The slot that was asked for.
    pub from: u8,
    /// One past the last slot that this answers for; the number of slots at the end.
    pub through: u8,
    /// The cards found there.
    pub held: Vec<HeldCard, HELD_CARDS>,
}

/// Keypad, unasked: a hint that records wait or that it was started again. Nothing in it is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Status {
    /// How many numbers are not acknowledged yet.
    pub unsynced: u32,
    /// The number that the next record will get.
    pub next: u32,
    /// How often it was started.
    pub boot: u32,
    /// Milliseconds since that boot; wraps after 49.7 days.
    pub ticks: u32,
}

coded! {
    /// Host: cannot do anything with what the keypad sent. Not answered.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct HostNak(pub Nak);
}
