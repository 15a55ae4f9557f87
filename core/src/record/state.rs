//! The state of a job's work, one fact after the other. Which facts hold is the ledger's to say.

use super::{Bench, CentreDistance, Check, CheckItem, Checks, GirthOf, JobId, LensId, Mark, NewLens, PairId};
use super::{Reading, Stage, Subject};
use crate::bytes::coded;
use crate::prescription::Eye;
use crate::sizing::{Evidence, RimShown, Sizing};
use crate::tolerance::{EyeReading, PairMeasured};
use crate::units::Length;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What is known of one lens.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct LensState {
        /// Its number for its eye.
        pub number: u8,
        /// How it was last marked.
        pub mark: Option<Mark>,
        /// The account of its size.
        pub sizing: Sizing,
        /// Its latest reading before blocking.
        pub uncut: Option<Reading>,
        /// Its latest reading in the frame.
        pub mounted: Option<Reading>,
        /// Its girth, as last measured.
        pub girth: Option<Length>,
        /// The girth of its rim, as last measured.
        pub rim_girth: Option<Length>,
        /// What was looked at.
        pub checks: Checks,
    }
}

coded! {
    /// What is known of a job's work.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct JobState {
        /// The lenses that the job is at.
        pub pair: PairId,
        /// Right and left.
        pub lenses: [LensState; 2],
        /// What the lenses before these showed of the rims, right and left.
        pub rims: [RimShown; 2],
        /// The centres of this pair, as last measured.
        pub centres: Option<CentreDistance>,
        /// What was looked at on this pair.
        pub checks: Checks,
    }
}

impl JobState {
    /// A job with nothing done yet.
    pub const fn new(pair: PairId) -> Self {
        let [right, left] = pair.numbers;
        let lenses = [LensState::new(right), LensState::new(left)];
        Self { pair, lenses, rims: [RimShown::new(); 2], centres: None, checks: Checks::new() }
    }

    /// The lens of one eye.
    pub const fn lens(&self, eye: Eye) -> &LensState {
        &self.lenses[eye.index()]
    }

    /// What was read of both lenses before they were blocked.
    pub fn uncut(&self) -> [EyeReading; 2] {
        Eye::BOTH.map(|eye| self.lens(eye).uncut.as_ref().map(Reading::read).unwrap_or_default())
    }

    /// What was read and measured of the pair in its frame.
    pub fn measured(&self) -> PairMeasured {
        let read = |eye| self.lens(eye).mounted.as_ref().map(Reading::read).unwrap_or_default();
        PairMeasured {
            eyes: Eye::BOTH.map(read),
            pd: self.centres.map(|measured| measured.centres),
            segment_heights: Eye::BOTH.map(|eye| self.centres?.height(eye)),
        }
    }

    /// Takes one fact into account. Facts of other jobs, of earlier lenses and of earlier pairs change nothing.
    pub fn apply(&mut self, fact: &Bench) {
        if let Bench::NewLens(NewLens { lens }) = fact {
            self.go_on_with(*lens);
        } else if let Some(lens) = fact.lens() {
            if lens == self.pair.lens(lens.eye) {
                self.lenses[lens.eye.index()].apply(fact);
            }
        } else if fact.pair() == Some(self.pair) {
            match fact {
                Bench::CentreDistance(distance) => self.centres = Some(*distance),
                Bench::Check(Check { item, good, .. }) => self.checks.set(*item, *good),
                _ => {}
            }
        }
    }

    /// Goes on with a new lens: it starts anew, and so does what was measured on the pair. An earlier lens, or one
    /// of another job, changes nothing.
    pub fn go_on_with(&mut self, lens: LensId) {
        let at = lens.eye.index();
        if lens.job == self.pair.job && lens.number > self.pair.numbers[at] {
            self.pair.numbers[at] = lens.number;
            let before = &self.lenses[at];
            self.rims[at].take(&before.sizing);
            // The rim stays.
            self.lenses[at] = LensState { rim_girth: before.rim_girth, ..LensState::new(lens.number) };
            self.centres = None;
            self.checks = Checks::default();
        }
    }

    /// What is known for the next size of one eye, by this job alone.
    pub fn known(&self, eye: Eye) -> Evidence<'_> {
        let (lens, other) = (self.lens(eye), &self.lens(eye.other()).sizing);
        Evidence {
            sizing: &lens.sizing,
            shown: &self.rims[eye.index()],
            other_fits: other.fits.filter(|_| other.is_done()),
            over_rim: lens.over_rim(),
            advice: None,
        }
    }

    /// The job it is about.
    pub const fn job(&self) -> JobId {
        self.pair.job
    }
}

impl LensState {
    /// A lens with nothing done yet.
    pub const fn new(number: u8) -> Self {
        Self {
            number,
            mark: None,
            sizing: Sizing::new(),
            uncut: None,
            mounted: None,
            girth: None,
            rim_girth: None,
            checks: Checks::new(),
        }
    }

    /// Whether nothing was done of it yet: the girth of its rim was measured for an earlier one.
    pub fn is_untouched(&self) -> bool {
        *self == Self { rim_girth: self.rim_girth, ..Self::new(self.number) }
    }

    /// How much longer round it is than its rim, at its present size.
    pub fn over_rim(&self) -> Option<Length> {
        Some(self.girth? - self.rim_girth?)
    }

    /// Takes one fact about it into account.
    pub fn apply(&mut self, fact: &Bench) {
        match fact {
            Bench::Mark(mark) => self.mark = Some(*mark),
            Bench::Pass(pass) => {
                self.sizing.apply(&pass.dialled, pass.outcome);
                // What was measured of it and said of its edges and its seat held for the size before.
                self.girth = None;
                for item in [CheckItem::Bevel, CheckItem::Firm, CheckItem::Strain] {
                    self.checks.reset(item);
                }
            }
            Bench::Reading(reading) => match reading.stage {
                Stage::Uncut => self.uncut = Some(*reading),
                Stage::Mounted => self.mounted = Some(*reading),
            },
            Bench::Girth(girth) => match girth.of {
                GirthOf::Lens => self.girth = Some(girth.girth),
                GirthOf::Rim => self.rim_girth = Some(girth.girth),
            },
            Bench::Check(Check { of: Subject::Lens(_), item, good, .. }) => {
                self.checks.set(*item, *good);
                if *item == CheckItem::Strain && !good {
                    self.sizing.reopen();
                }
            }
            _ => {}
        }
    }
}
