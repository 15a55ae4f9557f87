//! The next expected step of a job.

use super::{CheckItem, Flow, JobState};
use crate::bytes::coded;
use crate::prescription::{Eye, Wanted};
use core::fmt;
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// What the bench expects next. Work goes on a line: uncut readings and marks, one eye sized, its edges bevelled, and then
/// the other, mounted readings, the pair's centres, checks.
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

impl Step {
    /// Which eye's lens it is a step of; none of the pair's.
    pub const fn eye(self) -> Option<Eye> {
        match self {
            Self::ReadUncut(eye) | Self::Mark(eye) | Self::Size(eye) | Self::Remake(eye) => Some(eye),
            Self::ReadMounted(eye) | Self::CheckLens(eye, _) => Some(eye),
            Self::Centres | Self::CheckPair(_) | Self::Done => None,
        }
    }
}

/// The most steps that can be outstanding: readings, marks, sizes and readings again of two lenses, the centres, the
/// checks of two lenses and of the pair.
pub const STEPS: usize = 2 * (4 + CheckItem::FINISH.len()) + 2;

coded! {
    /// How far a job has come.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub enum Progress {
        /// Nothing was done yet.
        #[default]
        NotBegun,
        /// Something was.
        InWork,
        /// No step is outstanding.
        Done,
    }
}

impl JobState {
    /// The next expected step, where this is `wanted` of the right and the left eye.
    pub fn next(&self, wanted: [Wanted; 2], flow: Flow) -> Step {
        self.outstanding(wanted, flow).first().copied().unwrap_or(Step::Done)
    }

    /// How far it has come.
    pub fn progress(&self, wanted: [Wanted; 2], flow: Flow) -> Progress {
        match self.outstanding(wanted, flow).len() {
            0 => Progress::Done,
            left if left == Self::new(self.pair).outstanding(wanted, flow).len() => Progress::NotBegun,
            _ => Progress::InWork,
        }
    }

    /// Every outstanding step, in the order of work. A step that a later one of the same lens has passed over is not
    /// outstanding any more: a lens that was sized needs no mark. A spoiled lens waits for nothing but its remake. An eye
    /// that nothing is made for has no step, and a balance lens need not be read.
    pub fn outstanding(&self, wanted: [Wanted; 2], flow: Flow) -> Vec<Step, STEPS> {
        let mut steps = Vec::new();
        // The bound counts every step there is; see the test of a job with nothing done.
        let mut add = |step| {
            let _ = steps.push(step);
        };
        let made = flow.eyes().into_iter().filter(|eye| wanted[eye.index()].is_made());
        let is_read = |eye: Eye| wanted[eye.index()].is_judged();
        let good = made.clone().filter(|eye| !self.lens(*eye).sizing.is_scrap());
        for eye in made.clone().filter(|eye| self.lens(*eye).sizing.is_scrap()) {
            add(Step::Remake(eye));
        }
        let lacks = |eye: Eye, item| flow.asks(item) && self.lens(eye).checks.get(item) != Some(true);
        // An edge is bevelled once it is ground, before the lens goes into its frame.
        let bevel = |eye: Eye| lacks(eye, CheckItem::Bevel) && self.lens(eye).mounted.is_none();
        let size = |eye: Eye, add: &mut dyn FnMut(Step)| {
            if !self.lens(eye).sizing.is_done() {
                add(Step::Size(eye));
            }
            if bevel(eye) {
                add(Step::CheckLens(eye, CheckItem::Bevel));
            }
        };
        // The lens in hand is finished first.
        let begun = |eye: &Eye| self.lens(*eye).sizing.passes > 0;
        for eye in good.clone().filter(begun) {
            size(eye, &mut add);
        }
        for eye in good.clone() {
            let lens = self.lens(eye);
            if lens.sizing.passes == 0 && lens.mark.is_none() && lens.mounted.is_none() {
                if is_read(eye) && lens.uncut.is_none() {
                    add(Step::ReadUncut(eye));
                }
                add(Step::Mark(eye));
            }
        }
        for eye in good.clone().filter(|eye| !begun(eye)) {
            size(eye, &mut add);
        }
        for eye in good.clone().filter(|eye| is_read(*eye) && self.lens(*eye).mounted.is_none()) {
            add(Step::ReadMounted(eye));
        }
        if self.centres.is_none() && made.count() > 0 {
            add(Step::Centres);
        }
        for eye in good {
            for item in CheckItem::FINISH {
                if lacks(eye, item) && !(item == CheckItem::Bevel && bevel(eye)) {
                    add(Step::CheckLens(eye, item));
                }
            }
        }
        if flow.asks(CheckItem::Alignment) && self.checks.get(CheckItem::Alignment) != Some(true) {
            add(Step::CheckPair(CheckItem::Alignment));
        }
        steps
    }
}

