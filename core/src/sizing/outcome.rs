//! What the hand felt after a pass.

use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// How the lens sat in the rim after a pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// A large step is still to go.
    FarTooBig,
    /// A small step is still to go.
    JustTooBig,
    /// Seated and firm.
    Fits,
    /// Past the fit: the lens is undersize.
    Loose,
    /// Broken off (power cut, lens slipped, machine stopped): the size is not known exactly.
    Abandoned,
}

impl Outcome {
    /// Every outcome, largest lens first.
    pub const ALL: [Self; 5] = [Self::FarTooBig, Self::JustTooBig, Self::Fits, Self::Loose, Self::Abandoned];
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::FarTooBig => "far too big",
            Self::JustTooBig => "just too big",
            Self::Fits => "fits",
            Self::Loose => "loose",
            Self::Abandoned => "abandoned",
        })
    }
}
