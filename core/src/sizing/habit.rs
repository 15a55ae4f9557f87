//! How a shop goes down to the fit where nothing better is known: first sizes by rim, and the steps that follow.

use super::{Basis, Counting, Dial, Dialled, Ladder, Outcome, RUNGS, Rim, Rung, Size, Sizing};
use crate::bytes::coded;
use crate::units::Length;
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// First sizes and steps.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Habit {
        /// What these sizes are measured on.
        pub basis: Basis,
        /// What a first cut is left over the traced shape, in the order of [`Rim::ALL`].
        pub first: [Length; Rim::ALL.len()],
        /// The step down while a lens is much too big; above zero.
        pub step_far: Length,
        /// The step down when it is a touch too big; above zero.
        pub step_just: Length,
    }
}

impl Habit {
    /// To start from where no shop has stated its own. Common practice, no source.
    pub const COMMON: Self = Self {
        basis: Basis::Diameter,
        first: [
            Length::from_milli(400),
            Length::from_milli(500),
            Length::from_milli(300),
            Length::from_milli(200),
        ],
        step_far: Length::from_milli(200),
        step_just: Length::from_milli(100),
    };

    /// What a first cut is left over the traced shape for `rim`.
    pub fn first_size(&self, rim: Rim) -> Size {
        Size { basis: self.basis, offset: self.first[rim as usize] }
    }

    /// What is dialled for a first cut, rounded up to the dial: the lens is never left smaller than the habit says.
    pub fn first_dialled(&self, rim: Rim, dial: &Dial) -> Dialled {
        dial.leaving(dial.up(self.first_size(rim).on(dial.basis)), None)
    }

    /// The step down on the dial's basis after a lens was felt as `outcome`, at least the dial's own; none where sizing
    /// does not go on.
    pub fn step(&self, outcome: Outcome, dial: &Dial) -> Length {
        let offset = match outcome {
            Outcome::FarTooBig => self.step_far,
            Outcome::JustTooBig => self.step_just,
            Outcome::Fits | Outcome::Loose | Outcome::Abandoned => return Length::ZERO,
        };
        Size { basis: self.basis, offset }.on(dial.basis).max(dial.step)
    }

    /// The ladder of the eye that is sized first, as offsets from the traced shape on the dial's basis, and that of the
    /// other eye, as offsets from the size at which the first one fitted.
    ///
    /// Every size is one that the dial can leave, rounded up. Where a step is less than the dial's, the dial's own is
    /// taken, or sizing would never go on.
    pub fn ladders(&self, rim: Rim, dial: &Dial) -> (Ladder, Ladder) {
        // What the first cut leaves, by the same account as any pass.
        let first = Sizing::new().after(&self.first_dialled(rim, dial), false).low;
        let steps = [Outcome::FarTooBig, Outcome::JustTooBig].map(|outcome| self.step(outcome, dial));
        // The fit that the other eye starts from lies on the dial, so its own sizes are whole steps away from it.
        let relative = Dial { counting: Counting::Absolute, ..*dial };
        (ladder(first, steps, dial), ladder(relative.up(steps[1]), steps, &relative))
    }
}

