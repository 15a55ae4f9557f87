//! What stands beside a verdict and is not as it should be: no verdict turns on it, and no list is silent about it.

use super::Job;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{CheckItem, Checks, Flow, JobState};
use bevelbook_core::tolerance::{Judgement, Quantity, Subject};
use std::fmt;

/// The first of what is not as it should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// It was looked at and found bad.
    Bad(CheckItem),
    /// It has no limit at hand and is off by more than is usual.
    Unusual(Subject, Quantity),
}

impl Job {
    /// What was found bad of the lenses that are made or of the pair, and is not seen to. How a lens was blocked is over by
    /// the time that it is read in its frame.
    #[must_use]
    pub fn found_bad(&self) -> Option<CheckItem> {
        self.found_bad_in(&self.state)
    }

    /// The same in a state that it was in before.
    pub(crate) fn found_bad_in(&self, state: &JobState) -> Option<CheckItem> {
        let lenses = Eye::BOTH.into_iter().filter(|eye| self.made(*eye).is_ok());
        let mut checks = lenses.map(|eye| &state.lens(eye).checks).chain([&state.checks]);
        let bad = |checks: &Checks| {
            let items = Flow::CHECKS.into_iter().chain(CheckItem::IMPACT);
            items.into_iter().find(|item| checks.get(*item) == Some(false))
        };
        checks.find_map(bad)
    }

    /// The first of what is not as it should be beside a judgement of it.
    pub(super) fn beside(&self, judged: &Judgement) -> Option<Beside> {
        let unusual = || {
            let found = judged.beside().iter().find(|found| !found.is_within())?;
            Some(Beside::Unusual(found.subject, found.quantity))
        };
        self.found_bad().map(Beside::Bad).or_else(unusual)
    }
}

/// Behind a status.
impl fmt::Display for Beside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Bad(item) => write!(f, "{item}: BAD"),
            Self::Unusual(Subject::Eye(eye), quantity) => write!(f, "look: {eye} {quantity}"),
            Self::Unusual(Subject::Pair, quantity) => write!(f, "look: {quantity}"),
        }
    }
}
