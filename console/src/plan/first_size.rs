//! The first size, by the shop's habit.

use crate::settings::SizingHabit;
use bevelbook_core::sizing::{Dial, Dialled, Rim, Size};

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
    pub(crate) fn of(rim: Rim, habit: &SizingHabit, dial: Option<&Dial>) -> Self {
        let habit = Size { basis: habit.basis, offset: habit.first_size(rim) };
        let dialled = dial.map(|dial| dial.leaving(dial.up(habit.on(dial.basis)), None));
        Self { habit, dialled }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::sizing::{Basis, Counting, Sizing};
    use bevelbook_core::units::Length;

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    fn habit(first: i32) -> SizingHabit {
        SizingHabit { basis: Basis::Diameter, first: [mm(first); 4], step_far: mm(200), step_just: mm(100) }
    }

    #[test]
    fn the_dial_never_leaves_less_than_the_habit() {
        for basis in [Basis::Radius, Basis::Diameter, Basis::Girth] {
            for counting in [Counting::Absolute, Counting::TakeOff { from: mm(900) }] {
                for step in [10, 25, 50, 100] {
                    for first in 0..400 {
                        let dial = Dial { basis, counting, step: mm(step) };
                        let first = FirstSize::of(Rim::Metal, &habit(first), Some(&dial));
                        let dialled = first.dialled.unwrap();
                        assert_eq!(dial.dial(dialled.amount), Ok(dialled), "it is on the dial");
                        let left = Sizing::default().after(&dialled, false).exact().unwrap();
                        let over = (left - first.habit.on(basis)).milli();
                        let most = match counting {
                            Counting::TakeOff { from } if from < first.habit.on(basis) => i32::MIN,
                            _ => step,
                        };
                        assert!(most == i32::MIN || (0..most).contains(&over), "{basis} {counting:?} {over}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_first_cut_that_leaves_less_than_the_habit_is_not_cut_further() {
        let counting = Counting::TakeOff { from: mm(300) };
        let dial = Dial { basis: Basis::Diameter, counting, step: mm(50) };
        let first = FirstSize::of(Rim::Metal, &habit(400), Some(&dial));
        assert_eq!(first.dialled.unwrap().amount, Length::ZERO);
    }

    #[test]
    fn without_a_station_only_the_habit_is_known() {
        let first = FirstSize::of(Rim::Plastic, &habit(400), None);
        assert_eq!((first.habit.offset, first.dialled), (mm(400), None));
    }
}
