//! The verdict on a pair without its findings, and the first finding of a lens that is out without the others.
//!
//! One judge serves all: it hands what it finds to a [`Findings`], which keeps it, or only what it means for the verdict,
//! or only the first that is out. What is not kept takes no room.

use super::eye::{EyeReading, judge_uncut};
use super::judgement::{Judgement, Missing, Verdict};
use super::pair::{PairMeasured, PairOrder, judge};
use super::table::Table;
use super::{Design, Finding, NotCovered, Quantity};
use crate::prescription::{Eye, EyeOrder};

/// What a judge hands its findings to.
pub(super) trait Findings {
    /// Something was judged.
    fn find(&mut self, finding: Finding);
    /// Something is needed; it may be said more than once.
    fn miss(&mut self, missing: Missing);
    /// Something is not covered; it may be said more than once.
    fn leave(&mut self, left: NotCovered);
    /// Whether the PD was judged, of either eye or of the pair.
    fn has_pd(&self) -> bool;
}

impl Findings for Judgement {
    fn find(&mut self, finding: Finding) {
        self.find(finding);
    }

    fn miss(&mut self, missing: Missing) {
        self.miss(missing);
    }

    fn leave(&mut self, left: NotCovered) {
        self.leave(left);
    }

    fn has_pd(&self) -> bool {
        self.has(Quantity::Pd)
    }
}

/// What findings mean for the verdict.
#[derive(Default)]
struct VerdictAlone {
    judged: bool,
    out: bool,
    missing: bool,
    pd: bool,
}

impl Findings for VerdictAlone {
    #[inline]
    fn find(&mut self, finding: Finding) {
        self.judged = true;
        if !finding.is_within() {
            self.out = true;
        }
        if finding.quantity == Quantity::Pd {
            self.pd = true;
        }
    }

    fn miss(&mut self, _: Missing) {
        self.missing = true;
    }

    fn leave(&mut self, _: NotCovered) {}

    fn has_pd(&self) -> bool {
        self.pd
    }
}

/// The verdict on a mounted pair and nothing else: that of [`judge_pair`](super::judge_pair), at a fraction of its
/// cost and without the 2 kB of its findings.
#[must_use]
pub fn pair_verdict<'t>(
    by: impl Into<&'t Table<'t>>,
    design: Design,
    ordered: &PairOrder,
    measured: &PairMeasured,
) -> Verdict {
    let mut found = VerdictAlone::default();
    judge(&mut found, by.into(), design, ordered, measured);
    match found {
        VerdictAlone { out: true, .. } => Verdict::Out,
        VerdictAlone { judged: true, missing: false, .. } => Verdict::Within,
        _ => Verdict::NotJudged,
    }
}

/// The first finding that is out, of one lens.
struct FirstOut(Option<Finding>);

impl Findings for FirstOut {
    fn find(&mut self, finding: Finding) {
        if self.0.is_none() && !finding.is_within() {
            self.0 = Some(finding);
        }
    }

    fn miss(&mut self, _: Missing) {}

    fn leave(&mut self, _: NotCovered) {}

    /// It is asked of a pair.
    fn has_pd(&self) -> bool {
        false
    }
}

