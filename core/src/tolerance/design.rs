//! What kind of lens is judged.

use crate::bytes::coded;
use crate::units::words;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What kind of lens is judged: its rows in the tables differ.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "kebab-case")]
    pub enum Design {
        /// One power.
        #[default]
        SingleVision,
        /// Segments: bifocal and trifocal.
        Multifocal,
        /// Power that grows toward near.
        Progressive,
    }
}

words! {
    /// Every design.
    ALL Design {
        SingleVision => "single vision",
        Multifocal => "multifocal",
        Progressive => "progressive",
    }
}
