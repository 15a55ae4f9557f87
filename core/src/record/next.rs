//! The next expected step of a job.

use super::{CheckItem, JobState};
use crate::prescription::Eye;
use core::fmt;

/// What the bench expects next. Work goes on a line: uncut readings and marks, one eye sized and then the other,
/// mounted readings, the pair's centres, checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Step {
    /// Read the uncut lens.
    ReadUncut(Eye),
    /// Line it up and spot its three dots.
    Mark(Eye),
    /// Grind and try it.
    Size(Eye),
    /// It went past its fit: remake it.
    Remake(Eye),
    /// Read it in the frame.
    ReadMounted(Eye),
    /// Measure the pair's centres.
    Centres,
    /// Look the lens over.
    CheckLens(Eye, CheckItem),
    /// Look the pair over.
    CheckPair(CheckItem),
    /// Nothing is left to log.
    Done,
}

impl JobState {
    /// The next expected step. Steps that were passed over by a later one of the same lens are not asked for again:
    /// a lens that was sized needs no mark.
    #[must_use]
    pub fn next(&self) -> Step {
        let first = |wanted: &dyn Fn(Eye) -> bool| Eye::BOTH.into_iter().find(|eye| wanted(*eye));
        let lens = |eye| self.lens(eye);
        let started = |eye: Eye| lens(eye).sizing.passes > 0;
        if let Some(eye) = first(&|eye| lens(eye).sizing.is_scrap()) {
            return Step::Remake(eye);
        }
        for eye in Eye::BOTH {
            if !started(eye) && lens(eye).mark.is_none() && lens(eye).mounted.is_none() {
                return if lens(eye).uncut.is_none() { Step::ReadUncut(eye) } else { Step::Mark(eye) };
            }
        }
        if let Some(eye) = first(&|eye| !lens(eye).sizing.is_done()) {
            return Step::Size(eye);
        }
        if let Some(eye) = first(&|eye| lens(eye).mounted.is_none()) {
            return Step::ReadMounted(eye);
        }
        if self.centres.is_none() {
            return Step::Centres;
        }
        for eye in Eye::BOTH {
            for item in CheckItem::FINISH {
                if lens(eye).checks.get(item) != Some(true) {
                    return Step::CheckLens(eye, item);
                }
            }
        }
        if self.checks.get(CheckItem::Alignment) != Some(true) {
            return Step::CheckPair(CheckItem::Alignment);
        }
        Step::Done
    }
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ReadUncut(eye) => write!(f, "read the uncut {eye} lens"),
            Self::Mark(eye) => write!(f, "mark the {eye} lens"),
            Self::Size(eye) => write!(f, "size the {eye} lens"),
            Self::Remake(eye) => write!(f, "remake the {eye} lens: it is loose"),
            Self::ReadMounted(eye) => write!(f, "read the {eye} lens in the frame"),
            Self::Centres => f.write_str("measure the PD of the pair"),
            Self::CheckLens(eye, item) => write!(f, "check the {eye} lens: {item}"),
            Self::CheckPair(item) => write!(f, "check the pair: {item}"),
            Self::Done => f.write_str("inspect and sign off"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::{JOB, pass_at, reading};
    use super::super::{Bench, CentreDistance, Check, PairId, Stage, Subject};
    use super::*;
    use crate::frame::PupillaryDistance;
    use crate::sizing::Outcome;
    use crate::units::Length;

    #[test]
    fn a_pair_goes_along_the_line_to_its_end() {
        let pair = PairId { job: JOB, numbers: [1, 1] };
        let mut state = JobState::new(pair);
        assert_eq!(state.next(), Step::ReadUncut(Eye::Right));
        state.apply(&reading(Eye::Right, Stage::Uncut, -1000));
        assert_eq!(state.next(), Step::Mark(Eye::Right));
        state.apply(&pass_at(Eye::Right, 1, 300, Outcome::JustTooBig));
        assert_eq!(state.next(), Step::ReadUncut(Eye::Left), "a lens in work needs no mark");
        state.apply(&pass_at(Eye::Left, 1, 300, Outcome::Fits));
        assert_eq!(state.next(), Step::Size(Eye::Right));
        state.apply(&pass_at(Eye::Right, 1, 200, Outcome::Fits));
        assert_eq!(state.next(), Step::ReadMounted(Eye::Right));
        for eye in Eye::BOTH {
            state.apply(&reading(eye, Stage::Mounted, -1000));
        }
        assert_eq!(state.next(), Step::Centres);
        let centres = PupillaryDistance::Binocular(Length::from_milli(62_000));
        state.apply(&Bench::CentreDistance(CentreDistance { pair, centres, heights: None }));
        for eye in Eye::BOTH {
            for item in CheckItem::FINISH {
                assert_eq!(state.next(), Step::CheckLens(eye, item));
                state.apply(&Bench::Check(Check { of: Subject::Lens(pair.lens(eye)), item, good: true }));
            }
        }
        assert_eq!(state.next(), Step::CheckPair(CheckItem::Alignment));
        let item = CheckItem::Alignment;
        state.apply(&Bench::Check(Check { of: Subject::Pair(pair), item, good: true }));
        assert_eq!(state.next(), Step::Done);
    }

    #[test]
    fn a_loose_lens_is_remade_before_anything_else() {
        let mut state = JobState::new(PairId { job: JOB, numbers: [1, 1] });
        state.apply(&pass_at(Eye::Left, 1, 100, Outcome::Loose));
        assert_eq!(state.next(), Step::Remake(Eye::Left));
    }
}
