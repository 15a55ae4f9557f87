//! What is ordered and what was read, of a lens and of a pair.

use super::{NoVerdict, Thinning};
use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use crate::units::{Length, Power, PrismPair};

/// What was read of one lens; `None` is not read yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct EyeReading {
    /// Distance power.
    pub power: Option<SphereCylinder>,
    /// Addition.
    pub add: Option<Power>,
    /// Prism: of an uncut lens at its reference point, of a mounted one at the ordered PD mark.
    pub prism: Option<PrismPair>,
    /// Of an uncut lens: how far the point with the ordered prism is from the reference point.
    pub reference_shift: Option<Length>,
    /// What of the prism is thinning, see [`PairOrder::thinned`].
    pub thinning: Thinning,
}

impl EyeReading {
    /// Only the power is read.
    pub const fn of_power(power: SphereCylinder) -> Self {
        Self { power: Some(power), add: None, prism: None, reference_shift: None, thinning: Thinning::NONE }
    }
}

/// What is ordered for a pair; arrays are right, left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PairOrder {
    /// The prescription.
    pub eyes: [EyeOrder; 2],
    /// Distance PD.
    pub pd: PupillaryDistance,
    /// Heights of the segments or fitting crosses from the lower side of the box; `None` when there are none.
    /// Not looked at for single vision, for which there is no such rule.
    pub segment_heights: Option<[Length; 2]>,
    /// Base down that both lenses have beside what is prescribed, to thin a progressive.
    pub thinning: Thinning,
}

impl PairOrder {
    /// Why the prism between the eyes is not judged: a balance lens, or a lens of unknown power or none in the other eye.
    pub(super) fn unpaired(&self) -> Option<NoVerdict> {
        let is = |of: fn(Wanted) -> bool| self.eyes.iter().any(|eye| of(eye.wanted));
        if is(|wanted| matches!(wanted, Wanted::Balance { .. })) {
            return Some(NoVerdict::Balance);
        }
        is(|wanted| !wanted.is_paired()).then_some(NoVerdict::OtherUnknown)
    }

    /// What was read of both lenses, uncut or in the frame, with what of their prism is thinning.
    #[must_use]
    pub fn thinned(&self, mut read: [EyeReading; 2]) -> [EyeReading; 2] {
        let thinning = match read.map(|eye| eye.prism) {
            [Some(right), Some(left)] => self.thinning.seen(self.eyes.map(|eye| eye.prism), [right, left]),
            _ => self.thinning,
        };
        read.iter_mut().for_each(|eye| eye.thinning = thinning);
        read
    }

    /// The lenses that are to be made.
    pub(super) fn made(&self) -> impl Iterator<Item = Eye> {
        Eye::BOTH.into_iter().filter(|eye| self.eyes[eye.index()].wanted.is_made())
    }

    /// The lenses of which what is read is judged.
    pub(super) fn judged(&self) -> impl Iterator<Item = Eye> {
        Eye::BOTH.into_iter().filter(|eye| self.eyes[eye.index()].wanted.is_judged())
    }
}

/// What was measured of a pair; arrays are right, left, and `None` is not measured yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PairMeasured {
    /// Each mounted lens, its prism at the ordered PD mark.
    pub eyes: [EyeReading; 2],
    /// Distance between the optical centres; with an ordered prism, between the points where it is found.
    pub pd: Option<PupillaryDistance>,
    /// Heights of the segments or fitting crosses.
    pub segment_heights: [Option<Length>; 2],
}
