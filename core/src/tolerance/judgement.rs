//! What was found, what is missing, and the verdict that follows.

use super::compare_eye::Said;
use super::{Citation, Finding, Missing, NotCovered, Subject};
use crate::prescription::Eye;
use crate::units::words;
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The three answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
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

words! { Verdict {
    Within => "within",
    Out => "out",
    NotJudged => "not judged yet",
} }

/// Findings and gaps of a lens or of a pair.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judgement {
    findings: Vec<Finding, { Self::FINDINGS }>,
    missing: Vec<Missing, { Self::MISSING }>,
    not_covered: Vec<NotCovered, { Self::NOT_COVERED }>,
    beside: Vec<Finding, { Self::BESIDE }>,
    /// Something found no room: what that was cannot be told any more, and nothing is within.
    dropped: bool,
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
    /// Most that was read without a limit: PD and height of each eye and of the pair; both prisms of each eye.
    const BESIDE: usize = 10;

    /// What was judged, each eye before the pair.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// What is still needed.
    pub fn missing(&self) -> &[Missing] {
        &self.missing
    }

    /// What the table says nothing of, or what nobody measured; neither passed nor failed.
    pub fn not_covered(&self) -> &[NotCovered] {
        &self.not_covered
    }

    /// What was read and is neither passed nor failed, for want of a limit, or of certainty; each with what is usual in
    /// place of a limit.
    pub fn beside(&self) -> &[Finding] {
        &self.beside
    }

    /// Out if anything is out; else not judged if anything is missing, nothing was judged, or there was more than there
    /// is room for; else within.
    pub fn verdict(&self) -> Verdict {
        self.verdict_over(|_| true, |_| true)
    }

    /// The same for what belongs to one eye.
    pub fn verdict_of(&self, eye: Eye) -> Verdict {
        self.verdict_over(|f| f.subject == Subject::Eye(eye), |m| m.eye() == Some(eye))
    }

    fn verdict_over(&self, judged: impl Fn(&Finding) -> bool, needed: impl Fn(&Missing) -> bool) -> Verdict {
        let mut findings = self.findings.iter().filter(|f| judged(f)).peekable();
        let nothing = findings.peek().is_none();
        if findings.any(|f| !f.is_within()) {
            Verdict::Out
        } else if nothing || self.dropped || self.missing.iter().any(needed) {
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
        self.dropped |= self.beside.extend_from_slice(&other.beside).is_err();
        self.dropped |= other.dropped;
        self
    }

    /// Adds what a comparison says; `cite` tells the rule of what it found.
    pub(super) fn take(&mut self, said: Said, cite: impl FnOnce(&Finding<()>) -> Option<Citation>) {
        match said {
            Said::Found(found) => {
                let cited = cite(&found).unwrap_or(Citation::none(found.quantity, found.limit));
                self.find(found.cited(cited));
            }
            Said::Beside(found) => {
                let cited = cite(&found).unwrap_or(Citation::none(found.quantity, found.limit));
                self.dropped |= self.beside.push(found.cited(cited)).is_err();
            }
            Said::Missing(missing) => self.miss(missing),
            Said::NotCovered(left) => self.leave(left),
        }
    }

    /// Adds a finding.
    pub(super) fn find(&mut self, finding: Finding) {
        self.dropped |= self.findings.push(finding).is_err();
    }

    /// Adds what is not covered, once.
    pub(super) fn leave(&mut self, left: NotCovered) {
        self.dropped |= !self.not_covered.contains(&left) && self.not_covered.push(left).is_err();
    }

    /// Adds a gap, once.
    fn miss(&mut self, missing: Missing) {
        self.dropped |= !self.missing.contains(&missing) && self.missing.push(missing).is_err();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_found_no_room_is_never_within() {
        use crate::prescription::EyeOrder;
        use crate::tolerance::{Design, EyeReading, Stage, Standard, judge_eye};
        let [ordered, good, bad] = ["-1.00 -1.00 x 90", "-1.00 -1.00 x 90", "-2.00 -1.00 x 90"]
            .map(|text| EyeOrder::parse(text).unwrap());
        let judged = |read: EyeOrder| {
            let read = EyeReading::of_power(read.power);
            judge_eye(
                Standard::Iso21987_2017,
                Design::SingleVision,
                Stage::Mounted,
                Eye::Right,
                &ordered,
                &read,
            )
        };
        // The most there is room for, and a lens that is out besides.
        let mut sum = judged(good);
        assert_eq!((sum.verdict(), sum.verdict_of(Eye::Right)), (Verdict::Within, Verdict::Within));
        while sum.findings().len() < Judgement::FINDINGS {
            sum = sum.and(judged(good));
        }
        sum = sum.and(judged(bad));
        assert_eq!((sum.verdict(), sum.verdict_of(Eye::Right)), (Verdict::NotJudged, Verdict::NotJudged));
        assert_eq!(Judgement::default().and(sum).verdict(), Verdict::NotJudged);
    }

    #[test]
    fn nothing_judged_is_not_within() {
        assert_eq!(Judgement::default().verdict(), Verdict::NotJudged);
        assert_eq!(Judgement::default().verdict_of(Eye::Left), Verdict::NotJudged);
    }
}
