//! What is made beside the optics: place and tilt of the segments, centre thickness.
//!
//! Nothing of this is needed for a verdict on the optics: what was not measured is named as not covered, with its
//! limit where one is known.

use super::rule::Chosen;
use super::{Design, Finding, Judgement, NoVerdict, NotCovered, Quantity, Rule, Subject, Table, Uncovered};
use crate::prescription::Eye;
use crate::units::{Angle, Length};

/// What was specified and measured; arrays are right, left, and `None` is not measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Fitting {
    /// Distance between the middles of the segments, ordered and measured.
    pub segment_distance: Option<[Length; 2]>,
    /// Turn of each segment from the horizontal of the frame.
    pub segment_tilt: [Option<Angle>; 2],
    /// Whether no lens is made for an eye.
    pub absent: [bool; 2],
    /// Centre thickness of each lens, specified and measured, at the reference point of the front surface.
    pub thickness: [Option<[Length; 2]>; 2],
}

/// Judges what is given of a fitting. Segments belong to multifocals; a progressive's fitting cross is judged with
/// the pair.
pub fn judge_fitting<'t>(by: impl Into<&'t Table>, design: Design, fitting: &Fitting) -> Judgement {
    let table = by.into();
    let (mut judgement, made) = (Judgement::default(), table.made);
    let mut judge =
        |what, rule: Option<Rule>, found: Option<(Subject, Quantity, [i32; 2])>| match (rule, found) {
            (Some(rule), Some((subject, quantity, values))) => {
                let found = Finding::new(subject, quantity, values, rule.figure());
                judgement.find(found.cited(table.vouch(Chosen::from(rule).cite(quantity))));
            }
            _ => judgement.leave(NotCovered {
                subject: Subject::Pair,
                what,
                why: rule.map_or(NoVerdict::NoLimit, |rule| NoVerdict::NotMeasured(rule.figure())),
            }),
        };
    let eyes = Eye::BOTH.into_iter().filter(|eye| !fitting.absent[eye.index()]);
    let lengths = |both: [Length; 2]| both.map(Length::milli);
    if design == Design::Multifocal {
        let distance = fitting.segment_distance.map(lengths);
        let distance = distance.map(|both| (Subject::Pair, Quantity::SegmentPlace, both));
        judge(Uncovered::SegmentPlace, made.segment_place, distance);
        for eye in eyes.clone() {
            let tilt = fitting.segment_tilt[eye.index()].map(|tilt| [0, tilt.milli()]);
            let tilt = tilt.map(|both| (Subject::Eye(eye), Quantity::SegmentTilt, both));
            judge(Uncovered::SegmentTilt, made.segment_tilt, tilt);
        }
        judge(Uncovered::SegmentSize, made.segment_size, None);
    }
    for eye in eyes {
        let thickness = fitting.thickness[eye.index()].map(lengths);
        let thickness = thickness.map(|both| (Subject::Eye(eye), Quantity::Thickness, both));
        judge(Uncovered::Thickness, made.thickness, thickness);
    }
    judge(Uncovered::BaseCurve, made.base_curve, None);
    judge(Uncovered::Warpage, made.warpage, None);
    judgement
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::{Limit, Standard, Verdict};

    fn mm(milli: [i32; 2]) -> [Length; 2] {
        milli.map(Length::from_milli)
    }

    #[test]
    fn each_limit_of_what_is_made_is_inclusive() {
        // Z80.1, public summaries: segments ±2.5 mm in total and ±2°, thickness ±0.3 mm. ISO 21987: 1 mm and 2°;
        // ISO 8980-1: ±0.3 mm.
        for (standard, place) in [(Standard::AnsiZ801_2015, 2500), (Standard::Iso21987_2017, 1000)] {
            let verdict = |distance: i32, tilt: i32, thickness: i32| {
                let fitting = Fitting {
                    segment_distance: Some(mm([58_000, 58_000 + distance])),
                    segment_tilt: [Some(Angle::from_milli(tilt)); 2],
                    thickness: [Some(mm([2000, 2000 + thickness])); 2],
                    absent: [false; 2],
                };
                judge_fitting(standard, Design::Multifocal, &fitting).verdict()
            };
            assert_eq!(verdict(place, -2000, 300), Verdict::Within);
            assert_eq!(verdict(-place, 2000, -300), Verdict::Within);
            for (distance, tilt, thickness) in [
                (place + 1, 0, 0),
                (-place - 1, 0, 0),
                (0, 2001, 0),
                (0, -2001, 0),
                (0, 0, 301),
                (0, 0, -301),
            ] {
                assert_eq!(verdict(distance, tilt, thickness), Verdict::Out, "{standard}");
            }
        }
    }

    #[test]
    fn of_an_eye_without_a_lens_nothing_is_lacking() {
        let thickness = [Some(mm([2000, 2100])), None];
        let left = |absent| {
            let fitting = Fitting { thickness, absent, ..Fitting::default() };
            let judged = judge_fitting(Standard::AnsiZ801_2015, Design::SingleVision, &fitting);
            assert_eq!(judged.verdict(), Verdict::Within);
            judged.not_covered().iter().any(|left| left.what == Uncovered::Thickness)
        };
        assert!(left([false; 2]) && !left([false, true]));
    }

    #[test]
    fn what_nobody_measured_is_named_with_its_limit_and_what_has_none_without() {
        let left = |standard: Standard, design| {
            let judgement = judge_fitting(standard, design, &Fitting::default());
            assert_eq!(judgement.verdict(), Verdict::NotJudged);
            let left = judgement.not_covered().iter().map(|left| (left.what, left.why));
            left.collect::<std::vec::Vec<_>>()
        };
        let some = |milli| NoVerdict::NotMeasured(Limit::from_milli(milli));
        assert_eq!(
            left(Standard::AnsiZ801_2015, Design::Multifocal),
            [
                (Uncovered::SegmentPlace, some(2500)),
                (Uncovered::SegmentTilt, some(2000)),
                (Uncovered::SegmentSize, some(500)),
                (Uncovered::Thickness, some(300)),
                (Uncovered::BaseCurve, some(750)),
                (Uncovered::Warpage, some(1000)),
            ]
        );
        assert_eq!(
            left(Standard::Iso21987_2017, Design::SingleVision),
            [
                (Uncovered::Thickness, some(300)),
                (Uncovered::BaseCurve, NoVerdict::NoLimit),
                (Uncovered::Warpage, NoVerdict::NoLimit)
            ]
        );
    }
}
