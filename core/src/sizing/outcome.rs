//! What the hand felt after a pass.

use crate::bytes::coded;
use crate::units::words;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// How the lens sat in the rim after a pass.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "kebab-case")]
    pub enum Outcome {
        /// A large step is still to go.
        #[serde(rename = "much-too-big", alias = "far-too-big")]
        FarTooBig,
        /// A small step is still to go.
        #[serde(rename = "touch-too-big", alias = "just-too-big")]
        JustTooBig,
        /// Seated and firm.
        Fits,
        /// Past the fit: the lens is undersize.
        Loose,
        /// Stopped early (power cut, lens slipped, machine stopped): the size is not known exactly.
        #[serde(rename = "stopped-early", alias = "abandoned")]
        Abandoned,
    }
}

words! {
    /// Every outcome, largest lens first.
    ALL Outcome {
        FarTooBig => "much too big",
        JustTooBig => "a touch too big",
        Fits => "fits",
        Loose => "loose",
        Abandoned => "stopped early",
    }
}
