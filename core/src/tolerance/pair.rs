//! The mounted pair: both powers, the prism between the eyes, PD and segment heights.

use super::centring::{judge_horizontal, judge_pd, judge_vertical};
use super::directions::Powers;
use super::eye::judge_mounted;
use super::judgement::{Judgement, Missing};
use super::table::{Rows, Table};
use super::verdict_alone::Findings;
use super::{Design, EyeReading, Finding, NotCovered, Quantity, Subject, Uncovered};
use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, EyeOrder};
use crate::units::{Length, PrismPair};

/// What is ordered for a pair; arrays are right, left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PairOrder {
    /// The prescription.
    pub eyes: [EyeOrder; 2],
    /// Distance PD.
    pub pd: PupillaryDistance,
    /// Heights of the segments or fitting crosses from the lower side of the box; `None` when there are none.
    /// Not looked at for single vision, for which there is no such rule.
    pub segment_heights: Option<[Length; 2]>,
}

/// What was measured of a pair; arrays are right, left, and `None` is not measured yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PairMeasured {
    /// Each mounted lens, its prism at the ordered PD mark.
    pub eyes: [EyeReading; 2],
    /// Distance between the optical centres; with an ordered prism, between the points where it is found.
    pub pd: Option<PupillaryDistance>,
    /// Heights of the segments or fitting crosses.
    pub segment_heights: [Option<Length>; 2],
}

/// Judges a mounted pair.
#[must_use]
pub fn judge_pair<'t>(
    by: impl Into<&'t Table<'t>>,
    design: Design,
    ordered: &PairOrder,
    measured: &PairMeasured,
) -> Judgement {
    let mut judgement = Judgement::default();
    judgement.judge_pair(by, design, ordered, measured);
    judgement
}

impl Judgement {
    /// Judges a mounted pair in the place of what was judged here before.
    ///
    /// The same as [`judge_pair`] without moving some 2 kB: the way on a keypad, which has room for one judgement. Where
    /// the answer is enough, see [`pair_verdict`](super::pair_verdict).
    pub fn judge_pair<'t>(
        &mut self,
        by: impl Into<&'t Table<'t>>,
        design: Design,
        ordered: &PairOrder,
        measured: &PairMeasured,
    ) {
        self.clear();
        judge(self, by.into(), design, ordered, measured);
    }
}

pub(super) fn judge(
    judgement: &mut impl Findings,
    table: &Table<'_>,
    design: Design,
    ordered: &PairOrder,
    measured: &PairMeasured,
) {
    let rows = table.rows(design);
    for eye in Eye::BOTH {
        let (order, read) = (&ordered.eyes[eye.index()], &measured.eyes[eye.index()]);
        judge_mounted(judgement, table, design, eye, order, read);
        // A prism that no rule looks at need not be read.
        if read.prism.is_none() && (rows.vertical.is_some() || rows.horizontal.is_some()) {
            judgement.miss(Missing::Prism(eye));
        }
    }
    if design != Design::SingleVision
        && let Some(heights) = ordered.segment_heights
    {
        judge_heights(judgement, rows, heights, measured.segment_heights);
    }
    let prism = both_prisms(measured);
    let mut powers = Powers::of(&ordered.eyes);
    match (&rows.vertical, prism) {
        (None, _) => leave(judgement, Uncovered::Vertical),
        (Some(centring), Some(prism)) => {
            judge_vertical(judgement, centring, &ordered.eyes, &mut powers, prism);
        }
        (Some(_), None) => {}
    }
    match &rows.horizontal {
        None => leave(judgement, Uncovered::Horizontal),
        Some(centring) => judge_horizontal(judgement, centring, ordered, &mut powers, prism, measured.pd),
    }
    if let Some(pd) = &rows.pd
        && !judgement.has_pd()
    {
        judge_pd(judgement, (&pd.rule).into(), pd.each_eye, ordered.pd, measured.pd);
    }
}

fn leave(judgement: &mut impl Findings, what: Uncovered) {
    judgement.leave(NotCovered { subject: Subject::Pair, what, limit: None });
}

fn both_prisms(measured: &PairMeasured) -> Option<[PrismPair; 2]> {
    let [right, left] = &measured.eyes;
    Some([right.prism?, left.prism?])
}

fn judge_heights(
    judgement: &mut impl Findings,
    rows: &Rows<'_>,
    ordered: [Length; 2],
    measured: [Option<Length>; 2],
) {
    let Some(rule) = &rows.height else { return leave(judgement, Uncovered::Heights) };
    for eye in Eye::BOTH {
        let order = ordered[eye.index()].milli();
        match measured[eye.index()] {
            None => judgement.miss(Missing::SegmentHeight(eye)),
            Some(height) => {
                let values = [order, height.milli()];
                judgement.find(Finding::of(Subject::Eye(eye), Quantity::SegmentHeight, values, rule));
            }
        }
    }
    if let ([Some(right), Some(left)], Some(rule)) = (measured, &rows.height_pair) {
        let values = [(ordered[0] - ordered[1]).milli(), (right - left).milli()];
        judgement.find(Finding::of(Subject::Pair, Quantity::SegmentHeight, values, rule));
    }
}

#[cfg(test)]
pub(super) mod sample {
    use super::*;
    use crate::tolerance::Standard;
    use crate::units::Prism;

