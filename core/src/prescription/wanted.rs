//! What is wanted of an eye.

use crate::bytes::coded;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What is to be made for an eye.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "kebab-case")]
    pub enum Wanted {
        /// A lens of the ordered power.
        #[default]
        Lens,
        /// A balance lens: edged and fitted for looks and weight, its power not judged.
        Balance {
            /// Whether its power is told; else the power beside it says nothing.
            known: bool,
        },
        /// Nothing: the frame keeps the lens that it has there, or has none.
        Nothing {
            /// Whether the power of the lens that stays is told; else the power beside it says nothing.
            known: bool,
        },
    }
}

impl Wanted {
    /// What an order writes before the power beside it, or in its place.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lens => "",
            Self::Balance { .. } => "bal",
            Self::Nothing { known: true } => "none, old",
            Self::Nothing { known: false } => "none",
        }
    }

    /// Whether a lens is marked, edged and fitted.
    pub const fn is_made(self) -> bool {
        !matches!(self, Self::Nothing { .. })
    }

    /// Whether what is read of the lens is judged.
    pub const fn is_judged(self) -> bool {
        matches!(self, Self::Lens)
    }

    /// Whether the prism between this lens and the other one is judged: its power is known, and somebody looks through it.
    pub const fn is_paired(self) -> bool {
        matches!(self, Self::Lens | Self::Nothing { known: true })
    }

    /// Whether the power beside it is that of the lens in the frame.
    pub const fn power_is_known(self) -> bool {
        !matches!(self, Self::Balance { known: false } | Self::Nothing { known: false })
    }
}
