//! What a size means, what a pass did to a lens, and the guard that keeps it from going undersize.
//!
//! A lens is cut over size and ground a small step at a time until it seats in the rim. What is ground away is
//! gone: a lens that went past its fit is scrap. The station says what its dial counts ([`Basis`], [`Counting`],
//! [`Dial`]); of a pass what was dialled is kept ([`Dialled`]) and what the hand felt ([`Outcome`]); [`Sizing`] folds
//! passes into what is known of the lens now, in exact sums; [`Sizing::guard`] refuses what would go past the fit.
//!
//! ```
//! use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome, Sizing};
//! use bevelbook_core::units::Length;
//! let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
//! let mut sizing = Sizing::new();
//! for (size, felt) in [(400, Outcome::FarTooBig), (200, Outcome::Fits)] {
//!     sizing.apply(&dial.dial(Length::from_milli(size))?, felt);
//! }
//! let smaller = dial.dial(Length::from_milli(150))?;
//! assert!(sizing.guard(&smaller).is_err(), "it fits already: ground further it becomes loose");
//! # Ok::<(), bevelbook_core::sizing::OffStep>(())
//! ```

mod advice;
mod by_book;
mod dial;
mod guard;
mod habit;
mod ladder;
mod outcome;
mod rim;
mod rim_shown;
mod size;
mod tally;

pub use advice::{Evidence, dialled_for_rim, size_of_rim};
pub use by_book::Advice;
pub use dial::{Basis, Counting, Dial, Dialled, OffStep};
pub use guard::Refusal;
pub use habit::Habit;
pub use ladder::{Ladder, RUNGS, Rung};
pub use outcome::Outcome;
pub use rim::Rim;
pub use rim_shown::RimShown;
pub use size::{Size, Span};
pub use tally::Sizing;

/// Figures on a dial for the tests of this module.
#[cfg(test)]
mod test_passes {
    use super::{Basis, Counting, Dialled};
    use crate::units::Length;

    pub(super) fn absolute(basis: Basis, milli: i32) -> Dialled {
        Dialled { basis, counting: Counting::Absolute, amount: Length::from_milli(milli) }
    }

    pub(super) fn take_off(basis: Basis, from: i32, milli: i32) -> Dialled {
        let from = Length::from_milli(from);
        Dialled { basis, counting: Counting::TakeOff { from }, amount: Length::from_milli(milli) }
    }
}
