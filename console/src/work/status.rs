//! What a job waits for, or how it ended: one answer for every list, page and screen that tells it.
//!
//! - A job **waits** for a lens that is to be made, has not been noted as arrived, and of which nothing was logged. Where a
//!   shop notes no arrivals, the first lenses of a pair came together: when one is worked on, so is the other there.
//! - **Out** is said from the reading on that is out, whatever comes next, and by whom it is signed. What is open is judged
//!   as it was read last, by the shop's standard; what is closed was decided when it was signed or closed, and is not
//!   judged again.

use super::{Beside, Job};
use crate::settings::Tolerances;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{CheckItem, Flow, Step};
use bevelbook_core::tolerance::Verdict;
use std::fmt;

/// The status of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum JobStatus {
    /// It waits for lenses, and what comes next cannot be done before.
    Waiting {
        /// Of these eyes, at least one, right before left.
        lenses: Vec<Eye>,
        /// What comes next once they are there.
        next: Step,
        /// Whether something that was read is out.
        out: bool,
    },
    /// Something is to be done at the bench.
    InWork {
        /// What comes next.
        next: Step,
        /// Whether something that was read is out.
        out: bool,
    },
    /// Everything is done that the bench asks for; it waits to be inspected and signed.
    Done {
        /// The verdict as it is now.
        verdict: Verdict,
        /// What is not as it should be beside it.
        beside: Option<Beside>,
    },
    /// Somebody stands by the verdict, and nothing was written since.
    Signed {
        /// Their initials.
        by: String,
        /// What they signed.
        verdict: Verdict,
        /// Why, although it is not within.
        despite: Option<String>,
        /// What is not as it should be beside it.
        beside: Option<Beside>,
    },
    /// It is over.
    Closed {
        /// How, in the shop's words.
        how: String,
        /// What it was by then.
        was: Ended,
        /// Why it was closed although it was no pair within.
        despite: Option<String>,
    },
}

/// What a job was when it was closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// Signed off within.
    Within,
    /// Out, signed or not.
    Out,
    /// Signed off without being judged.
    NotJudged,
    /// Signed off although this was found bad.
    Bad(CheckItem),
    /// Done, and signed by nobody.
    NotSigned,
    /// Not done.
    NotDone,
}

impl Job {
    /// Its status by what is judged by.
    #[must_use]
    pub fn status(&self, by: &Tolerances) -> JobStatus {
        if let Some(closing) = &self.closed {
            let (how, was) = (closing.how.clone(), self.ended(by.flow()));
            return JobStatus::Closed { how, was, despite: closing.despite.clone() };
        }
        if let Some(signed) = &self.signed {
            let beside = self.beside(&self.judged(by));
            let (by, despite) = (signed.by.clone(), signed.despite.clone());
            return JobStatus::Signed { by, verdict: signed.verdict, despite, beside };
        }
        let next = self.next(by.flow());
        if next == Step::Done {
            let judged = self.judged(by);
            return JobStatus::Done { verdict: self.verdict(&judged), beside: self.beside(&judged) };
        }
        let out = self.is_out(by);
        let lenses: Vec<Eye> = Eye::BOTH.into_iter().filter(|eye| self.waits_for(*eye)).collect();
        let nothing_is_there = Eye::BOTH.iter().all(|eye| lenses.contains(eye) || self.made(*eye).is_err());
        let waits = nothing_is_there || next.eye().is_some_and(|eye| lenses.contains(&eye));
        if waits && !lenses.is_empty() {
            return JobStatus::Waiting { lenses, next, out };
        }
        JobStatus::InWork { next, out }
    }

    /// Whether the present lens of `eye` is to be made and not there yet.
    pub(crate) fn waits_for(&self, eye: Eye) -> bool {
        let came = |eye: Eye| self.arrived[eye.index()].is_some();
        let begun = |eye: Eye| !self.state.lens(eye).is_untouched();
        let other = eye.other();
        let came_together = self.pair().numbers == [1, 1] && begun(other) && !came(other);
        self.made(eye).is_ok() && !came(eye) && !begun(eye) && !came_together
    }

