//! What the keypad needs to know of a job.

use super::payload::PART_BYTES;
use super::text::plain;
use crate::bytes::{Reader, Take, coded, put};
use crate::frame::PupillaryDistance;
use crate::prescription::{EyeOrder, SphereCylinder};
use crate::record::{JobId, JobState, PairId, Progress};
use crate::sizing::{Advice, Rim};
use crate::tolerance::{Design, Limits, PairOrder, Thinning};
use crate::units::Length;
use heapless::string::StringView;
use heapless::{String, Vec};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The most bytes of a label: the frame's model and size.
pub const LABEL_BYTES: usize = 24;
/// The most bytes of a tray's name.
pub const TRAY_BYTES: usize = 8;
/// The most jobs of a bench that a card names as filed under its own.
pub const FILED: usize = 2;
/// The first byte of an encoded card: the shape of what follows. A card of another shape is not read.
pub const CARD_FORMAT: u8 = 4;
/// No encoded card is longer, in bytes, its format included.
pub const MAX_CARD: usize = 1 + Card::POSTCARD_MAX_SIZE;
/// What a keypad's memory may count on, in bytes: five pieces.
pub const CARD_BOUND: usize = 5 * PART_BYTES;

/// A card that is made anew leaves out no record of the keypad that so many later ones follow: twice as many pages of a
/// journal are enough to go on while a console is there, since nothing that is laid over a card is overwritten.
pub const LEFT_OUT: u32 = 64;

const _: () = assert!(MAX_CARD <= CARD_BOUND);

coded! {
    /// One job as the keypad knows it. It holds no person's name.
    #[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    pub struct Card {
        /// The job.
        pub job: JobId,
        /// Its number for people; 0 where it has no order.
        pub number: u32,
        /// Counts up whenever the host changes the card.
        pub revision: u32,
        /// The frame: model and size.
        pub label: String<LABEL_BYTES>,
        /// The tray it lies in; empty when that is not known.
        pub tray: String<TRAY_BYTES>,
        /// Whether it is to be put away: the record that opened it at a bench does not hold.
        pub gone: bool,
        /// The day on which it is due, in days from 2000-01-01.
        pub due: Option<u16>,
        /// How far its work has come, the keypad's own records behind `includes_upto` among it.
        pub progress: Progress,
        /// What a focimeter is to show of each lens, right and left: what is ordered, or the supplier's power to verify in
        /// its place.
        pub eyes: [EyeOrder; 2],
        /// The ordered power, where `eyes` has the supplier's.
        pub prescribed: [Option<SphereCylinder>; 2],
        /// Base down in both lenses beside the prism in `eyes`, to thin a progressive.
        pub thinning: Thinning,
        /// The ordered centres.
        pub pd: PupillaryDistance,
        /// The ordered segment or fitting heights, right and left.
        pub heights: Option<[Length; 2]>,
        /// What holds the lens.
        pub rim: Rim,
        /// Single vision, multifocal or progressive.
        pub design: Design,
        /// Jobs that were opened at a bench and belong to this one; the latest, where there are more.
        pub filed: Vec<JobId, FILED>,
        /// What everything ordered may be off, by what the console judges this job by; none where nothing is ordered.
        pub limits: Option<Limits>,
        /// How big the book tells to cut; none where it tells nothing of the frame.
        pub advice: Option<Advice>,
        /// `state` includes the keypad's own journal up to this number; 0 is none of it.
        pub includes_upto: u32,
        /// What is known of the job's work.
        pub state: JobState,
    }
}

/// What a list of jobs rests on of a card: of its first fields, those that it shows, and what is filed there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardHeading {
    /// Its number for people.
    pub number: u32,
    /// The frame: model and size.
    pub label: String<LABEL_BYTES>,
    /// The tray it lies in; empty when that is not known.
    pub tray: String<TRAY_BYTES>,
    /// Whether it is to be put away.
    pub gone: bool,
    /// The day on which it is due, in days from 2000-01-01.
    pub due: Option<u16>,
    /// How far its work has come.
    pub progress: Progress,
    /// Jobs that were opened at a bench and belong to this one.
    pub filed: Vec<JobId, FILED>,
}

/// What a memory minds of a card beside its bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct CardKept {
    /// Its job.
    pub job: JobId,
    /// Its revision.
    pub revision: u32,
    /// Its state includes the keypad's own journal up to this number.
    pub includes_upto: u32,
}

/// Bytes that are no card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum CardError {
    /// Its first byte is not [`CARD_FORMAT`].
    #[error("a card of format {0}; this version reads {CARD_FORMAT}")]
    Format(u8),
    /// The rest does not have the shape of a card.
    #[error("the bytes do not have the shape of a card")]
    Malformed,
    /// The state in it is of another job.
    #[error("the card and the state in it are of different jobs")]
    OtherJob,
}

impl Card {
    /// A job of which nothing is known: plano lenses, no PD, nothing advised, nothing done.
    pub const fn blank(job: JobId) -> Self {
        Self {
            job,
            number: 0,
            revision: 0,
            label: String::new(),
            tray: String::new(),
            gone: false,
            due: None,
            progress: Progress::NotBegun,
            eyes: [EyeOrder::single_vision(SphereCylinder::PLANO); 2],
            prescribed: [None; 2],
            thinning: Thinning::NONE,
            pd: PupillaryDistance::Binocular(Length::ZERO),
            heights: None,
            rim: Rim::Metal,
            design: Design::SingleVision,
            limits: None,
            advice: None,
            filed: Vec::new(),
            includes_upto: 0,
            state: JobState::new(PairId::first(job)),
        }
    }

