//! What was found, what is missing, and the verdict that follows.

use super::compare_eye::Said;
use super::finding::Finding;
use super::missing::Missing;
use super::not_covered::NotCovered;
use super::quantity::Subject;
use super::rule::Citation;
use crate::prescription::Eye;
use core::fmt;
use heapless::Vec;

/// The three answers.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    postcard::experimental::max_size::MaxSize,
)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Everything needed was read and holds.
    Within,
    /// Something that was read breaks its limit.
    Out,
    /// Nothing is out, but something needed was not read.
    NotJudged,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Within => "within",
            Self::Out => "out",
            Self::NotJudged => "not judged yet",
        })
    }
}

/// Findings and gaps of a lens or of a pair.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judgement {
    findings: Vec<Finding, { Self::FINDINGS }>,
    missing: Vec<Missing, { Self::MISSING }>,
    not_covered: Vec<NotCovered, { Self::NOT_COVERED }>,
}

impl Judgement {
    /// Most findings: of each eye both powers, cylinder, axis, addition, height, PD and two prisms; the vertical,
    /// the horizontal, the PD and the heights of the pair; beside the optics tilt and thickness of each eye and the
    /// distance of the segments.
    const FINDINGS: usize = 27;
    /// Most gaps: power (or axis), addition, prism and height of each eye; the PD.
    const MISSING: usize = 9;
    /// Most that a table says nothing of: power, cylinder, axis, addition and height of each eye; vertical,
    /// horizontal and heights of the pair; six beside the optics.
    const NOT_COVERED: usize = 19;

    /// What was judged, each eye before the pair.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// What is still needed.
    #[must_use]
    pub fn missing(&self) -> &[Missing] {
        &self.missing
    }

    /// What the table says nothing of, or what nobody measured; neither passed nor failed.
    #[must_use]
    pub fn not_covered(&self) -> &[NotCovered] {
        &self.not_covered
    }

    /// Out if anything is out; else not judged if anything is missing or nothing was judged; else within.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.verdict_over(|_| true, |_| true)
    }

    /// The same for what belongs to one eye.
    #[must_use]
    pub fn verdict_of(&self, eye: Eye) -> Verdict {
        self.verdict_over(|f| f.subject == Subject::Eye(eye), |m| m.eye() == Some(eye))
    }

    fn verdict_over(&self, judged: impl Fn(&Finding) -> bool, needed: impl Fn(&Missing) -> bool) -> Verdict {
        let mut findings = self.findings.iter().filter(|f| judged(f)).peekable();
        let nothing = findings.peek().is_none();
        if findings.any(|f| !f.is_within()) {
            Verdict::Out
        } else if nothing || self.missing.iter().any(needed) {
            Verdict::NotJudged
        } else {
            Verdict::Within
        }
    }

    /// Both together: the optics of a pair with what is made beside them.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        other.findings.into_iter().for_each(|finding| self.find(finding));
        other.missing.into_iter().for_each(|missing| self.miss(missing));
        other.not_covered.into_iter().for_each(|left| self.leave(left));
        self
    }

    /// Adds what a comparison says; `cite` tells the rule of what it found.
    pub(super) fn take(&mut self, said: Said, cite: impl FnOnce(&Finding<()>) -> Option<Citation>) {
        match said {
            Said::Found(found) => {
                let cited = cite(&found).unwrap_or(Citation::none(found.quantity, found.limit));
                self.find(found.cited(cited));
            }
            Said::Missing(missing) => self.miss(missing),
            Said::NotCovered(left) => self.leave(left),
        }
    }

    /// Adds a finding. The capacity is the most there can be; see the test of the fullest pair.
    pub(super) fn find(&mut self, finding: Finding) {
        let kept = self.findings.push(finding);
        debug_assert!(kept.is_ok(), "more findings than counted");
    }

    /// Adds what is not covered, once.
    pub(super) fn leave(&mut self, left: NotCovered) {
        if !self.not_covered.contains(&left) {
            let kept = self.not_covered.push(left);
            debug_assert!(kept.is_ok(), "more left uncovered than counted");
        }
    }

    /// Adds a gap, once.
    pub(super) fn miss(&mut self, missing: Missing) {
        if self.missing.contains(&missing) {
            return;
        }
        let kept = self.missing.push(missing);
        debug_assert!(kept.is_ok(), "more gaps than counted");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_judged_is_not_within() {
        assert_eq!(Judgement::default().verdict(), Verdict::NotJudged);
        assert_eq!(Judgement::default().verdict_of(Eye::Left), Verdict::NotJudged);
    }
}
