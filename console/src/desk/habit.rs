//! The sizing habit that the keypads' advice was made from.

use crate::settings::SizingHabit;
use bevelbook_core::sizing::{Basis, Rim};
use bevelbook_core::units::Length;
use serde::{Deserialize, Serialize};

/// First sizes and steps, as the shop's settings had them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Habit {
    /// What these sizes are measured on.
    pub basis: Basis,
    /// What a first cut is left over the traced shape, in the order of [`Rim::ALL`].
    pub first: [Length; Rim::ALL.len()],
    /// The step down while a lens is far too big.
    pub step_far: Length,
    /// The step down when it is just too big.
    pub step_just: Length,
}

impl From<&SizingHabit> for Habit {
    fn from(habit: &SizingHabit) -> Self {
        let SizingHabit { basis, first, step_far, step_just } = *habit;
        Self { basis, first, step_far, step_just }
    }
}
