//! The shop's habit as ladders for the keypad: the first size, and what follows when it is far or just too big.
//!
//! Every size is one that the station's dial can leave, rounded up: never smaller than the habit means. Where the
//! habit's step is less than the dial's, the dial's own step is taken, or sizing would never go on.

use crate::plan::FirstSize;
use crate::settings::SizingHabit;
use bevelbook_core::sizing::{Counting, Dial, Ladder, RUNGS, Rim, Rung, Size};
use bevelbook_core::units::Length;
use std::collections::BTreeSet;

/// The ladder of the eye that is sized first, as offsets from the traced shape on the dial's basis, and that of the
/// other eye, as offsets from the size at which the first one fitted. Both are empty while the dial is not stated.
#[must_use]
pub(super) fn ladders(rim: Rim, habit: &SizingHabit, dial: Option<&Dial>) -> (Ladder, Ladder) {
    let Some(dial) = dial else { return (Ladder::default(), Ladder::default()) };
    let zero = match dial.counting {
        Counting::Absolute => Length::ZERO,
        Counting::TakeOff { from } => from,
    };
    let first = FirstSize::of(rim, habit, Some(dial)).dialled.map_or(Length::ZERO, |dialled| {
        if dial.counting == Counting::Absolute { dialled.amount } else { zero - dialled.amount }
    });
    let steps = Steps::of(habit, dial);
    // The fit that the other eye starts from lies on the dial, so its own sizes are whole steps away from it.
    (steps.ladder(first, zero), steps.ladder(up(steps.just, Length::ZERO, dial.step), Length::ZERO))
}

/// The habit's steps on the dial's basis.
struct Steps {
    far: Length,
    just: Length,
    dial: Length,
}

impl Steps {
    fn of(habit: &SizingHabit, dial: &Dial) -> Self {
        let on = |offset| Size { basis: habit.basis, offset }.on(dial.basis);
        Self { far: on(habit.step_far), just: on(habit.step_just), dial: dial.step }
    }

    /// The sizes that are reached from `first`, largest first; what exceeds [`RUNGS`] is left off the lower end.
    fn ladder(&self, first: Length, zero: Length) -> Ladder {
        let mut sizes = BTreeSet::from([first]);
        let mut rungs = Vec::new();
        while let Some(at) = sizes.pop_last().filter(|_| rungs.len() < RUNGS) {
            let down = |step| up(at - step, zero, self.dial).min(at - self.dial);
            let rung = Rung { at, far: down(self.far), just: down(self.just) };
            sizes.extend([rung.far, rung.just]);
            rungs.push(rung);
        }
        Ladder::new(rungs)
    }
}

/// The least size on the dial that is not below `size`; its sizes are whole steps from `zero`.
fn up(size: Length, zero: Length, step: Length) -> Length {
    size + Length::from_milli((zero.milli() - size.milli()).rem_euclid(step.milli().max(1)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::sizing::{Basis, Outcome};

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    fn habit(first: i32, far: i32, just: i32) -> SizingHabit {
        SizingHabit { basis: Basis::Diameter, first: [mm(first); 4], step_far: mm(far), step_just: mm(just) }
    }

    fn dial(basis: Basis, counting: Counting, step: i32) -> Dial {
        Dial { basis, counting, step: mm(step) }
    }

    #[test]
    fn the_usual_habit_is_followed_to_the_letter() {
        let (first, second) =
            ladders(Rim::Metal, &habit(400, 200, 100), Some(&dial(Basis::Diameter, Counting::Absolute, 50)));
        let rungs: Vec<_> =
            first.rungs().iter().map(|r| (r.at.milli(), r.far.milli(), r.just.milli())).collect();
        assert_eq!(rungs[..3], [(400, 200, 300), (300, 100, 200), (200, 0, 100)]);
        assert_eq!(second.first(), Some(mm(100)));
        assert_eq!(second.next(mm(100), Outcome::JustTooBig), Some(mm(0)));
        assert_eq!(second.next(mm(0), Outcome::JustTooBig), Some(mm(-100)));
    }

    #[test]
    fn every_size_is_on_the_dial_goes_down_and_is_never_smaller_than_meant() {
        for basis in [Basis::Radius, Basis::Diameter, Basis::Girth] {
            for counting in [Counting::Absolute, Counting::TakeOff { from: mm(930) }] {
                for step in [10, 25, 50, 100, 250] {
                    for (far, just) in [(200, 100), (150, 30), (10, 5), (330, 170)] {
                        let dial = dial(basis, counting, step);
                        let habit = habit(410, far, just);
                        let steps = Steps::of(&habit, &dial);
                        let (first, second) = ladders(Rim::Metal, &habit, Some(&dial));
                        for (ladder, zero) in [(first, 930), (second, 0)] {
                            let zero = if counting == Counting::Absolute { 0 } else { zero };
                            for rung in ladder.rungs() {
                                assert_eq!((rung.at.milli() - zero).rem_euclid(step), 0);
                                for (next, by) in [(rung.far, steps.far), (rung.just, steps.just)] {
                                    assert_eq!((next.milli() - zero).rem_euclid(step), 0);
                                    assert!(next < rung.at);
                                    assert!(next >= rung.at - by || next == rung.at - dial.step);
                                }
                            }
                            let pairs = ladder.rungs().windows(2);
                            assert!(pairs.clone().all(|two| two[0].at > two[1].at) && pairs.len() > 0);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn without_a_dial_nothing_is_advised() {
        let (first, second) = ladders(Rim::Plastic, &habit(400, 200, 100), None);
        assert_eq!((first.first(), second.first()), (None, None));
    }
}
