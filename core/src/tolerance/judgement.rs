//! What was found, what is missing, and the verdict that follows.

use super::{Finding, NotCovered, Quantity, Subject};
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

/// Something that has to be read before a verdict can be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Missing {
    /// The power of the lens.
    Power(Eye),
    /// The axis: a cylinder is ordered and none was read, though its size is within.
    Axis(Eye),
    /// The addition.
    Add(Eye),
    /// The prism at the reference point of the uncut lens.
    ReferencePrism(Eye),
    /// How far the reference point is from its place: the prism alone does not pass.
    ReferencePlace(Eye),
    /// The prism at the ordered PD mark of the mounted lens.
    Prism(Eye),
    /// The PD of the pair.
    Pd,
    /// The monocular PDs, ordered and measured: one figure for both eyes does not do here.
    MonocularPd,
    /// The height of the segment or of the fitting cross.
    SegmentHeight(Eye),
}

impl Missing {
    /// The eye it belongs to; `None` for the pair.
    #[must_use]
    pub const fn eye(self) -> Option<Eye> {
        match self {
            Self::Power(eye)
            | Self::Axis(eye)
            | Self::Add(eye)
            | Self::ReferencePrism(eye)
            | Self::ReferencePlace(eye)
            | Self::Prism(eye)
            | Self::SegmentHeight(eye) => Some(eye),
            Self::Pd | Self::MonocularPd => None,
        }
    }
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Power(eye) => write!(f, "power of the {eye} lens"),
            Self::Axis(eye) => write!(f, "axis of the {eye} lens (a cylinder is ordered, none was read)"),
            Self::Add(eye) => write!(f, "addition of the {eye} lens"),
            Self::ReferencePrism(eye) => write!(f, "prism at the reference point of the {eye} lens"),
            Self::ReferencePlace(eye) => {
                write!(f, "place of the reference point of the {eye} lens (its prism alone does not pass)")
            }
            Self::Prism(eye) => write!(f, "prism at the PD mark of the {eye} lens"),
            Self::Pd => f.write_str("PD of the pair"),
            Self::MonocularPd => f.write_str("monocular PDs, ordered and measured"),
            Self::SegmentHeight(eye) => write!(f, "segment height of the {eye} lens"),
        }
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

    /// Forgets all.
    pub(super) fn clear(&mut self) {
        self.findings.clear();
        self.missing.clear();
        self.not_covered.clear();
    }

    /// Both together: the optics of a pair with what is made beside them.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        other.findings.into_iter().for_each(|finding| self.find(finding));
        other.missing.into_iter().for_each(|missing| self.miss(missing));
        other.not_covered.into_iter().for_each(|left| self.leave(left));
        self
    }

    /// Whether this quantity was judged, of either eye or of the pair.
    pub(super) fn has(&self, quantity: Quantity) -> bool {
        self.findings.iter().any(|found| found.quantity == quantity)
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
