//! What has to be read before a verdict can be given.

use crate::prescription::Eye;
use core::fmt;

/// Something that has to be read before a verdict can be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Missing {
    /// The power of the lens.
    Power(Eye),
    /// The axis: a cylinder is ordered and none was read, though its size is within.
    Axis(Eye),
    /// The addition.
    Add(Eye),
    /// The prism at the reference point of the uncut lens.
    ReferencePrism(Eye),
    /// How far the reference point is from its place: the prism alone does not pass.
    ReferencePlace(Eye),
    /// The prism at the ordered PD mark of the mounted lens.
    Prism(Eye),
    /// The PD of the pair.
    Pd,
    /// The monocular PDs, ordered and measured: one figure for both eyes does not do here.
    MonocularPd,
    /// The height of the segment or of the fitting cross.
    SegmentHeight(Eye),
}

impl Missing {
    /// The eye it belongs to; `None` for the pair.
    pub const fn eye(self) -> Option<Eye> {
        match self {
            Self::Power(eye)
            | Self::Axis(eye)
            | Self::Add(eye)
            | Self::ReferencePrism(eye)
            | Self::ReferencePlace(eye)
            | Self::Prism(eye)
            | Self::SegmentHeight(eye) => Some(eye),
            Self::Pd | Self::MonocularPd => None,
        }
    }
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Power(eye) => write!(f, "power of the {eye} lens"),
            Self::Axis(eye) => write!(f, "axis of the {eye} lens (a cylinder is ordered, none was read)"),
            Self::Add(eye) => write!(f, "addition of the {eye} lens"),
            Self::ReferencePrism(eye) => write!(f, "prism at the reference point of the {eye} lens"),
            Self::ReferencePlace(eye) => {
                write!(f, "place of the reference point of the {eye} lens (its prism alone does not pass)")
            }
            Self::Prism(eye) => write!(f, "prism at the PD mark of the {eye} lens"),
            Self::Pd => f.write_str("PD of the pair"),
            Self::MonocularPd => f.write_str("monocular PDs, ordered and measured"),
            Self::SegmentHeight(eye) => write!(f, "segment height of the {eye} lens"),
        }
    }
}
