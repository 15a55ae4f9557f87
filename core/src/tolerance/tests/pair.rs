//! The mounted pair.

use super::sample::{judge, pair, read};
use crate::prescription::{Eye, EyeOrder};
use crate::tolerance::Verdict::{NotJudged, Out, Within};
use crate::tolerance::{Design, PairMeasured, PairOrder};
use crate::units::Length;

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
