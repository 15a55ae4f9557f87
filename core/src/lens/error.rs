//! What may be wrong with a curve or with a lens.

use super::Place;
use crate::prescription::VergenceError;
use crate::units::{Length, OutOfRange, Power, RefractiveIndex};
use core::fmt;

/// A curve that cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum CurveError {
    /// A material of index 1 bends no light: no radius gives it power.
    Air,
    /// A flat surface has no radius.
    Flat,
    /// A surface without a radius has no power.
    Point,
    /// The power is beyond ±100 D.
    Power(OutOfRange),
    /// The curve ends before it is as far from its axis.
    Beyond {
        /// The distance from the axis that was asked for.
        at: Length,
        /// The radius of the curve, to the nearest µm.
        radius: Length,
    },
}

impl fmt::Display for CurveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Air => f.write_str("a material of index 1 bends no light; a lens material has about 1.5"),
            Self::Flat => f.write_str("a surface of 0.00 D is flat and has no radius"),
            Self::Point => f.write_str("a radius of 0 mm makes no surface"),
            Self::Power(_) => write!(f, "a surface power lies within ±{} D", Power::LIMIT / 1000),
            Self::Beyond { at, radius } => {
                write!(f, "a curve of radius {radius} mm does not reach {at} mm from its axis")
            }
        }
    }
}

impl core::error::Error for CurveError {}

/// Which surface of a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The front, away from the eye.
    Front,
    /// The back, toward the eye.
    Back,
}

/// A lens that cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum LensError {
    /// The index is 1.
    Index(RefractiveIndex),
    /// A power is beyond ±100 D.
    Power(OutOfRange),
    /// The centre thickness is not above 0 and up to [`LensForm::THICKEST`](super::LensForm::THICKEST).
    Centre(Length),
    /// The front surface focuses within the lens, or the back surface would be beyond ±100 D.
    Vergence(VergenceError),
    /// A place more than [`Place::FARTHEST`] from the optical centre, across or up.
    Far(Place),
    /// A surface ends before it reaches the place.
    Beyond {
        /// Which surface.
        side: Side,
        /// The place.
        place: Place,
    },
    /// No centre thickness gives the edge that was asked for.
    NoCentre {
        /// The edge asked for.
        edge: Length,
        /// The thickness there of a lens that has no glass in its middle, where it could be worked out.
        least: Option<Length>,
    },
    /// An outline of fewer than three points, or without area.
    Outline {
        /// How many points it has.
        points: usize,
    },
    /// The surfaces meet before the outline: no lens of this centre thickness is as large.
    SurfacesMeet {
        /// Where the lens would be thinnest.
        place: Place,
        /// What is left there, zero or less.
        thickness: Length,
    },
}

impl fmt::Display for LensError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Index(_) => CurveError::Air.fmt(f),
            Self::Power(error) => CurveError::Power(*error).fmt(f),
            Self::Centre(centre) => write!(
                f,
                "a centre thickness of {centre} mm makes no lens; above 0 and up to {} mm",
                super::LensForm::THICKEST
            ),
            Self::Vergence(error) => error.fmt(f),
            Self::Far(place) => write!(
                f,
                "{place} from the optical centre lies outside any lens; up to ±{} mm",
                Place::FARTHEST
            ),
            Self::Beyond { side, place } => {
                let side = if *side == Side::Front { "front" } else { "back" };
                write!(f, "the {side} surface is too steep to reach {place} from the optical centre")
            }
            Self::NoCentre { edge, least: Some(least) } if edge <= least => {
                write!(f, "an edge of {edge} mm leaves no glass in the middle; above {least} mm")
            }
            Self::NoCentre { edge, .. } => {
                write!(f, "no centre up to {} mm gives an edge of {edge} mm there", super::LensForm::THICKEST)
            }
            Self::Outline { points } => write!(f, "an outline of {points} points has no area"),
            Self::SurfacesMeet { place, thickness } => write!(
                f,
                "the surfaces meet before {place} from the optical centre ({thickness} mm there); a thicker centre \
                 is needed"
            ),
        }
    }
}

impl core::error::Error for LensError {}

impl From<VergenceError> for LensError {
    fn from(error: VergenceError) -> Self {
        Self::Vergence(error)
    }
}

impl From<OutOfRange> for LensError {
    fn from(error: OutOfRange) -> Self {
        Self::Power(error)
    }
}