/// The sizes that are reached from `first` by the steps for far and for a touch too big, largest first; what exceeds
/// [`RUNGS`] is left off the lower end.
fn ladder(first: Length, steps: [Length; 2], dial: &Dial) -> Ladder {
    // Each rung leads to two sizes.
    let mut reached: Vec<Length, { 2 * RUNGS }> = Vec::new();
    let mut ladder = Ladder::EMPTY;
    let mut next = Some(first);
    while let Some(at) = next.filter(|_| reached.len() < 2 * RUNGS) {
        let [far, just] = steps.map(|step| dial.up(at - step).min(at - dial.step));
        let _ = reached.extend_from_slice(&[far, just]);
        ladder.push(Rung { at, far, just });
        next = reached.iter().copied().filter(|size| *size < at).max();
    }
    ladder
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    fn habit(first: i32, far: i32, just: i32) -> Habit {
        Habit { basis: Basis::Diameter, first: [mm(first); 4], step_far: mm(far), step_just: mm(just) }
    }

    fn dial(basis: Basis, counting: Counting, step: i32) -> Dial {
        Dial { basis, counting, step: mm(step) }
    }

    #[test]
    fn the_usual_habit_is_followed_to_the_letter() {
        let dial = dial(Basis::Diameter, Counting::Absolute, 50);
        let (first, second) = habit(400, 200, 100).ladders(Rim::Metal, &dial);
        let rungs: std::vec::Vec<_> =
            first.rungs().map(|r| (r.at.milli(), r.far.milli(), r.just.milli())).collect();
        assert_eq!(rungs[..3], [(400, 200, 300), (300, 100, 200), (200, 0, 100)]);
        assert_eq!(rungs.len(), RUNGS);
        assert_eq!(second.first(), Some(mm(100)));
        assert_eq!(second.next(mm(100), Outcome::JustTooBig), Some(mm(0)));
        assert_eq!(second.next(mm(0), Outcome::JustTooBig), Some(mm(-100)));
    }

    #[test]
    fn every_size_is_on_the_dial_goes_down_and_is_never_smaller_than_meant() {
        for basis in Basis::ALL {
            for counting in [Counting::Absolute, Counting::TakeOff { from: mm(930) }] {
                for step in [10, 25, 50, 100, 250] {
                    for (far, just) in [(200, 100), (150, 30), (10, 5), (330, 170)] {
                        let dial = dial(basis, counting, step);
                        let on = |milli| Size { basis: Basis::Diameter, offset: mm(milli) }.on(basis);
                        let (far, just, habit) = (on(far), on(just), habit(410, far, just));
                        let (first, second) = habit.ladders(Rim::Metal, &dial);
                        for (ladder, zero) in [(first, 930), (second, 0)] {
                            let zero = if counting == Counting::Absolute { 0 } else { zero };
                            for rung in ladder.rungs() {
                                assert_eq!((rung.at.milli() - zero).rem_euclid(step), 0);
                                for (next, by) in [(rung.far, far), (rung.just, just)] {
                                    assert_eq!((next.milli() - zero).rem_euclid(step), 0);
                                    assert!(next < rung.at);
                                    assert!(next >= rung.at - by || next == rung.at - dial.step);
                                }
                            }
                            let rungs: std::vec::Vec<_> = ladder.rungs().collect();
                            let pairs = rungs.windows(2);
                            assert!(pairs.clone().all(|two| two[0].at > two[1].at) && pairs.len() > 0);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn the_dial_never_leaves_less_than_the_habit() {
        for basis in Basis::ALL {
            for counting in [Counting::Absolute, Counting::TakeOff { from: mm(900) }] {
                for step in [10, 25, 50, 100] {
                    for first in 0..400 {
                        let (dial, habit) = (dial(basis, counting, step), habit(first, 200, 100));
                        let dialled = habit.first_dialled(Rim::Metal, &dial);
                        assert_eq!(dial.dial(dialled.amount), Ok(dialled), "it is on the dial");
                        let left = Sizing::default().after(&dialled, false).exact().unwrap();
                        let meant = habit.first_size(Rim::Metal).on(basis);
                        let over = (left - meant).milli();
                        let short = matches!(counting, Counting::TakeOff { from } if from < meant);
                        assert!(short || (0..step).contains(&over), "{basis} {counting:?} {over}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_first_cut_that_leaves_less_than_the_habit_is_not_cut_further() {
        let dial = dial(Basis::Diameter, Counting::TakeOff { from: mm(300) }, 50);
        assert_eq!(habit(400, 200, 100).first_dialled(Rim::Metal, &dial).amount, Length::ZERO);
    }
}
