//! How the figures of a fact came about.
//!
//! A keypad shows each figure as it is to be, and one press accepts it. A figure that was accepted so says less than one
//! that was moved to where it was read: whoever looks at the record later should see which is which. It changes no
//! verdict.

use crate::bytes::coded;
use crate::prescription::Eye;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// What a keypad asks and shows as it is to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Asked {
    /// The power of a sphere line.
    Sphere,
    /// The power of a cylinder line.
    Cylinder,
    /// An axis.
    Axis,
    /// A prism; that there is none, too.
    Prism,
    /// An addition.
    Add,
    /// The PD across.
    Pd,
    /// The PD of one eye.
    Half(Eye),
    /// The height of one eye.
    Height(Eye),
    /// Whether what was looked at is good.
    Good,
}

impl Asked {
    /// Its bit among those of its own fact.
    pub(super) const fn bit(self) -> u8 {
        1 << match self {
            Self::Sphere | Self::Pd | Self::Good => 0,
            Self::Cylinder => 1,
            Self::Axis => 2,
            Self::Prism => 3,
            Self::Add => 4,
            Self::Half(eye) => eye as u8,
            Self::Height(eye) => 2 + eye as u8,
        }
    }
}

impl fmt::Display for Asked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sphere => f.write_str("sphere line"),
            Self::Cylinder => f.write_str("cylinder line"),
            Self::Axis => f.write_str("axis"),
            Self::Prism => f.write_str("prism"),
            Self::Add => f.write_str("add"),
            Self::Pd => f.write_str("PD"),
            Self::Half(eye) => write!(f, "PD {eye}"),
            Self::Height(eye) => write!(f, "height {eye}"),
            Self::Good => f.write_str("good"),
        }
    }
}

coded! {
    /// What of a fact was accepted as it stood there, where that was told.
    ///
    /// The highest bit says that it was told; the others are one of each [`Asked`], set as long as nobody has moved it. A bit
    /// of what the fact does not have means nothing.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(transparent)]
    pub struct Entered(u8);
}

impl Entered {
    /// Nothing was told of it: a record of an earlier version.
    pub const UNTOLD: Self = Self(0);
    /// Everything was read, or typed.
    pub const READ: Self = Self(0x80);
    /// Everything stands as it was preset.
    pub const PRESET: Self = Self(0xff);

    /// Somebody moved it. That counts as read, also when it is moved back.
    pub const fn moved(&mut self, asked: Asked) {
        self.0 &= !asked.bit();
    }

    /// Whether anything was told of it.
    pub const fn is_told(self) -> bool {
        self.0 & Self::READ.0 != 0
    }

    /// Whether this was accepted as it was preset.
    pub const fn was_preset(self, asked: Asked) -> bool {
        self.is_told() && self.0 & asked.bit() != 0
    }
}
