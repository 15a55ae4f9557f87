//! The next size, looked up.
//!
//! Only "too big" goes on, so a whole policy is a ladder: for each size the size to try next, one column for "far
//! too big" and one for "a touch too big". It is worked out on the host and looked up at the bench.

use super::Outcome;
use crate::bytes::coded;
use crate::units::Length;
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The most rungs a ladder has.
pub const RUNGS: usize = 8;

/// One size and what follows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rung {
    /// The size just tried.
    pub at: Length,
    /// The next one when the lens was much too big.
    pub far: Length,
    /// The next one when it was a touch too big.
    pub just: Length,
}

coded! {
    /// First size and the sizes that follow, as offsets on one basis, largest first.
    ///
    /// A keypad holds two of them for the job in hand: they are kept in 16 bits each. No size lies 32 mm off its shape; one that
    /// would is held there.
    #[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(transparent)]
    pub struct Ladder {
        /// Of one rung after the other `at`, `far` and `just`, in micrometres.
        sizes: Vec<i16, { 3 * RUNGS }>,
    }
}

impl Ladder {
    /// One that tells nothing.
    pub const EMPTY: Self = Self { sizes: Vec::new() };

    /// A ladder of `rungs`, largest size first; what exceeds [`RUNGS`] is left off the lower end.
    pub fn new(rungs: impl IntoIterator<Item = Rung>) -> Self {
        let mut ladder = Self::EMPTY;
        rungs.into_iter().for_each(|rung| ladder.push(rung));
        ladder
    }

    /// Puts a rung below the others; where there is no room left it is left off.
    pub fn push(&mut self, Rung { at, far, just }: Rung) {
        let _ = self.sizes.extend_from_slice(&[at, far, just].map(held));
    }

    /// The size to begin with.
    pub fn first(&self) -> Option<Length> {
        self.rungs().next().map(|rung| rung.at)
    }

    /// The size to try after `at` was felt as `outcome`: that of the lowest rung not below `at`, of several at one size the
    /// largest. `None` when the outcome ends sizing, or the ladder does not reach that far.
    pub fn next(&self, at: Length, outcome: Outcome) -> Option<Length> {
        let nearest = self.rungs().rfind(|rung| rung.at >= at)?.at;
        let next = |rung: Rung| match outcome {
            Outcome::FarTooBig => Some(rung.far),
            Outcome::JustTooBig => Some(rung.just),
            Outcome::Fits | Outcome::Loose | Outcome::Abandoned => None,
        };
        let there = self.rungs().filter(|rung| rung.at == nearest);
        there.filter_map(next).filter(|next| *next < at).max()
    }

    /// The same ladder with each of its sizes as `to` says, which keeps their order.
    #[must_use]
    pub fn map(&self, to: &dyn Fn(Length) -> Length) -> Self {
        Self { sizes: self.sizes.iter().map(|size| held(to(Length::from_milli((*size).into())))).collect() }
    }

    /// Its rungs, largest size first.
    pub fn rungs(&self) -> impl DoubleEndedIterator<Item = Rung> {
        let (rungs, _) = self.sizes.as_chunks();
        rungs.iter().map(|rung| {
            let [at, far, just] = rung.map(|size: i16| Length::from_milli(size.into()));
            Rung { at, far, just }
        })
    }
}

/// A size as it is kept.
fn held(size: Length) -> i16 {
    size.milli().clamp(i16::MIN.into(), i16::MAX.into()) as i16
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    fn ladder() -> Ladder {
        let rung = |at, far, just| Rung { at: mm(at), far: mm(far), just: mm(just) };
        Ladder::new([rung(400, 200, 300), rung(300, 100, 200), rung(200, 50, 100)])
    }

    #[test]
    fn each_outcome_has_its_column() {
        assert_eq!(ladder().first(), Some(mm(400)));
        assert_eq!(ladder().next(mm(400), Outcome::FarTooBig), Some(mm(200)));
        assert_eq!(ladder().next(mm(400), Outcome::JustTooBig), Some(mm(300)));
        assert_eq!(ladder().next(mm(400), Outcome::Fits), None);
    }

    #[test]
    fn a_size_between_two_rungs_takes_the_one_above_and_never_goes_up() {
        assert_eq!(ladder().next(mm(250), Outcome::JustTooBig), Some(mm(200)));
        assert_eq!(ladder().next(mm(150), Outcome::JustTooBig), Some(mm(100)));
        assert_eq!(ladder().next(mm(100), Outcome::JustTooBig), None);
        assert_eq!(ladder().next(mm(500), Outcome::FarTooBig), None, "above the ladder nothing is known");
    }

    #[test]
    fn of_two_rungs_that_became_one_size_the_larger_next_counts() {
        let coarse = ladder().map(&|size| mm((size.milli() + 199) / 200 * 200));
        assert_eq!(coarse.next(mm(400), Outcome::JustTooBig), Some(mm(200)), "its own size is no next one");
        assert_eq!(coarse.next(mm(200), Outcome::JustTooBig), None);
        let rung = |at, just| Rung { at: mm(at), far: mm(0), just: mm(just) };
        let two = Ladder::new([rung(300, 200), rung(300, 100)]);
        assert_eq!(two.next(mm(300), Outcome::JustTooBig), Some(mm(200)));
    }
}
