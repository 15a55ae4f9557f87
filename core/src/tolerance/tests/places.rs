//! PD, each eye's place and heights: shown where there is no limit, and judged where the shop asks for it.

use super::sample::{judge_by, pair, read};
use crate::prescription::Eye;
use crate::tolerance::Verdict::{NotJudged, Out, Within};
use crate::tolerance::{
    Design, Finding, Judgement, Limits, Look, Missing, PairMeasured, PairOrder, Places, Quantity, Rule,
    Standard, Subject, Table, judge_pair,
};
use crate::units::Length;
use std::vec::Vec;

const ANSI: [Standard; 5] = [
    Standard::AnsiZ801_1999,
    Standard::AnsiZ801_2005,
    Standard::AnsiZ801_2010,
    Standard::AnsiZ801_2015,
    Standard::AnsiZ801_2020,
];

fn mm(milli: i32) -> Length {
    Length::from_milli(milli)
}

/// What stands beside the verdict: whose, what, how far off, and whether that is usual.
fn beside(judgement: &Judgement) -> Vec<(Subject, Quantity, i32, bool)> {
    let of = |found: &Finding| (found.subject, found.quantity, found.deviation, found.is_within());
    judgement.beside().iter().map(of).collect()
}

const BOTH: [Subject; 2] = [Subject::Eye(Eye::Right), Subject::Eye(Eye::Left)];

#[test]
fn a_progressive_with_both_crosses_5_mm_out_is_seen_by_every_edition() {
    let order = PairOrder {
        segment_heights: Some([mm(18_000); 2]),
        ..pair("-1.00 add 2.00", "-1.00 add 2.00", "31/31")
    };
    // Both to one side: no prism between the eyes, no PD off.
    let mut measured = read(&order, Some([(0, 0); 2]), Some("36/26"));
    measured.segment_heights = [Some(mm(18_000)); 2];
    for standard in ANSI {
        let found = judge_by(standard, Design::Progressive, &order, &measured);
        let [right, left] = BOTH;
        assert_eq!(found.verdict(), Within, "{standard}");
        assert_eq!(
            beside(&found),
            [
                (Subject::Pair, Quantity::Pd, 0, true),
                (right, Quantity::Pd, 5000, false),
                (left, Quantity::Pd, -5000, false)
            ]
        );
        assert!(found.beside().iter().all(|found| !found.cited.confirmed && !found.cited.source.is_empty()));
        // A keypad does not take it for good.
        let limits = Limits::of(standard, Design::Progressive, &order);
        let Look::Unusual(seen) = limits.centres(&order, &measured) else { panic!("{standard}") };
        assert_eq!((seen.subject, seen.deviation), (right, 5000));
    }
}

#[test]
fn a_pd_that_is_6_mm_off_is_legal_in_weak_lenses_and_told() {
    let order = pair("-0.50", "-0.50", "62");
    let measured = read(&order, Some([(150, 0); 2]), Some("68"));
    for standard in ANSI.into_iter().chain([Standard::Iso21987_2017]) {
        let found = judge_by(standard, Design::SingleVision, &order, &measured);
        assert_eq!(found.verdict(), Within, "{standard}");
        assert_eq!(beside(&found), [(Subject::Pair, Quantity::Pd, 6000, false)], "{standard}");
        assert_eq!(found.beside()[0].cited.source, "common practice, no source");
        let limits = Limits::of(standard, Design::SingleVision, &order);
        assert!(matches!(limits.pair(&order, &measured), Look::Unusual(_)), "{standard}");
    }
    // At what is usual, twice 1.0 mm, nothing is to be looked at.
    let measured = read(&order, Some([(0, 0); 2]), Some("64"));
    let limits = Limits::of(Standard::AnsiZ801_2015, Design::SingleVision, &order);
    assert_eq!(limits.pair(&order, &measured), Look::Within);
    assert_eq!(limits.centres(&order, &measured), Look::NotCovered);
}

#[test]
fn where_the_pd_is_judged_in_total_each_eye_is_told_and_the_other_way_round() {
    let order = pair("-4.00", "-4.00", "31/31");
    let measured = read(&order, Some([(0, 0); 2]), Some("32.5/30"));
    let found = judge_by(Standard::AnsiZ801_2015, Design::SingleVision, &order, &measured);
    let [right, left] = BOTH;
    assert_eq!(beside(&found), [(right, Quantity::Pd, 1500, false), (left, Quantity::Pd, -1000, true)]);
    let found = judge_by(Standard::AnsiZ801_2015, Design::Progressive, &order, &measured);
    assert_eq!((found.verdict(), beside(&found)), (Out, [(Subject::Pair, Quantity::Pd, 500, true)].into()));
}

