//! What an order asks for one eye.

use super::{SphereCylinder, Wanted};
use crate::bytes::coded;
use crate::units::{Power, PrismPair};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// The prescription of one eye.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct EyeOrder {
        /// Distance power.
        pub power: SphereCylinder,
        /// Prescribed prism.
        #[serde(default)]
        pub prism: PrismPair,
        /// Addition for near, positive; `None` for single vision.
        #[serde(default)]
        pub add: Option<Power>,
        /// Whether a lens of this power is made, a balance lens, or none.
        #[serde(default)]
        pub wanted: Wanted,
    }
}

impl EyeOrder {
    /// A single-vision eye without prism.
    pub const fn single_vision(power: SphereCylinder) -> Self {
        Self { power, prism: PrismPair::NONE, add: None, wanted: Wanted::Lens }
    }
}
