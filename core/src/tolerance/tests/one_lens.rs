//! One lens alone, beside one that stays in the frame, and beside a balance lens.

use super::own::TIGHT;
use super::sample::{judge, judge_by, pair, read};
use crate::prescription::{Eye, EyeOrder};
use crate::tolerance::Verdict::{NotJudged, Out, Within};
use crate::tolerance::{
    Design, EyeReading, Limits, Look, Missing, NoVerdict, NotCovered, PairMeasured, PairOrder, Slip, Stage,
    Standard, Subject, Uncovered, judge_eye, judge_pair,
};
use crate::units::{Length, PrismPair};

/// Only the right lens is read.
fn right_alone(order: &PairOrder, prism: Option<&str>) -> PairMeasured {
    let prism = prism.map(|text| PrismPair::parse(text).unwrap());
    let right = EyeReading { prism, add: order.eyes[0].add, ..EyeReading::of_power(order.eyes[0].power) };
    PairMeasured { eyes: [right, EyeReading::default()], ..PairMeasured::default() }
}

fn between(why: NoVerdict) -> NotCovered {
    NotCovered { subject: Subject::Pair, what: Uncovered::Between, why }
}

#[test]
fn one_lens_alone_is_within_by_every_standard_and_asks_nothing_of_the_other_eye() {
    let order = pair("-2.00 -1.00 x 10", "none", "31/31");
    for standard in Standard::ALL {
        let measured = right_alone(&order, None);
        let found = judge_by(*standard, Design::SingleVision, &order, &measured);
        assert_eq!((found.verdict(), found.verdict_of(Eye::Right)), (Within, Within), "{standard}");
        assert_eq!((found.missing(), found.verdict_of(Eye::Left)), (&[][..], NotJudged), "{standard}");
        assert!(found.not_covered().contains(&between(NoVerdict::OtherUnknown)), "{standard}");
        assert!(found.findings().iter().all(|found| found.subject == Subject::Eye(Eye::Right)), "{standard}");
        let limits = Limits::of(*standard, Design::SingleVision, &order);
        assert_eq!(limits.pair(&order, &measured), Look::Within, "{standard}");
        // Prism of one lens says nothing of a pair.
        let measured = right_alone(&order, Some("3 up 3 in"));
        assert_eq!(
            judge_by(*standard, Design::SingleVision, &order, &measured).verdict(),
            Within,
            "{standard}"
        );
        // What is missing does not pass, and what is out is out.
        let mut measured = right_alone(&order, None);
        measured.eyes[0].power = None;
        assert_eq!(judge_by(*standard, Design::SingleVision, &order, &measured).verdict(), NotJudged);
        measured.eyes[0].power = Some(EyeOrder::parse("-2.25 -1.00 x 10").unwrap().power);
        assert_eq!(judge_by(*standard, Design::SingleVision, &order, &measured).verdict(), Out);
    }
}

#[test]
fn a_lens_that_stays_is_read_for_its_prism_when_its_power_is_known() {
    let order = pair("-2.00", "none, old -2.50 -0.50 x 180 prism 1 up", "31/31");
    let found = judge(Design::SingleVision, &order, &right_alone(&order, Some("0")));
    assert_eq!(
        (found.verdict(), found.missing()),
        (NotJudged, &[Missing::Prism(Eye::Left), Missing::Pd][..])
    );
    let verdict = |up| {
        let mut measured = right_alone(&order, Some("0"));
        measured.eyes[1].prism = Some(PrismPair::parse(up).unwrap());
        judge(Design::SingleVision, &order, &measured).verdict()
    };
    assert_eq!([verdict("1 up"), verdict("1.33 up"), verdict("1.331 up")], [Within, Within, Out]);
    // Its own power is nobody's to judge.
    let mut measured = read(&order, Some([(0, 0), (0, 1000)]), None);
    measured.eyes[1].power = Some(EyeOrder::parse("-5.00").unwrap().power);
    let found = judge(Design::SingleVision, &order, &measured);
    assert_eq!((found.verdict(), found.verdict_of(Eye::Left)), (Within, NotJudged));
}