/// The first of an uncut lens's findings that is out: that of [`judge_eye`](super::judge_eye), without the 2 kB of the
/// others.
#[must_use]
pub fn first_out<'t>(
    by: impl Into<&'t Table<'t>>,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) -> Option<Finding> {
    let mut found = FirstOut(None);
    judge_uncut(&mut found, by.into(), design, eye, ordered, read);
    found.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::PupillaryDistance;
    use crate::prescription::SphereCylinder;
    use crate::tolerance::{Standard, judge_eye, judge_pair};
    use crate::units::{Axis, Length, Power, Prism, PrismPair};

    /// Numbers without end, the same in every run (xorshift, Marsaglia 2003).
    struct Draw(u64);

    impl Draw {
        fn below(&mut self, count: i32) -> i32 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            (self.0 % count as u64) as i32
        }

        /// Around a value, a half of the time not off at all.
        fn near(&mut self, value: i32, reach: i32) -> i32 {
            if self.below(2) == 0 { value } else { value + self.below(2 * reach + 1) - reach }
        }

        fn order(&mut self) -> EyeOrder {
            let power = SphereCylinder::new(
                Power::from_milli((self.below(97) - 48) * 125),
                Power::from_milli((self.below(33) - 16) * 125),
                Axis::from_degrees(1 + self.below(180) as i16),
            );
            let prism = PrismPair {
                base_in: Prism::from_milli(self.below(3) * 1500),
                base_up: Prism::from_milli(self.below(3) * 1500),
            };
            let add = (self.below(2) == 0).then(|| Power::from_milli(2000));
            EyeOrder { power, prism, add }
        }

        fn read(&mut self, order: &EyeOrder) -> EyeReading {
            let (lens, prism) = (order.power, order.prism);
            let power = SphereCylinder::new(
                Power::from_milli(self.near(lens.sphere.milli(), 150)),
                Power::from_milli(self.near(lens.cylinder.milli(), 150)),
                Axis::from_milli(self.near(lens.axis.milli(), 4000)),
            );
            let prism = PrismPair {
                base_in: Prism::from_milli(self.near(prism.base_in.milli(), 500)),
                base_up: Prism::from_milli(self.near(prism.base_up.milli(), 400)),
            };
            let add = order.add.map(|add| Power::from_milli(self.near(add.milli(), 140)));
            EyeReading {
                power: (self.below(20) > 0).then_some(power),
                prism: (self.below(20) > 0).then_some(prism),
                add: add.filter(|_| self.below(20) > 0),
                reference_shift: None,
            }
        }

        fn pd(&mut self) -> PupillaryDistance {
            let right = Length::from_milli(self.near(31_000, 2500));
            match self.below(2) {
                0 => PupillaryDistance::Binocular(right + right),
                _ => PupillaryDistance::Monocular { right, left: right },
            }
        }
    }

    #[test]
    fn it_is_that_of_the_findings_by_every_standard_and_design() {
        let mut draw = Draw(0x5eed);
        let mut counts = [0; 3];
        for _ in 0..20_000 {
            let eyes = [draw.order(), draw.order()];
            let height = Length::from_milli(18_000);
            let order = PairOrder { eyes, pd: draw.pd(), segment_heights: Some([height; 2]) };
            let mut high = || (draw.below(20) > 0).then(|| Length::from_milli(draw.near(18_000, 1200)));
            let segment_heights = [high(), high()];
            let measured = PairMeasured {
                eyes: [draw.read(&eyes[0]), draw.read(&eyes[1])],
                pd: (draw.below(4) > 0).then(|| draw.pd()),
                segment_heights,
            };
            for standard in Standard::ALL {
                for design in [Design::SingleVision, Design::Multifocal, Design::Progressive] {
                    let expected = judge_pair(*standard, design, &order, &measured).verdict();
                    assert_eq!(
                        pair_verdict(*standard, design, &order, &measured),
                        expected,
                        "{order:?} {measured:?}"
                    );
                    counts[expected as usize] += 1;
                }
            }
        }
        assert!(counts.iter().all(|count| *count > 1000), "{counts:?}");
    }
    #[test]
    fn the_first_that_is_out_is_that_of_the_findings() {
        let mut draw = Draw(0x5eed);
        let mut counts = [0; 2];
        for _ in 0..5000 {
            let order = draw.order();
            let read = draw.read(&order);
            for standard in Standard::ALL {
                for design in [Design::SingleVision, Design::Multifocal, Design::Progressive] {
                    let judgement = judge_eye(*standard, design, Eye::Left, &order, &read);
                    let expected = judgement.findings().iter().find(|finding| !finding.is_within());
                    assert_eq!(first_out(*standard, design, Eye::Left, &order, &read).as_ref(), expected);
                    counts[usize::from(expected.is_some())] += 1;
                }
            }
        }
        assert!(counts.iter().all(|count| *count > 1000), "{counts:?}");
    }
}