    pub(in crate::tolerance) fn pair(right: &str, left: &str, pd: &str) -> PairOrder {
        let eyes = [right, left].map(|text| EyeOrder::parse(text).unwrap());
        PairOrder { eyes, pd: PupillaryDistance::parse(pd).unwrap(), segment_heights: None }
    }

    /// Powers and additions as ordered; prisms are (in, up) in 1/1000 Δ.
    pub(in crate::tolerance) fn read(
        order: &PairOrder,
        prisms: Option<[(i32, i32); 2]>,
        pd: Option<&str>,
    ) -> PairMeasured {
        let prism = |(base_in, base_up)| PrismPair {
            base_in: Prism::from_milli(base_in),
            base_up: Prism::from_milli(base_up),
        };
        let eyes = Eye::BOTH.map(|eye| EyeReading {
            add: order.eyes[eye.index()].add,
            prism: prisms.map(|prisms| prism(prisms[eye.index()])),
            ..EyeReading::of_power(order.eyes[eye.index()].power)
        });
        PairMeasured {
            eyes,
            pd: pd.map(|text| PupillaryDistance::parse(text).unwrap()),
            segment_heights: [None; 2],
        }
    }

    pub(in crate::tolerance) fn judge(
        design: Design,
        order: &PairOrder,
        measured: &PairMeasured,
    ) -> Judgement {
        judge_by(Standard::AnsiZ801_2015, design, order, measured)
    }

    pub(in crate::tolerance) fn judge_by(
        standard: Standard,
        design: Design,
        order: &PairOrder,
        measured: &PairMeasured,
    ) -> Judgement {
        judge_pair(standard, design, order, measured)
    }
}

#[cfg(test)]
mod tests {
    use super::sample::{judge, pair, read};
    use super::*;
    use crate::tolerance::Verdict::{NotJudged, Out, Within};

    #[test]
    fn segment_heights_hold_each_and_against_each_other() {
        let order = PairOrder {
            segment_heights: Some([Length::from_milli(18_000); 2]),
            ..pair("-1.00 add 2.00", "-1.00 add 2.00", "62")
        };
        for design in [Design::Multifocal, Design::Progressive] {
            let verdict = |heights: [Option<i32>; 2]| {
                let segment_heights = heights.map(|height| height.map(Length::from_milli));
                let measured = PairMeasured { segment_heights, ..read(&order, Some([(0, 0); 2]), None) };
                judge(design, &order, &measured).verdict()
            };
            assert_eq!(verdict([Some(19_000), Some(19_000)]), Within);
            assert_eq!(verdict([Some(19_001), Some(19_000)]), Out);
            assert_eq!(verdict([Some(18_500), Some(17_500)]), Within);
            assert_eq!(verdict([Some(18_501), Some(17_500)]), Out);
            assert_eq!(verdict([Some(18_000), None]), NotJudged);
        }
    }

    #[test]
    fn a_missing_reading_never_passes() {
        let order = PairOrder {
            segment_heights: Some([Length::from_milli(18_000); 2]),
            ..pair("-5.00 -1.00 x 10 add 2.00", "-5.00 -1.00 x 170 add 2.00", "31/31")
        };
        for design in [Design::Multifocal, Design::Progressive] {
            let mut full = read(&order, Some([(0, 0); 2]), Some("31/31"));
            full.segment_heights = [Some(Length::from_milli(18_000)); 2];
            // The fullest judgement there is, and the one with most gaps.
            let found = judge(design, &order, &full);
            assert_eq!(found.verdict(), Within);
            assert_eq!(found.findings().len(), if design == Design::Progressive { 14 } else { 13 });
            let nothing = judge(design, &order, &PairMeasured::default());
            assert_eq!((nothing.missing().len(), nothing.verdict()), (9, NotJudged));
            for eye in Eye::BOTH {
                let lack: [fn(&mut PairMeasured, usize); 5] = [
                    |m, i| m.eyes[i].power = None,
                    |m, i| m.eyes[i].add = None,
                    |m, i| m.eyes[i].prism = None,
                    |m, i| m.segment_heights[i] = None,
                    |m, _| m.pd = None,
                ];
                for (number, take) in lack.into_iter().enumerate() {
                    let mut measured = full;
                    take(&mut measured, eye.index());
                    let found = judge(design, &order, &measured);
                    assert_eq!(found.verdict(), NotJudged, "{design} {eye} {number}");
                    // What is unread of one eye leaves the other's verdict alone; the PD is the pair's.
                    let of_eye = if number < 4 { NotJudged } else { Within };
                    assert_eq!(found.verdict_of(eye), of_eye, "{design} {eye} {number}");
                    assert_eq!(found.verdict_of(eye.other()), Within, "{design} {eye} {number}");
                }
            }
        }
    }

    #[test]
    fn one_lens_out_leaves_the_other_within() {
        let order = pair("-1.00", "-1.00", "62");
        let mut measured = read(&order, Some([(0, 0); 2]), None);
        measured.eyes[0].power = Some(EyeOrder::parse("-1.25").unwrap().power);
        let found = judge(Design::SingleVision, &order, &measured);
        assert_eq!(found.verdict(), Out);
        assert_eq!(Eye::BOTH.map(|eye| found.verdict_of(eye)), [Out, Within]);
    }
}
