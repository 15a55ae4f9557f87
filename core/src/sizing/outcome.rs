//! What the hand felt after a pass.

use crate::units::words;
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

words! {
    /// Every outcome, largest lens first.
    ALL Outcome {
        FarTooBig => "far too big",
        JustTooBig => "just too big",
        Fits => "fits",
        Loose => "loose",
        Abandoned => "abandoned",
    }
}
