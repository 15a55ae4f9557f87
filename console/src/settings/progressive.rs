//! What a progressive is like where its order does not say so.

use super::millimetres;
use bevelbook_core::units::{Length, Power, Prism};
use serde::Deserialize;

/// What a progressive is like where its order does not say so.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Progressive {
    /// How far the prism reference point lies below the fitting cross.
    #[serde(deserialize_with = "millimetres")]
    pub reference_below: Length,
    /// Base down in both lenses for each dioptre of the addition.
    thinning: f64,
}

impl Progressive {
    /// The thinning prism taken for an addition, to the nearest 0.01 Δ.
    pub fn thinning_for(&self, add: Option<Power>) -> Prism {
        let add = f64::from(add.unwrap_or_default().milli());
        Prism::from_milli((self.thinning * add / 10.0).round() as i32 * 10)
    }
}
