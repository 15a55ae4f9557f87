//! What a size means, what a pass did to a lens, and the guard that keeps it from going undersize.
//!
//! A lens is cut over size and ground a small step at a time until it seats in the rim. What is ground away is
//! gone: a lens that went past its fit is scrap. The station says what its dial counts ([`Basis`], [`Counting`],
//! [`Dial`]); a [`Pass`] keeps what was dialled and what the hand felt ([`Outcome`]); [`Sizing`] folds passes into
//! what is known of the lens now, in exact sums; [`Sizing::guard`] refuses what would go past the fit.

mod dial;
mod guard;
mod habit;
mod ladder;
mod outcome;
mod rim;
mod size;
mod tally;

pub use dial::{Basis, Counting, Dial, Dialled, OffStep};
pub use guard::Refusal;
pub use habit::Habit;
pub use ladder::{Ladder, RUNGS, Rung};
pub use outcome::{Outcome, Pass};
pub use rim::Rim;
pub use size::{Size, Span};
pub use tally::Sizing;

/// Passes for the tests of this module.
#[cfg(test)]
mod test_passes {
    use super::{Basis, Counting, Dialled, Outcome, Pass};
    use crate::prescription::Eye;
    use crate::record::{JobId, LensId};
    use crate::units::Length;

    pub(super) fn absolute(basis: Basis, milli: i32) -> Dialled {
        Dialled { basis, counting: Counting::Absolute, amount: Length::from_milli(milli) }
    }

    pub(super) fn take_off(basis: Basis, from: i32, milli: i32) -> Dialled {
        let from = Length::from_milli(from);
        Dialled { basis, counting: Counting::TakeOff { from }, amount: Length::from_milli(milli) }
    }

    pub(super) fn pass(dialled: Dialled, outcome: Outcome) -> Pass {
        let lens = LensId { job: JobId(7), eye: Eye::Right, number: 1 };
        Pass { lens, dialled, outcome, past: false }
    }
}
