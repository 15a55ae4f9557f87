//! How the station counts, how the shop goes down to a fit and along the line: what the console knows, for every job on a keypad.

use crate::bytes::{coded, put, taken};
use crate::record::Flow;
use crate::sizing::{Dial, Habit};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// Host: the station as the book has it. Answered by [`StationStored`](super::payload::StationStored).
    ///
    /// The newest statement of the dial wins, wherever it was made: what the keypad's own journal states behind
    /// `includes_upto` is newer than this.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Station {
        /// Counts up whenever the host changes it; from 1.
        pub revision: u32,
        /// It includes the keypad's own journal up to this number; 0 is none of it.
        pub includes_upto: u32,
        /// The dial, if anybody stated it.
        pub dial: Option<Dial>,
        /// The shop's first sizes and steps.
        pub habit: Habit,
        /// How the shop goes along the line.
        pub flow: Flow,
    }
}

impl Station {
    /// Its bytes, in `buffer`; none when they do not fit.
    pub fn encode<'b>(&self, buffer: &'b mut [u8]) -> Option<&'b [u8]> {
        put(self, buffer).ok()
    }

    /// Reads one; what lies behind it is passed over. None when the bytes do not have its shape.
    pub fn decode(bytes: &[u8]) -> Option<Self> {
        taken(bytes)
    }
}
