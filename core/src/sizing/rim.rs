//! What holds the lens in the frame.

use super::Outcome;
use crate::bytes::coded;
use crate::units::words;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// How a frame holds its lens.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Rim {
        /// A metal rim closed by a screw.
        Metal,
        /// A plastic rim that the lens is sprung into.
        Plastic,
        /// A nylon cord in a groove round the lens.
        Grooved,
        /// No rim: the lens is drilled.
        Rimless,
    }
}

impl Rim {
    /// Every kind, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Metal, Self::Plastic, Self::Grooved, Self::Rimless];

    /// Whether the lens must seat in a rim, so that its size teaches how this model runs. A grooved or drilled
    /// lens is cut to a shape instead.
    pub const fn closes_round_lens(self) -> bool {
        matches!(self, Self::Metal | Self::Plastic)
    }

    /// What holds the lens, in the words of a bench.
    pub const fn named(self) -> &'static str {
        match self {
            Self::Metal => "metal rim",
            Self::Plastic => "plastic rim",
            Self::Grooved => "nylon groove",
            Self::Rimless => "rimless",
        }
    }

    /// What the hand feels, in the words that suit this rim.
    pub const fn words(self, outcome: Outcome) -> &'static str {
        match (outcome, self) {
            (Outcome::FarTooBig, Self::Metal) => "rim nowhere near closing",
            (Outcome::JustTooBig, Self::Metal) => "rim almost closes",
            (Outcome::Fits, Self::Metal) => "rim closes, lens firm",
            (Outcome::Loose, Self::Metal) => "rim closes, lens turns",
            (Outcome::FarTooBig, Self::Plastic) => "will not enter the rim",
            (Outcome::JustTooBig, Self::Plastic) => "enters, stands proud",
            (Outcome::Fits, Self::Plastic) => "seated all round, firm",
            (Outcome::Loose, Self::Plastic) => "loose, lens rocks",
            (Outcome::FarTooBig, Self::Grooved | Self::Rimless) => "well over the shape",
            (Outcome::JustTooBig, Self::Grooved | Self::Rimless) => "just over the shape",
            (Outcome::Fits, Self::Grooved) => "matches the shape, cord taut",
            (Outcome::Fits, Self::Rimless) => "matches the shape",
            (Outcome::Loose, Self::Grooved) => "under the shape, cord slack",
            (Outcome::Loose, Self::Rimless) => "under the shape",
            (Outcome::Abandoned, _) => "stopped early, size unknown",
        }
    }
}

words! { Rim {
    Metal => "metal",
    Plastic => "plastic",
    Grooved => "grooved",
    Rimless => "rimless",
} }