    /// What is ordered for the pair.
    pub const fn order(&self) -> PairOrder {
        PairOrder { eyes: self.eyes, pd: self.pd, segment_heights: self.heights, thinning: self.thinning }
    }

    /// Its bytes. Every card fits; nothing comes back only if that were not so.
    pub fn encode(&self) -> Vec<u8, MAX_CARD> {
        let mut bytes = Vec::new();
        if bytes.resize_default(MAX_CARD).is_err() {
            return Vec::new();
        }
        bytes[0] = CARD_FORMAT;
        let used = put(self, &mut bytes[1..]).map_or(0, |fields| 1 + fields.len());
        bytes.truncate(used);
        bytes
    }

    /// Reads a card; of its texts letters alone are left ([`plain`]).
    ///
    /// # Errors
    /// The bytes are of another format, do not have its shape, or hold two jobs.
    pub fn decode(bytes: &[u8]) -> Result<Self, CardError> {
        let mut card = Self::blank(JobId(0));
        card.decode_into(bytes)?;
        Ok(card)
    }

    /// As [`Card::decode`], in place; after an error nothing in it holds.
    ///
    /// # Errors
    /// As [`Card::decode`].
    pub fn decode_into(&mut self, bytes: &[u8]) -> Result<(), CardError> {
        let mut from = fields(bytes)?;
        self.take_from(&mut from);
        if !from.is_good() {
            return Err(CardError::Malformed);
        }
        make_plain(&mut self.label);
        make_plain(&mut self.tray);
        if let Some(limits) = &mut self.limits {
            make_plain(&mut limits.by);
        }
        if self.state.job() == self.job { Ok(()) } else { Err(CardError::OtherJob) }
    }
}

impl CardHeading {
    /// Reads the first fields of a card and does not look at its work; of its texts letters alone are left ([`plain`]).
    ///
    /// # Errors
    /// The bytes are of another format, or do not begin as a card does.
    pub fn decode(bytes: &[u8]) -> Result<Self, CardError> {
        let mut from = fields(bytes)?;
        let from = &mut from;
        skip::<JobId>(from);
        let number = from.new_one();
        skip::<u32>(from);
        let (mut label, mut tray): (String<LABEL_BYTES>, String<TRAY_BYTES>) =
            (from.new_one(), from.new_one());
        make_plain(&mut label);
        make_plain(&mut tray);
        let (gone, due, progress) = (from.new_one(), from.new_one(), from.new_one());
        skip::<[EyeOrder; 2]>(from);
        skip::<[Option<SphereCylinder>; 2]>(from);
        skip::<(Thinning, PupillaryDistance)>(from);
        skip::<(Option<[Length; 2]>, Rim)>(from);
        skip::<Design>(from);
        let filed = from.new_one();
        let heading = Self { number, label, tray, gone, due, progress, filed };
        if from.is_good() { Ok(heading) } else { Err(CardError::Malformed) }
    }
}

impl CardKept {
    /// Reads a whole card and keeps of it what a memory minds. Apart, so that the card, which is larger than all else on a
    /// keypad's stack, is gone before it is written.
    ///
    /// # Errors
    /// As [`Card::decode`].
    #[inline(never)]
    pub fn decode(bytes: &[u8]) -> Result<Self, CardError> {
        let mut card = Card::blank(JobId(0));
        card.decode_into(bytes)?;
        let Card { job, revision, includes_upto, .. } = card;
        Ok(Self { job, revision, includes_upto })
    }
}

/// The fields behind the format.
fn fields(bytes: &[u8]) -> Result<Reader<'_>, CardError> {
    let (format, fields) = bytes.split_first().ok_or(CardError::Malformed)?;
    if *format != CARD_FORMAT {
        return Err(CardError::Format(*format));
    }
    Ok(Reader::new(fields))
}

/// Leaves of a card's text the letters that are shown ([`plain`]).
fn make_plain(text: &mut StringView) {
    let mut shown = String::<LABEL_BYTES>::new();
    for letter in plain(text) {
        // A space takes no more room than what it stands for.
        let _ = shown.push(letter);
    }
    text.clear();
    let _ = text.push_str(&shown);
}

// No text of a card is longer.
const _: () = assert!(TRAY_BYTES <= LABEL_BYTES && Limits::NAME <= LABEL_BYTES);

/// Passes over a field.
fn skip<T: Take>(from: &mut Reader<'_>) {
    from.new_one::<T>();
}

#[cfg(test)]
mod tests {
    use super::super::tests::sample::card;
    use super::*;

    #[test]
    fn a_card_survives_its_bytes() {
        let card = card(1, 7);
        let bytes = card.encode();
        let Card { number, label, tray, gone, due, progress, filed, .. } = card.clone();
        let heading = CardHeading { number, label, tray, gone, due, progress, filed };
        assert_eq!(CardHeading::decode(&bytes), Ok(heading));
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
        bytes[0] = 1;
        assert_eq!(Card::decode(&bytes), Err(CardError::Format(1)));
    }

    #[test]
    fn a_card_is_of_one_job_and_steers_no_display() {
        let mut mixed = card(1, 7);
        mixed.job = JobId(99);
        assert_eq!(Card::decode(&mixed.encode()), Err(CardError::OtherJob));
        let mut rude = card(1, 7);
        rude.tray = "\x1b[2J".try_into().unwrap();
        assert_eq!(Card::decode(&rude.encode()).unwrap().tray, " [2J");
    }
}