    fn ended(&self, flow: Flow) -> Ended {
        let verdict = self.closed.as_ref().and_then(|closing| closing.verdict);
        match (verdict, self.signed.as_ref().map(|signed| signed.verdict)) {
            (Some(Verdict::Out), _) | (_, Some(Verdict::Out)) => Ended::Out,
            (_, Some(Verdict::Within)) => self.found_bad().map_or(Ended::Within, Ended::Bad),
            (_, Some(Verdict::NotJudged)) => Ended::NotJudged,
            (_, None) if self.next(flow) != Step::Done => Ended::NotDone,
            (_, None) => Ended::NotSigned,
        }
    }
}

impl JobStatus {
    /// Whether it is out, as far as it was read or as it was signed.
    #[must_use]
    pub const fn is_out(&self) -> bool {
        match self {
            Self::Waiting { out, .. } | Self::InWork { out, .. } => *out,
            Self::Done { verdict, .. } | Self::Signed { verdict, .. } => matches!(verdict, Verdict::Out),
            Self::Closed { was, .. } => matches!(was, Ended::Out),
        }
    }

    /// Whether it is over.
    #[must_use]
    pub const fn is_closed(&self) -> bool {
        matches!(self, Self::Closed { .. })
    }

    /// What comes next at the bench, or with the pair that is done there.
    #[must_use]
    pub const fn next(&self) -> Option<Step> {
        match self {
            Self::Waiting { next, .. } | Self::InWork { next, .. } => Some(*next),
            Self::Done { .. } => Some(Step::Done),
            Self::Signed { .. } | Self::Closed { .. } => None,
        }
    }

    /// Its name for programs.
    #[must_use]
    pub const fn key(&self) -> &'static str {
        match self {
            Self::Waiting { .. } => "waiting",
            Self::InWork { .. } => "in-work",
            Self::Done { .. } => "done",
            Self::Signed { .. } => "signed-off",
            Self::Closed { .. } => "closed",
        }
    }
}

/// In the words of a list.
impl fmt::Display for JobStatus {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let out = if self.is_out() { "OUT; " } else { "" };
        match self {
            Self::Waiting { lenses, .. } => match lenses[..] {
                [eye] => write!(f, "{out}waiting for the {eye} lens"),
                _ => write!(f, "{out}waiting for both lenses"),
            },
            Self::InWork { next, .. } => write!(f, "{out}next: {next:#}"),
            Self::Done { verdict: Verdict::Within, beside: None } => f.write_str("done, within: sign it off"),
            Self::Done { verdict, beside } => {
                let verdict = match (verdict, beside) {
                    (Verdict::Within, Some(Beside::Bad(_))) => "",
                    (Verdict::Within, _) => ", within",
                    (Verdict::Out, _) => ", OUT",
                    (Verdict::NotJudged, _) => ", not judged yet",
                };
                write!(f, "done{verdict}: inspect it{}", behind(*beside))
            }
            Self::Signed { by, verdict, beside, .. } => {
                let verdict = match verdict {
                    Verdict::Within => "",
                    Verdict::Out => " OUT",
                    Verdict::NotJudged => " not judged",
                };
                write!(f, "signed off{verdict} by {by}{}", behind(*beside))
            }
            Self::Closed { how, was, .. } => write!(f, "{how}{was}"),
        }
    }
}

fn behind(beside: Option<Beside>) -> String {
    beside.map_or_else(String::new, |beside| format!("; {beside}"))
}

/// Behind how a job ended.
impl fmt::Display for Ended {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Within => Ok(()),
            Self::Out => f.write_str(", OUT"),
            Self::NotJudged => f.write_str(", not judged"),
            Self::Bad(item) => write!(f, ", {}", Beside::Bad(*item)),
            Self::NotSigned => f.write_str(", not signed off"),
            Self::NotDone => f.write_str(", not done"),
        }
    }
}
