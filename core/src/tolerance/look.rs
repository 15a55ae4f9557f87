//! What can be said where there are limits and no tables: within, out, or see the console.

use super::compare_eye::{Lens, Said};
use super::compare_pair::Pair;
use super::{EyeReading, Finding, Limits, PairMeasured, PairOrder, Stage};
use crate::prescription::{Eye, EyeOrder};

/// What a comparison with limits comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Look {
    /// All that was asked for was read, and is within.
    Within,
    /// The first that is out.
    Out(Finding<()>),
    /// Nothing is out, but this, which has no limit, is off by more than is usual: look at it.
    Unusual(Finding<()>),
    /// There is no figure for any of it: neither passed nor failed.
    NotCovered,
    /// Nothing is out, but something needed was not read, or cannot be judged from what was: the console says what.
    SeeConsole,
}

/// Adds up what is said.
#[derive(Default)]
struct Sum {
    judged: bool,
    missing: bool,
    out: Option<Finding<()>>,
    unusual: Option<Finding<()>>,
}

impl Sum {
    fn of(compare: impl FnOnce(&mut dyn FnMut(Said))) -> Look {
        let mut sum = Self::default();
        compare(&mut |said| sum.take(said));
        match sum {
            Self { out: Some(found), .. } => Look::Out(found),
            Self { unusual: Some(found), .. } => Look::Unusual(found),
            Self { missing: true, .. } => Look::SeeConsole,
            Self { judged: false, .. } => Look::NotCovered,
            Self { judged: true, .. } => Look::Within,
        }
    }

    fn take(&mut self, said: Said) {
        match said {
            Said::Found(found) => {
                self.judged = true;
                self.out = self.out.or_else(|| (!found.is_within()).then_some(found));
            }
            Said::Beside(found) => {
                self.unusual = self.unusual.or_else(|| (!found.is_within()).then_some(found));
            }
            Said::Missing(_) => self.missing = true,
            Said::NotCovered(_) => {}
        }
    }
}

impl Limits {
    /// What can be said of one lens alone: power, cylinder, axis, the addition where one is ordered, and of an uncut lens
    /// the reference point. What was read comes from [`PairOrder::thinned`].
    pub fn eye(&self, stage: Stage, eye: Eye, ordered: &EyeOrder, read: &EyeReading) -> Look {
        let lens = Lens { eye, limits: &self.eyes[eye.index()], ordered, read };
        Sum::of(|say| {
            lens.powers(stage, say);
            if stage == Stage::Uncut {
                lens.reference(self.reference, say);
            }
        })
    }

    /// The prism of both mounted lenses, between the eyes and of each.
    pub fn prism(&self, ordered: &PairOrder, measured: &PairMeasured) -> Look {
        Sum::of(|say| Pair { limits: self, ordered, measured }.prism(say))
    }

    /// The PD, and the heights where they are ordered. Without the prism of both lenses the PD stands for it at worst.
    pub fn centres(&self, ordered: &PairOrder, measured: &PairMeasured) -> Look {
        Sum::of(|say| Pair { limits: self, ordered, measured }.centres(say))
    }

    /// The whole mounted pair.
    pub fn pair(&self, ordered: &PairOrder, measured: &PairMeasured) -> Look {
        Sum::of(|say| Pair { limits: self, ordered, measured }.all(say))
    }
}
