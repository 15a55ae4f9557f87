//! Which eye.

use crate::bytes::coded;
use crate::units::words;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// The wearer's right or left eye.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Eye {
        /// The wearer's right eye, on the viewer's left.
        Right,
        /// The wearer's left eye.
        Left,
    }
}

impl Eye {
    /// Right first, as orders and records are written.
    pub const BOTH: [Self; 2] = [Self::Right, Self::Left];

    /// The other eye.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }

    /// Its place in an array that is ordered right, left.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Which way the wearer's nose lies for one who faces the wearer: +1 to the viewer's right (right eye),
    /// -1 to the left (left eye). Multiplies a distance or a base counted inward to count it to the viewer's
    /// right, the direction of 0° in ISO 8429, and back.
    pub const fn inward(self) -> i32 {
        match self {
            Self::Right => 1,
            Self::Left => -1,
        }
    }

    /// `R` or `L`.
    pub const fn letter(self) -> char {
        match self {
            Self::Right => 'R',
            Self::Left => 'L',
        }
    }
}

words! { Eye {
    Right => "right",
    Left => "left",
} }
