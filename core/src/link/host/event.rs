//! What the host's end of the link tells its caller.

use crate::link::payload::{HELD_CARDS, HeldCard, HelloAck, Status};
use crate::link::{Reason, RecordRun};
use crate::record::{JobId, JournalId};
use heapless::Vec;

/// Something happened on the link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// A keypad answered. The caller looks up the last record it has of that journal and calls
    /// [`super::HostSession::resume`]; nothing else happens before.
    Connected(HelloAck),
    /// The keypad's clock beside the host's, whose reading is the middle of question and answer.
    Anchor {
        /// How often the keypad was started.
        boot: u32,
        /// Its milliseconds since then.
        ticks: u32,
        /// The host's wall time, milliseconds since 1970-01-01 UTC.
        utc_ms: i64,
        /// How far `utc_ms` may be off, either way, in milliseconds.
        within_ms: u32,
    },
    /// Records without one missing between them, the next ones of the journal. The caller commits them and then calls
    /// [`super::HostSession::committed`].
    Records {
        /// The keypad's journal.
        journal: JournalId,
        /// The records.
        records: RecordRun,
    },
    /// The keypad does not have these numbers: the records are lost, or were dropped after another console
    /// acknowledged them. The caller notes it, commits and then calls [`super::HostSession::committed`] with `to`.
    Gap {
        /// The keypad's journal.
        journal: JournalId,
        /// The first missing number.
        from: u32,
        /// The last missing number.
        to: u32,
    },
    /// The host has more of this journal than the keypad ever wrote: its memory was put back. Nothing is pulled.
    RolledBack {
        /// The keypad's journal.
        journal: JournalId,
        /// The last record that the host has.
        last: u32,
        /// The number that the keypad would give to its next record.
        next: u32,
    },
    /// The keypad may reuse the room of every record up to `upto`.
    Acknowledged {
        /// The keypad's journal.
        journal: JournalId,
        /// The last one.
        upto: u32,
    },
    /// The keypad holds this card.
    CardStored {
        /// The job.
        job: JobId,
        /// The card's revision.
        revision: u32,
    },
    /// The keypad holds no card of this job any more.
    CardDropped {
        /// The job.
        job: JobId,
    },
    /// The keypad did not take a card, or did not drop it. It is not tried again.
    CardRefused {
        /// The job.
        job: JobId,
        /// Why.
        reason: Reason,
    },
    /// The keypad holds this revision of the [`Station`](crate::link::Station).
    StationStored {
        /// Its revision.
        revision: u32,
    },
    /// Some of the cards that the keypad holds, in answer to [`super::HostSession::list_cards`].
    CardsHeld {
        /// The cards.
        held: Vec<HeldCard, HELD_CARDS>,
        /// More will follow.
        more: bool,
    },
    /// The keypad's own hint.
    Status(Status),
    /// The keypad speaks other protocol versions. Tried again every 4 s, told once.
    Refused {
        /// The lowest version that it speaks.
        lowest: u8,
        /// The highest.
        highest: u8,
    },
    /// The keypad refused some other request; the session is begun again where that can help.
    Nak {
        /// The code of the request.
        of: u8,
        /// Why.
        reason: Reason,
    },
    /// No answer to four tries. Trying goes on; [`Event::Connected`] follows when the keypad is back.
    Lost,
}
