//! A point of a lens.

use crate::units::Length;

/// A point of a lens from its optical centre, as the wearer's nose and head lie.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct LensPoint {
    /// Toward the nose; negative is out.
    pub inward: Length,
    /// Up; negative is down.
    pub up: Length,
}

impl LensPoint {
    /// The optical centre itself.
    pub const OPTICAL_CENTRE: Self = Self { inward: Length::ZERO, up: Length::ZERO };
}
