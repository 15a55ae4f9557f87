//! The first size, by the shop's habit.

use bevelbook_core::sizing::{Dial, Dialled, Habit, Rim, Size};

/// The first size of a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstSize {
    /// The habit, as the shop states it.
    pub habit: Size,
    /// What to dial for it; none while the station has not stated its dial.
    pub dialled: Option<Dialled>,
}

impl FirstSize {
    /// Rounded to the dial so that the lens is never left smaller than the habit says.
    pub(crate) fn of(rim: Rim, habit: &Habit, dial: Option<&Dial>) -> Self {
        let dialled = dial.map(|dial| habit.first_dialled(rim, dial));
        Self { habit: habit.first_size(rim), dialled }
    }
}
