//! A record of the bench as it is kept and sent: in a keypad's memory, on the wire, and into the book.

use super::{Bench, DecodeError, JournalId, Logged, MAX_ENCODED, RecordId};
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// One record. Its data have their own length, so that a reader passes on a kind it does not know.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
pub struct Stored {
    /// Its number in the journal, from 1.
    pub seq: u32,
    /// The start of the writer in which it was written, from 1.
    pub boot: u32,
    /// Milliseconds since that start; wraps after 49.7 days.
    pub ticks: u32,
    /// The code of its kind ([`Bench::kind`]).
    pub kind: u8,
    /// Its fields ([`Bench::encode`]).
    pub data: Vec<u8, MAX_ENCODED>,
}

impl Stored {
    /// The fact it holds.
    ///
    /// # Errors
    /// This version does not know its kind, or its fields do not have the shape of it.
    pub fn fact(&self) -> Result<Bench, DecodeError> {
        Bench::decode(self.kind, &self.data)
    }

    /// The fact under its number in `journal`.
    ///
    /// # Errors
    /// As [`Stored::fact`].
    pub fn logged(&self, journal: JournalId) -> Result<Logged, DecodeError> {
        Ok(Logged { id: RecordId { journal, seq: self.seq }, fact: self.fact()? })
    }
}
