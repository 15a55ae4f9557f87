//! What is judged, whose it is, in which unit, and how it came to be comparable.

use crate::bytes::coded;
use crate::prescription::Eye;
use crate::units::words;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// Whose quantity it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Subject {
    /// One lens.
    Eye(Eye),
    /// The mounted pair.
    Pair,
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Eye(eye) => eye.fmt(f),
            Self::Pair => f.pad("pair"),
        }
    }
}

/// What is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Quantity {
    /// Power along the axis: the sphere of the minus-cylinder form, D.
    Power,
    /// Power across the axis: sphere and cylinder of the minus-cylinder form together, D.
    PowerAcross,
    /// Cylinder of the minus-cylinder form, D.
    Cylinder,
    /// Axis of the minus-cylinder form, degrees.
    Axis,
    /// Addition, D.
    Add,
    /// Size of the prism at the reference point of an uncut lens, Δ. The deviation is the size of the
    /// difference, in any direction, rounded up.
    PrismAtReference,
    /// How far the reference point of an uncut lens is from its place, mm.
    ReferencePlace,
    /// Base up of the right eye less that of the left, Δ.
    Vertical,
    /// Base in of both eyes together, Δ.
    Horizontal,
    /// Base up of one eye, Δ.
    VerticalOfEye,
    /// Base in of one eye, Δ.
    HorizontalOfEye,
    /// PD of the pair, or of one eye, mm.
    Pd,
    /// Height of the segment or of the fitting cross, mm; for the pair the right height less the left.
    SegmentHeight,
    /// Distance between the segments, in total, mm.
    SegmentPlace,
    /// Tilt of a segment, degrees.
    SegmentTilt,
    /// Centre thickness, mm.
    Thickness,
}

impl Quantity {
    /// The unit of its values.
    pub const fn unit(self) -> Unit {
        self.facts().1
    }

    const fn facts(self) -> (&'static str, Unit) {
        use Unit::{Degree, Dioptre, Millimetre, PrismDioptre};
        match self {
            Self::Power => ("power", Dioptre),
            Self::PowerAcross => ("power across the axis", Dioptre),
            Self::Cylinder => ("cylinder", Dioptre),
            Self::Axis => ("axis", Degree),
            Self::Add => ("addition", Dioptre),
            Self::PrismAtReference => ("prism at the reference point", PrismDioptre),
            Self::ReferencePlace => ("place of the reference point", Millimetre),
            Self::Vertical => ("vertical prism of the pair", PrismDioptre),
            Self::Horizontal => ("horizontal prism of the pair", PrismDioptre),
            Self::VerticalOfEye => ("vertical prism", PrismDioptre),
            Self::HorizontalOfEye => ("horizontal prism", PrismDioptre),
            Self::Pd => ("PD", Millimetre),
            Self::SegmentHeight => ("segment height", Millimetre),
            Self::SegmentPlace => ("distance between the segments", Millimetre),
            Self::SegmentTilt => ("tilt of the segment", Degree),
            Self::Thickness => ("centre thickness", Millimetre),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.facts().0)
    }
}

/// The unit that a finding's values are thousandths of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Unit {
    /// D
    Dioptre,
    /// Δ
    PrismDioptre,
    /// °
    Degree,
    /// mm
    Millimetre,
}

impl Unit {
    /// How it is written behind a number.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Dioptre => "D",
            Self::PrismDioptre => "Δ",
            Self::Degree => "°",
            Self::Millimetre => "mm",
        }
    }
}

coded! {
    /// How the measured value and its limit came to be comparable.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub enum Basis {
        /// Both as they stand.
        AsRead,
        /// The prism was not read but follows from the PD: deviation × the strongest horizontal power by Prentice's
        /// rule, the worst case, rounded up to 1/1000 Δ.
        PrismFromPd,
        /// The rule limits a shift; its limit is shown as the prism that this shift makes in the stronger lens, by
        /// Prentice's rule.
        ShiftAsPrism,
        /// The thinning that was taken off is only assumed, and another one would explain what was read.
        ThinningAssumed,
    }
}

words! { Basis {
    AsRead => "as read",
    PrismFromPd => "worst case, from the PD by Prentice's rule",
    ShiftAsPrism => "limit as prism in the stronger lens, by Prentice's rule",
    ThinningAssumed => "the thinning is assumed, not ordered",
} }

coded! {
    /// When a lens was read.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Stage {
        /// Before it was blocked.
        Uncut,
        /// In the frame.
        Mounted,
    }
}
