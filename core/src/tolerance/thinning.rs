//! Thinning: equal base down in both lenses of a progressive, which makes them thinner and is no error.
//!
//! It is taken off what is read before prism is judged. Where the order says how much, by that. Where it is only assumed,
//! what both lenses show counts: of the two the one that is nearer to the assumption, so that lenses that are thinned
//! alike are no error, however much it is, and lenses that are not are one. One lens alone is not turned out by an
//! assumption: what another thinning would explain is told and not judged.

use crate::bytes::coded;
use crate::units::{Prism, PrismPair};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// Base down in both lenses, beside the prism that is prescribed.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Thinning {
        /// How much, base down; never negative.
        pub prism: Prism,
        /// From where that is known.
        pub known: ThinningKnown,
    }
}

coded! {
    /// From where a thinning is known.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub enum ThinningKnown {
        /// The order says it.
        #[default]
        Ordered,
        /// The order says nothing: the shop's usual share of the addition.
        Assumed,
        /// The order says nothing, and both lenses were read.
        Seen,
    }
}

impl Thinning {
    /// None.
    pub const NONE: Self = Self { prism: Prism::ZERO, known: ThinningKnown::Ordered };

    /// A prism that is prescribed, with it.
    #[must_use]
    pub fn added_to(self, prescribed: PrismPair) -> PrismPair {
        PrismPair { base_up: prescribed.base_up - self.prism, ..prescribed }
    }

    /// A prism without it.
    #[must_use]
    pub fn taken_off(self, read: PrismPair) -> PrismPair {
        PrismPair { base_up: read.base_up + self.prism, ..read }
    }

    /// What would make a prism as it was read out of what is prescribed: base down, or none.
    fn between(prescribed: PrismPair, read: PrismPair) -> Prism {
        (prescribed.base_up - read.base_up).max(Prism::ZERO)
    }

    /// The same as the lenses show it, where it was assumed. Arrays are right, left.
    pub(super) fn seen(self, prescribed: [PrismPair; 2], read: [PrismPair; 2]) -> Self {
        let [right, left] = [0, 1].map(|at| Self::between(prescribed[at], read[at]));
        let off = |prism: Prism| (prism - self.prism).abs();
        let nearer = if off(left) < off(right) { left } else { right };
        match self.known {
            ThinningKnown::Assumed => Self { prism: nearer, known: ThinningKnown::Seen },
            ThinningKnown::Ordered | ThinningKnown::Seen => self,
        }
    }

    /// What is left of a prism of one lens, of which only an assumption is known, by the thinning that explains it best.
    pub(super) fn explained(self, prescribed: PrismPair, read: PrismPair) -> Option<PrismPair> {
        let prism = Self::between(prescribed, read);
        (self.known == ThinningKnown::Assumed).then(|| Self { prism, ..self }.taken_off(read))
    }
}
