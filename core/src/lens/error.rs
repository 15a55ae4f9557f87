//! What may be wrong with a curve or with a lens.

use super::Place;
use crate::prescription::VergenceError;
use crate::units::{Length, OutOfRange, Power, RefractiveIndex};
use core::fmt;

/// A curve that cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum CurveError {
    /// A material of index 1 bends no light: no radius gives it power.
    #[error("a material of index 1 bends no light; a lens material has about 1.5")]
    Air,
    /// A flat surface has no radius.
    #[error("a surface of 0.00 D is flat and has no radius")]
    Flat,
    /// A surface without a radius has no power.
    #[error("a radius of 0 mm makes no surface")]
    Point,
    /// The power is beyond ±100 D.
    #[error("a surface power lies within ±{} D", Power::LIMIT / 1000)]
    Power(OutOfRange),
    /// The curve ends before it is as far from its axis.
    #[error("a curve of radius {radius} mm does not reach {at} mm from its axis")]
    Beyond {
        /// The distance from the axis that was asked for.
        at: Length,
        /// The radius of the curve, to the nearest µm.
        radius: Length,
    },
}

/// Which surface of a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The front, away from the eye.
    Front,
    /// The back, toward the eye.
    Back,
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Front => "front",
            Self::Back => "back",
        })
    }
}

/// A lens that cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum LensError {
    /// The index is 1.
    #[error("{}", CurveError::Air)]
    Index(RefractiveIndex),
    /// A power is beyond ±100 D.
    #[error("{}", CurveError::Power(*.0))]
    Power(#[from] OutOfRange),
    /// The centre thickness is not above 0 and up to [`LensForm::THICKEST`](super::LensForm::THICKEST).
    #[error("a centre thickness of {0} mm makes no lens; above 0 and up to {most} mm", most = super::LensForm::THICKEST)]
    Centre(Length),
    /// The front surface focuses within the lens, or the back surface would be beyond ±100 D.
    #[error(transparent)]
    Vergence(#[from] VergenceError),
    /// A place more than [`Place::FARTHEST`] from the optical centre, across or up.
    #[error("{0} from the optical centre lies outside any lens; up to ±{most} mm", most = Place::FARTHEST)]
    Far(Place),
    /// A surface ends before it reaches the place.
    #[error("the {side} surface is too steep to reach {place} from the optical centre")]
    Beyond {
        /// Which surface.
        side: Side,
        /// The place.
        place: Place,
    },
    /// No centre thickness gives the edge that was asked for.
    #[error("no centre up to {most} mm gives an edge of {edge} mm there", most = super::LensForm::THICKEST)]
    NoCentre {
        /// The edge asked for.
        edge: Length,
    },
    /// The edge that was asked for is no thicker than a lens there that has no glass in its middle.
    #[error("an edge of {edge} mm leaves no glass in the middle; above {least} mm")]
    Hollow {
        /// The edge asked for.
        edge: Length,
        /// The thickness there of the lens without glass in its middle.
        least: Length,
    },
    /// An outline of fewer than three points, or without area.
    #[error("an outline of {points} points has no area")]
    Outline {
        /// How many points it has.
        points: usize,
    },
    /// The surfaces meet before the outline: no lens of this centre thickness is as large.
    #[error(
        "the surfaces meet before {place} from the optical centre ({thickness} mm there); a thicker centre is needed"
    )]
    SurfacesMeet {
        /// Where the lens would be thinnest.
        place: Place,
        /// What is left there, zero or less.
        thickness: Length,
    },
}