#[test]
fn a_balance_lens_is_not_judged_for_power_or_prism_and_stands_at_its_height() {
    let mm = Length::from_milli;
    for left in ["bal", "bal -1.00 add 2.00"] {
        let order =
            PairOrder { segment_heights: Some([mm(18_000); 2]), ..pair("-2.00 add 2.00", left, "31/31") };
        let judged = |heights: [Option<i32>; 2]| {
            let mut measured = right_alone(&order, Some("0"));
            measured.segment_heights = heights.map(|height| height.map(mm));
            judge(Design::Multifocal, &order, &measured)
        };
        let found = judged([Some(18_000); 2]);
        assert_eq!((found.verdict(), found.missing()), (Within, &[][..]), "{left}");
        let power =
            NotCovered { subject: Subject::Eye(Eye::Left), what: Uncovered::Power, why: NoVerdict::Balance };
        assert_eq!(found.not_covered(), [power, between(NoVerdict::Balance)]);
        assert_eq!(judged([Some(18_000), None]).missing(), [Missing::SegmentHeight(Eye::Left)]);
        assert_eq!(judged([Some(18_000), Some(19_001)]).verdict(), Out);
        // Whatever it reads as, before it is cut and in the frame.
        let odd = EyeReading::of_power(EyeOrder::parse("+9.00 -3.00 x 90").unwrap().power);
        for stage in [Stage::Uncut, Stage::Mounted] {
            let found = judge_eye(
                Standard::AnsiZ801_2015,
                Design::Multifocal,
                stage,
                Eye::Left,
                &order.eyes[1],
                &odd,
            );
            assert_eq!(
                (found.findings(), found.missing(), found.not_covered()),
                (&[][..], &[][..], &[power][..])
            );
            let limits = Limits::of(Standard::AnsiZ801_2015, Design::Multifocal, &order);
            assert_eq!(limits.eye(stage, Eye::Left, &order.eyes[1], &odd), Look::NotCovered);
        }
    }
}

#[test]
fn one_progressive_is_held_to_its_own_place_where_its_own_power_says_so() {
    let mm = Length::from_milli;
    let verdict = |right, pd, height| {
        let order = PairOrder { segment_heights: Some([mm(18_000); 2]), ..pair(right, "none", "31/31") };
        let mut measured =
            PairMeasured { segment_heights: [Some(mm(height)), None], ..right_alone(&order, None) };
        measured.pd = Some(crate::frame::PupillaryDistance::parse(pd).unwrap());
        judge(Design::Progressive, &order, &measured).verdict()
    };
    // Above 3.375 D the standard has millimetres for each eye; the lens that stays can only make the pair stronger.
    assert_eq!(verdict("-3.50 add 2", "32/40", 18_000), Within);
    assert_eq!(verdict("-3.50 add 2", "32.001/31", 18_000), Out);
    assert_eq!(verdict("-3.50 add 2", "32/31", 19_001), Out);
    // Below it there is prism between the eyes, or nothing.
    assert_eq!(verdict("-3.00 add 2", "33/31", 18_000), Within);
}

#[test]
fn prism_of_each_eye_is_judged_with_one_lens_too() {
    let order = pair("-2.00", "none", "31/31");
    let verdict = |prism| judge_pair(&TIGHT, Design::SingleVision, &order, &right_alone(&order, prism));
    assert_eq!(verdict(None).missing(), [Missing::Prism(Eye::Right)]);
    assert_eq!([Some("0.25 up"), Some("0.251 up")].map(|prism| verdict(prism).verdict()), [Within, Out]);
}

#[test]
fn no_slip_is_looked_for_in_a_lens_that_is_not_judged_nor_by_a_power_that_nobody_knows() {
    let slips = |left: &str, eye, read: &str| {
        let order = pair("-2.00", left, "31/31");
        let limits = Limits::of(Standard::AnsiZ801_2015, Design::SingleVision, &order);
        limits.slips(eye, &order.eyes, EyeOrder::parse(read).unwrap().power)
    };
    assert!(slips("bal", Eye::Right, "pl").is_empty() && slips("none", Eye::Right, "pl").is_empty());
    assert!(slips("bal -3.00", Eye::Left, "-2.00").is_empty());
    assert_eq!(slips("none, old -3.00", Eye::Right, "-3.00"), [Slip::OtherEye]);
}

#[test]
fn the_pd_of_one_eye_is_enough_where_its_own_is_judged_and_not_where_that_of_the_pair_is() {
    let judged = |design, left: &str, pd: &str| {
        let order = pair("-3.50 add 2", left, "31/31");
        let mut measured = right_alone(&order, Some("0"));
        measured.eyes[1].prism = Some(PrismPair::NONE);
        measured.pd = Some(crate::frame::PupillaryDistance::parse_measured(pd).unwrap());
        judge(design, &order, &measured)
    };
    assert_eq!(judged(Design::Progressive, "none", "32/-").verdict(), Within);
    assert_eq!(judged(Design::Progressive, "none", "32.001/-").verdict(), Out);
    assert_eq!(judged(Design::Progressive, "none", "-/31").missing(), [Missing::MonocularPd]);
    // Both look through the pair: the other half is lacking.
    let old = "none, old -3.00 add 2";
    assert_eq!(judged(Design::Multifocal, old, "31/-").missing(), [Missing::Pd]);
    assert_eq!(judged(Design::Multifocal, old, "31/31").verdict(), Within);
}
