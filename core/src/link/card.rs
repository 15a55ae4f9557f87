//! What the keypad needs to know of a job.

use super::payload::PART_BYTES;
use super::text::printable;
use crate::frame::PupillaryDistance;
use crate::prescription::EyeOrder;
use crate::record::{JobId, JobState};
use crate::sizing::{Dial, Ladder, Rim};
use crate::tolerance::Design;
use crate::units::Length;
use core::fmt;
use heapless::{String, Vec};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The most bytes of a label: the frame's model and size.
pub const LABEL_BYTES: usize = 24;
/// The most bytes of a tray's name.
pub const TRAY_BYTES: usize = 8;
/// The first byte of an encoded card: the shape of what follows. A card of another shape is not read.
pub const CARD_FORMAT: u8 = 1;
/// No encoded card is longer, in bytes, its format included.
pub const MAX_CARD: usize = 1 + Card::POSTCARD_MAX_SIZE;
/// What a keypad's memory may count on, in bytes: five pieces.
pub const CARD_BOUND: usize = 5 * PART_BYTES;

const _: () = assert!(MAX_CARD <= CARD_BOUND);

/// One job as the keypad knows it. It holds no person's name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
pub struct Card {
    /// The job.
    pub job: JobId,
    /// Its number for people.
    pub number: u32,
    /// Counts up whenever the host changes the card.
    pub revision: u32,
    /// The frame: model and size.
    pub label: String<LABEL_BYTES>,
    /// The tray it lies in; empty when that is not known.
    pub tray: String<TRAY_BYTES>,
    /// What is ordered, right and left.
    pub eyes: [EyeOrder; 2],
    /// The ordered centres.
    pub pd: PupillaryDistance,
    /// The ordered segment or fitting heights, right and left.
    pub heights: Option<[Length; 2]>,
    /// What holds the lens.
    pub rim: Rim,
    /// Single vision, multifocal or progressive.
    pub design: Design,
    /// The station's dial, as last stated in the book.
    pub dial: Option<Dial>,
    /// The advised sizes for the eye that is sized first.
    pub ladder: Ladder,
    /// The advised sizes for the other eye, relative to the size at which the first one fitted.
    pub second: Ladder,
    /// `state` includes the keypad's own journal up to this number; 0 is none of it.
    pub includes_upto: u32,
    /// What is known of the job's work.
    pub state: JobState,
}

/// Bytes that are no card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum CardError {
    /// Its first byte is not [`CARD_FORMAT`].
    Format(u8),
    /// The rest does not have the shape of a card.
    Malformed,
    /// The state in it is of another job.
    OtherJob,
}

impl fmt::Display for CardError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Format(format) => write!(f, "a card of format {format}; this version reads {CARD_FORMAT}"),
            Self::Malformed => f.write_str("the bytes do not have the shape of a card"),
            Self::OtherJob => f.write_str("the card and the state in it are of different jobs"),
        }
    }
}

impl core::error::Error for CardError {}

impl Card {
    /// Its bytes. Every card fits; nothing comes back only if that were not so.
    #[must_use]
    pub fn encode(&self) -> Vec<u8, MAX_CARD> {
        let mut bytes = Vec::new();
        if bytes.resize_default(MAX_CARD).is_err() {
            return Vec::new();
        }
        bytes[0] = CARD_FORMAT;
        let used = postcard::to_slice(self, &mut bytes[1..]).map_or(0, |fields| 1 + fields.len());
        bytes.truncate(used);
        bytes
    }

    /// Reads a card; its texts are made [`printable`].
    ///
    /// # Errors
    /// The bytes are of another format, do not have its shape, or hold two jobs.
    pub fn decode(bytes: &[u8]) -> Result<Self, CardError> {
        let (format, fields) = bytes.split_first().ok_or(CardError::Malformed)?;
        if *format != CARD_FORMAT {
            return Err(CardError::Format(*format));
        }
        let mut card: Self = postcard::from_bytes(fields).map_err(|_| CardError::Malformed)?;
        if card.state.job() != card.job {
            return Err(CardError::OtherJob);
        }
        card.label = printable(&card.label);
        card.tray = printable(&card.tray);
        Ok(card)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::sample::card;
    use super::*;

    #[test]
    fn a_card_survives_its_bytes() {
        let card = card(1, 7);
        let bytes = card.encode();
        assert_eq!(Card::decode(&bytes), Ok(card));
        std::println!("a card in work takes {} of at most {MAX_CARD} bytes", bytes.len());
    }

    #[test]
    fn a_cut_card_and_another_format_are_refused() {
        let mut bytes = card(1, 7).encode();
        for end in 1..bytes.len() {
            assert_eq!(Card::decode(&bytes[..end]), Err(CardError::Malformed), "{end}");
        }
        assert_eq!(Card::decode(&[]), Err(CardError::Malformed));
        bytes[0] = 2;
        assert_eq!(Card::decode(&bytes), Err(CardError::Format(2)));
    }

    #[test]
    fn a_card_is_of_one_job_and_steers_no_display() {
        let mut mixed = card(1, 7);
        mixed.job = JobId(99);
        assert_eq!(Card::decode(&mixed.encode()), Err(CardError::OtherJob));
        let mut rude = card(1, 7);
        rude.tray = "\x1b[2J".try_into().unwrap();
        assert_eq!(Card::decode(&rude.encode()).unwrap().tray, "[2J");
    }
}
