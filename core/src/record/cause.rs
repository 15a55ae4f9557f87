//! Why a lens is made again.

use super::LensId;
use crate::bytes::coded;
use crate::units::words;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// Why a lens is made again. Common practice, no source.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "kebab-case")]
    pub enum Cause {
        /// Cut too small.
        Undersize,
        /// The axis is off: the lens turned on its pad.
        Slipped,
        /// Marked or blocked on a wrong place.
        Centring,
        /// The lens supplied has a wrong power.
        Power,
        /// Right and left were taken for each other.
        Swapped,
        /// The order was copied wrongly.
        Transcription,
        /// Scratched, chipped or crazed.
        Damaged,
        /// The prescription was changed by its prescriber.
        Prescription,
        /// Anything else; a remark at the console says what.
        Other,
    }
}

words! {
    /// Every cause, in at most 18 letters: a line of a keypad's list.
    ALL Cause {
        Undersize => "cut too small",
        Slipped => "slipped on its pad",
        Centring => "decentred",
        Power => "wrong power",
        Swapped => "R/L swapped",
        Transcription => "order copied wrong",
        Damaged => "damaged",
        Prescription => "Rx was changed",
        Other => "other cause",
    }
}

impl Cause {
    /// What it is called in a record at the console, and where it is typed.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Undersize => "undersize",
            Self::Slipped => "slipped",
            Self::Centring => "centring",
            Self::Power => "power",
            Self::Swapped => "swapped",
            Self::Transcription => "transcription",
            Self::Damaged => "damaged",
            Self::Prescription => "prescription",
            Self::Other => "other",
        }
    }
}

coded! {
    /// Why a lens was spoiled, told at the bench. Who is charged is told at the console, which asks for what the bench did not
    /// tell. Apart from the record that goes on with the next lens, since that was written without a cause before.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Spoilage {
        /// The lens that is no more.
        pub lens: LensId,
        /// Why.
        pub cause: Cause,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cause_fits_a_line_of_a_list_and_no_two_are_called_alike() {
        for (place, cause) in Cause::ALL.into_iter().enumerate() {
            assert!(cause.words().len() <= 18, "{cause}");
            assert!(!Cause::ALL[..place].iter().any(|other| other.words() == cause.words()));
        }
    }
}
