//! What the supplier says that a lens is to read as.

use bevelbook_core::prescription::{EyeOrder, SphereCylinder};
use bevelbook_core::units::{Power, PrismPair};
use serde::{Deserialize, Serialize};

/// The power to verify of a lens that the supplier made for its position of wear: what a focimeter is to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LabPower {
    /// Distance power.
    #[serde(flatten)]
    pub power: SphereCylinder,
    /// All the prism that is to show at the reference point, thinning included; `None` is the ordered prism, and thinning.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prism: Option<PrismPair>,
    /// The addition that is to show; `None` is the ordered one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub add: Option<Power>,
}

impl LabPower {
    /// What a focimeter is to show of a lens that is ordered like this.
    #[must_use]
    pub fn of(self, ordered: EyeOrder) -> EyeOrder {
        let Self { power, prism, add } = self;
        EyeOrder { power, prism: prism.unwrap_or(ordered.prism), add: add.or(ordered.add), ..ordered }
    }
}