#[test]
fn heights_of_single_vision_are_told_where_they_were_ordered() {
    let order = PairOrder { segment_heights: Some([mm(20_000); 2]), ..pair("-1.00", "-1.00", "62") };
    let measured = PairMeasured {
        segment_heights: [Some(mm(21_000)), Some(mm(18_900))],
        ..read(&order, Some([(0, 0); 2]), None)
    };
    let found = judge_by(Standard::AnsiZ801_2015, Design::SingleVision, &order, &measured);
    let [right, left] = BOTH;
    let height = Quantity::SegmentHeight;
    assert_eq!(
        (found.verdict(), beside(&found)),
        (
            Within,
            [(right, height, 1000, true), (left, height, -1100, false), (Subject::Pair, height, 2100, false)]
                .into()
        )
    );
}

/// An edition with what a shop asks for besides.
fn with(pd_each_eye: Option<i32>, heights: Option<i32>) -> Table {
    let rule = |milli: i32| Rule::fixed(milli, "the shop's settings");
    let places = Places { pd_each_eye: pd_each_eye.map(rule), heights: heights.map(rule) };
    Standard::AnsiZ801_2015.table().with_places(places)
}

#[test]
fn a_shop_may_hold_each_eye_to_its_place() {
    let table = with(Some(1000), None);
    let verdict = |design, ordered: &str, measured: &str| {
        let order = pair("-1.00", "-1.00", ordered);
        judge_pair(&table, design, &order, &read(&order, Some([(0, 0); 2]), Some(measured)))
    };
    for design in [Design::SingleVision, Design::Progressive] {
        assert_eq!(verdict(design, "31/31", "32/30").verdict(), Within);
        assert_eq!(verdict(design, "31/31", "32.001/31").verdict(), Out);
        // Not what is missing.
        let found = verdict(design, "31/31", "62");
        assert_eq!((found.verdict(), found.missing()), (NotJudged, &[Missing::MonocularPd][..]));
        // An order that does not say each eye's place is held to both together.
        assert_eq!(["64", "64.001"].map(|pd| verdict(design, "62", pd).verdict()), [Within, Out]);
    }
    let found = verdict(Design::SingleVision, "31/31", "32/30");
    let pd: Vec<&Finding> = found.findings().iter().filter(|found| found.quantity == Quantity::Pd).collect();
    assert!(pd.len() == 2 && pd.iter().all(|found| found.cited.source == "the shop's settings"));
    // Nothing was measured, and now it is asked for.
    let order = pair("-1.00", "-1.00", "31/31");
    let found = judge_pair(&table, Design::SingleVision, &order, &read(&order, Some([(0, 0); 2]), None));
    assert_eq!((found.verdict(), found.missing()), (NotJudged, &[Missing::Pd][..]));
    // It holds beside what the standard has in total: 2.5 mm above 2.75 D.
    let order = pair("-4.00", "-4.00", "31/31");
    let judged =
        |pd| judge_pair(&table, Design::SingleVision, &order, &read(&order, Some([(0, 0); 2]), Some(pd)));
    assert_eq!([judged("32/32").verdict(), judged("32.1/31").verdict()], [Within, Out]);
}

#[test]
fn a_shop_may_hold_heights_more_strictly_or_where_the_standard_does_not() {
    let table = with(None, Some(500));
    for design in Design::ALL {
        let order = PairOrder { segment_heights: Some([mm(18_000); 2]), ..pair("-1.00", "-1.00", "62") };
        let verdict = |right| {
            let segment_heights = [Some(mm(right)), Some(mm(18_000))];
            let measured = PairMeasured { segment_heights, ..read(&order, Some([(0, 0); 2]), None) };
            judge_pair(&table, design, &order, &measured).verdict()
        };
        assert_eq!([verdict(18_500), verdict(18_501)], [Within, Out], "{design}");
    }
    let order = pair("-1.00", "-1.00", "62");
    assert_eq!(
        judge_pair(&table, Design::SingleVision, &order, &read(&order, Some([(0, 0); 2]), None)).verdict(),
        Within
    );
}
