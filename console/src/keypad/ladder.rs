//! The shop's habit as ladders for the keypad: the first size, and what follows when it is far or just too big.
//!
//! Every size is one that the station's dial can leave, rounded up: never smaller than the habit means. Where the
//! habit's step is less than the dial's, the dial's own step is taken, or sizing would never go on.

use crate::plan::FirstSize;
use crate::settings::SizingHabit;
use bevelbook_core::sizing::{Counting, Dial, Ladder, RUNGS, Rim, Rung, Size, Sizing};
use bevelbook_core::units::Length;
use std::collections::BTreeSet;

/// The ladder of the eye that is sized first, as offsets from the traced shape on the dial's basis, and that of the
/// other eye, as offsets from the size at which the first one fitted. Both are empty while the dial is not stated.
#[must_use]
pub(super) fn ladders(rim: Rim, habit: &SizingHabit, dial: Option<&Dial>) -> (Ladder, Ladder) {
    let Some(dial) = dial else { return (Ladder::default(), Ladder::default()) };
    // What the first cut leaves, by the same account as any pass.
    let first = FirstSize::of(rim, habit, Some(dial)).dialled;
    let first = first.map_or(Length::ZERO, |dialled| Sizing::new().after(&dialled, false).low);
    let (far, just) = (on(habit, habit.step_far, dial), on(habit, habit.step_just, dial));
    // The fit that the other eye starts from lies on the dial, so its own sizes are whole steps away from it.
    let relative = Dial { counting: Counting::Absolute, ..*dial };
    (ladder(first, far, just, dial), ladder(relative.up(just), far, just, &relative))
}

/// A length of the habit on the dial's basis.
fn on(habit: &SizingHabit, offset: Length, dial: &Dial) -> Length {
    Size { basis: habit.basis, offset }.on(dial.basis)
}

/// The sizes that are reached from `first` by the steps `far` and `just`, largest first; what exceeds [`RUNGS`] is
/// left off the lower end.
fn ladder(first: Length, far: Length, just: Length, dial: &Dial) -> Ladder {
    let mut sizes = BTreeSet::from([first]);
    let mut rungs = Vec::new();
    while let Some(at) = sizes.pop_last().filter(|_| rungs.len() < RUNGS) {
        let down = |step| dial.up(at - step).min(at - dial.step);
        let rung = Rung { at, far: down(far), just: down(just) };
        sizes.extend([rung.far, rung.just]);
        rungs.push(rung);
    }
    Ladder::new(rungs)
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
                        let (far, just) =
                            (on(&habit, habit.step_far, &dial), on(&habit, habit.step_just, &dial));
                        let (first, second) = ladders(Rim::Metal, &habit, Some(&dial));
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
