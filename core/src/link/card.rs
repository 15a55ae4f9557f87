//! What the keypad needs to know of a job.

use super::payload::PART_BYTES;
use super::text::printable;
use crate::frame::PupillaryDistance;
use crate::prescription::{EyeOrder, SphereCylinder};
use crate::record::{JobId, JobState, PairId, Progress};
use crate::sizing::{Advice, Rim};
use crate::tolerance::{Design, Limits, PairOrder, Thinning};
use crate::units::Length;
use heapless::{String, Vec};
use postcard::Deserializer;
use postcard::de_flavors::Slice;
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

const _: () = assert!(MAX_CARD <= CARD_BOUND);

/// One job as the keypad knows it. It holds no person's name.
///
/// It is read field by field into its place ([`Card::decode_into`]): a reader that made it whole and handed it up would
/// take four times its size of a keypad's stack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, MaxSize)]
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
        let used = postcard::to_slice(self, &mut bytes[1..]).map_or(0, |fields| 1 + fields.len());
        bytes.truncate(used);
        bytes
    }

    /// Reads a card; its texts are made [`printable`].
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
        let mut fields = fields(bytes)?;
        let from = &mut fields;
        // In the order in which `Serialize` writes them.
        self.job = next(from)?;
        self.number = next(from)?;
        self.revision = next(from)?;
        self.label = printable(&next(from)?);
        self.tray = printable(&next(from)?);
        self.gone = next(from)?;
        self.due = next(from)?;
        self.progress = next(from)?;
        self.eyes = next(from)?;
        self.prescribed = next(from)?;
        self.thinning = next(from)?;
        self.pd = next(from)?;
        self.heights = next(from)?;
        self.rim = next(from)?;
        self.design = next(from)?;
        self.filed = next(from)?;
        self.limits = next(from)?;
        if let Some(limits) = &mut self.limits {
            limits.by = printable(&limits.by);
        }
        self.advice = None;
        if next(from)? {
            self.advice = Some(Advice {
                basis: next(from)?,
                first: next(from)?,
                second: next(from)?,
                second_from_fit: next(from)?,
                lenses: next(from)?,
                fitted: next(from)?,
                tenths: next(from)?,
            });
        }
        self.includes_upto = next(from)?;
        self.state.pair = next(from)?;
        for lens in &mut self.state.lenses {
            *lens = next(from)?;
        }
        self.state.rims = next(from)?;
        self.state.centres = next(from)?;
        self.state.checks = next(from)?;
        if self.state.job() == self.job { Ok(()) } else { Err(CardError::OtherJob) }
    }
}

impl CardHeading {
    /// Reads the first fields of a card and does not look at its work; its texts are made [`printable`].
    ///
    /// # Errors
    /// The bytes are of another format, or do not begin as a card does.
    pub fn decode(bytes: &[u8]) -> Result<Self, CardError> {
        let mut from = fields(bytes)?;
        let _: JobId = next(&mut from)?;
        let number = next(&mut from)?;
        let _: u32 = next(&mut from)?;
        let (label, tray) = (printable(&next(&mut from)?), printable(&next(&mut from)?));
        let (gone, due, progress) = next(&mut from)?;
        let _: ([EyeOrder; 2], [Option<SphereCylinder>; 2], Thinning) = next(&mut from)?;
        let _: (PupillaryDistance, Option<[Length; 2]>, Rim, Design) = next(&mut from)?;
        Ok(Self { number, label, tray, gone, due, progress, filed: next(&mut from)? })
    }
}

/// The fields behind the format.
fn fields(bytes: &[u8]) -> Result<Deserializer<'_, Slice<'_>>, CardError> {
    let (format, fields) = bytes.split_first().ok_or(CardError::Malformed)?;
    if *format != CARD_FORMAT {
        return Err(CardError::Format(*format));
    }
    Ok(Deserializer::from_bytes(fields))
}

fn next<'b, T: Deserialize<'b>>(fields: &mut Deserializer<'b, Slice<'b>>) -> Result<T, CardError> {
    T::deserialize(fields).map_err(|_| CardError::Malformed)
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
