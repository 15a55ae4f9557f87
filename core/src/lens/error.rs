//! What may be wrong with a lens.

use super::{CurveError, Place, Wedge};
use crate::prescription::VergenceError;
use crate::units::{Length, OutOfRange, RefractiveIndex, words};
use thiserror::Error;

/// The thickest centre that is taken.
pub(super) const THICKEST: Length = Length::from_milli(100_000);

/// Which surface of a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The front, away from the eye.
    Front,
    /// The back, toward the eye.
    Back,
}

words! { Side { Front => "front", Back => "back" } }

/// A lens that cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum LensError {
    /// The index is 1.
    #[error("{}", CurveError::Air)]
    Index(RefractiveIndex),
    /// A power is beyond ±100 D.
    #[error("{}", CurveError::Power(*.0))]
    Power(#[from] OutOfRange),
    /// The ray that the prism asks for does not leave the material, or a part of it is beyond ±100 Δ.
    #[error("no lens of this material has a prism of {} Δ across and {} Δ up", .0.right, .0.up)]
    Prism(Wedge),
    /// The centre thickness is not above 0 and up to [`LensForm::THICKEST`](super::LensForm::THICKEST).
    #[error("a centre thickness of {0} mm makes no lens; above 0 and up to {THICKEST} mm")]
    Centre(Length),
    /// The front surface focuses within the lens, or the back surface would be beyond ±100 D.
    #[error("{0}")]
    Vergence(#[from] VergenceError),
    /// A place more than [`Place::FARTHEST`] from the centre dot, across or up.
    #[error("{} from the centre dot lies outside any lens; up to ±{} mm", .0, Place::FARTHEST)]
    Far(Place),
    /// A surface ends before it reaches the place.
    #[error("the {side} surface is too steep to reach {place} from the centre dot")]
    Beyond {
        /// Which surface.
        side: Side,
        /// The place.
        place: Place,
    },
    /// A lens with an edge of that thickness has no glass in its middle.
    #[error("an edge of {edge} mm leaves no glass in the middle; above {least} mm")]
    NoGlass {
        /// The edge asked for.
        edge: Length,
        /// The thickness there of a lens that has none in its middle.
        least: Length,
    },
    /// No centre thickness gives this edge, which was asked for.
    #[error("no centre up to {THICKEST} mm gives an edge of {0} mm there")]
    NoCentre(Length),
    /// An outline of fewer than three points, or without area: how many points it has.
    #[error("an outline of {0} points has no area")]
    Outline(usize),
    /// The surfaces meet before the outline: no lens of this centre thickness is as large.
    #[error(
        "the surfaces meet before {place} from the centre dot ({thickness} mm there); a thicker centre is needed"
    )]
    SurfacesMeet {
        /// Where the lens would be thinnest.
        place: Place,
        /// What is left there, zero or less.
        thickness: Length,
    },
}