/// In its alternate form short, for a list.
impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ReadUncut(eye) => write!(f, "read the uncut {eye} lens"),
            Self::Mark(eye) => write!(f, "mark the {eye} lens"),
            Self::Size(eye) => write!(f, "size the {eye} lens"),
            Self::Remake(eye) => write!(f, "remake the {eye} lens: it is loose"),
            Self::ReadMounted(eye) => write!(f, "read the {eye} lens in the frame"),
            Self::Centres => f.write_str("measure the PD of the pair"),
            Self::CheckLens(eye, item) if f.alternate() => {
                write!(f, "check the {eye} lens: {}", item.short())
            }
            Self::CheckLens(eye, item) => write!(f, "check the {eye} lens: {item}"),
            Self::CheckPair(item) => write!(f, "check the pair: {item}"),
            Self::Done => f.write_str("inspect and sign off"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::{JOB, pass_at, reading};
    use super::super::{Bench, CentreDistance, Check, Entered, PairId, Stage, Subject};
    use super::*;
    use crate::frame::PupillaryDistance;
    use crate::sizing::Outcome;
    use crate::units::Length;

    const BOTH: [Wanted; 2] = [Wanted::Lens; 2];
    const FLOW: Flow = Flow::COMMON;

    fn looked(pair: PairId, eye: Eye, item: CheckItem) -> Bench {
        let (entered, of) = (Entered::READ, Subject::Lens(pair.lens(eye)));
        Bench::Check(Check { entered, of, item, good: true })
    }

    #[test]
    fn one_lens_goes_along_the_line_without_the_other_eye() {
        let pair = PairId { job: JOB, numbers: [1, 1] };
        let wanted = [Wanted::Nothing { known: false }, Wanted::Lens];
        let mut state = JobState::new(pair);
        // Nor does a fact about the eye without a lens ask for anything.
        state.apply(&pass_at(Eye::Right, 1, 100, Outcome::Loose));
        let left = Eye::Left;
        let mut steps = std::vec![Step::ReadUncut(left), Step::Mark(left), Step::Size(left)];
        let [bevel, seated @ ..] = CheckItem::FINISH.map(|item| Step::CheckLens(left, item));
        steps.extend([bevel, Step::ReadMounted(left), Step::Centres]);
        steps.extend(seated);
        steps.push(Step::CheckPair(CheckItem::Alignment));
        assert_eq!(state.outstanding(wanted, FLOW)[..], steps);
    }

    #[test]
    fn a_balance_lens_is_marked_sized_and_looked_over_and_need_not_be_read() {
        let state = JobState::new(PairId { job: JOB, numbers: [1, 1] });
        let steps = state.outstanding([Wanted::Lens, Wanted::Balance { known: true }], FLOW);
        let of_left = steps.iter().filter(|step| match step {
            Step::ReadUncut(eye) | Step::ReadMounted(eye) => *eye == Eye::Left,
            _ => false,
        });
        assert_eq!((of_left.count(), steps.len()), (0, STEPS - 2));
    }

    #[test]
    fn a_pair_goes_along_the_line_to_its_end() {
        let pair = PairId { job: JOB, numbers: [1, 1] };
        let mut state = JobState::new(pair);
        assert_eq!(state.next(BOTH, FLOW), Step::ReadUncut(Eye::Right));
        state.apply(&reading(Eye::Right, Stage::Uncut, -1000));
        assert_eq!(state.next(BOTH, FLOW), Step::Mark(Eye::Right));
        state.apply(&pass_at(Eye::Right, 1, 300, Outcome::JustTooBig));
        assert_eq!(
            state.next(BOTH, FLOW),
            Step::Size(Eye::Right),
            "a lens in hand needs no mark and is finished first"
        );
        state.apply(&pass_at(Eye::Right, 1, 200, Outcome::Fits));
        let [bevel, seated @ ..] = CheckItem::FINISH;
        assert_eq!(
            state.next(BOTH, FLOW),
            Step::CheckLens(Eye::Right, bevel),
            "before it goes into the frame"
        );
        state.apply(&looked(pair, Eye::Right, bevel));
        assert_eq!(state.next(BOTH, FLOW), Step::ReadUncut(Eye::Left));
        state.apply(&pass_at(Eye::Left, 1, 300, Outcome::Fits));
        state.apply(&looked(pair, Eye::Left, bevel));
        assert_eq!(state.next(BOTH, FLOW), Step::ReadMounted(Eye::Right));
        for eye in Eye::BOTH {
            state.apply(&reading(eye, Stage::Mounted, -1000));
        }
        assert_eq!(state.next(BOTH, FLOW), Step::Centres);
        let centres = PupillaryDistance::Binocular(Length::from_milli(62_000));
        let entered = Entered::READ;
        state.apply(&Bench::CentreDistance(CentreDistance { entered, pair, centres, heights: None }));
        for eye in Eye::BOTH {
            for item in seated {
                assert_eq!(state.next(BOTH, FLOW), Step::CheckLens(eye, item));
                state.apply(&looked(pair, eye, item));
            }
        }
        assert_eq!(state.next(BOTH, FLOW), Step::CheckPair(CheckItem::Alignment));
        let item = CheckItem::Alignment;
        state.apply(&Bench::Check(Check {
            entered: Entered::READ,
            of: Subject::Pair(pair),
            item,
            good: true,
        }));
        assert_eq!(state.next(BOTH, FLOW), Step::Done);
    }

    #[test]
    fn the_left_eye_comes_first_where_the_shop_says_so() {
        let flow = Flow { left_first: true, ..FLOW };
        let mut state = JobState::new(PairId { job: JOB, numbers: [1, 1] });
        assert_eq!(state.next(BOTH, flow), Step::ReadUncut(Eye::Left));
        state.apply(&pass_at(Eye::Right, 1, 300, Outcome::JustTooBig));
        assert_eq!(state.next(BOTH, flow), Step::Size(Eye::Right), "the lens in hand is finished first");
        let (left, right) = (state.outstanding(BOTH, flow), state.outstanding(BOTH, FLOW));
        assert!(left.len() == right.len() && left.iter().all(|step| right.contains(step)));
    }

    #[test]
    fn what_the_shop_does_not_ask_is_no_step() {
        let flow = FLOW.asking(&[CheckItem::Firm]);
        let steps = JobState::new(PairId { job: JOB, numbers: [1, 1] }).outstanding(BOTH, flow);
        let checks = steps.iter().filter(|step| matches!(step, Step::CheckLens(..) | Step::CheckPair(_)));
        assert_eq!(
            checks.collect::<std::vec::Vec<_>>(),
            [&Step::CheckLens(Eye::Right, CheckItem::Firm), &Step::CheckLens(Eye::Left, CheckItem::Firm)]
        );
    }

    #[test]
    fn an_edge_that_is_ground_again_is_bevelled_again() {
        let pair = PairId { job: JOB, numbers: [1, 1] };
        let mut state = JobState::new(pair);
        for milli in [300, 200] {
            state.apply(&pass_at(Eye::Right, 1, milli, Outcome::Fits));
            assert_eq!(state.next(BOTH, FLOW), Step::CheckLens(Eye::Right, CheckItem::Bevel));
            state.apply(&looked(pair, Eye::Right, CheckItem::Bevel));
        }
    }

    #[test]
    fn how_far_a_job_has_come_is_told_by_its_steps() {
        let pair = PairId { job: JOB, numbers: [1, 1] };
        let mut state = JobState::new(pair);
        assert_eq!(state.progress(BOTH, FLOW), Progress::NotBegun);
        state.apply(&looked(pair, Eye::Right, CheckItem::Firm));
        assert_eq!(state.progress(BOTH, FLOW), Progress::InWork);
        let none = [Wanted::Nothing { known: false }; 2];
        state.apply(&Bench::Check(Check {
            entered: Entered::READ,
            of: Subject::Pair(pair),
            item: CheckItem::Alignment,
            good: true,
        }));
        assert_eq!(state.progress(none, FLOW), Progress::Done);
    }

    #[test]
    fn with_nothing_done_every_step_is_outstanding_and_fits_the_bound() {
        let state = JobState::new(PairId { job: JOB, numbers: [1, 1] });
        assert_eq!(state.outstanding(BOTH, FLOW).len(), STEPS);
    }

    #[test]
    fn a_loose_lens_is_remade_before_anything_else() {
        let mut state = JobState::new(PairId { job: JOB, numbers: [1, 1] });
        state.apply(&pass_at(Eye::Left, 1, 100, Outcome::Loose));
        assert_eq!(state.next(BOTH, FLOW), Step::Remake(Eye::Left));
    }
}
