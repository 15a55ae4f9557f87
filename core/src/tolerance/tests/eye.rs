//! One lens: power, cylinder, axis and addition.

use crate::prescription::{Eye, EyeOrder, SphereCylinder};
use crate::tolerance::{
    Design, EyeReading, Judgement, Limit, Missing, Quantity, Stage, Standard, Uncovered, Verdict, judge_eye,
};
use crate::units::{Notation, Power, PrismPair};

const ANSI: Standard = Standard::AnsiZ801_2015;

fn lens(text: &str) -> SphereCylinder {
    SphereCylinder::parse(text, Notation::Reading).unwrap()
}

/// The verdict on a lens that has no prism at its reference point.
fn judged(design: Design, ordered: &str, read: &str, add: Option<i32>) -> Judgement {
    let reading = EyeReading {
        add: add.map(Power::from_milli),
        prism: Some(PrismPair::NONE),
        ..EyeReading::of_power(lens(read))
    };
    judge_eye(ANSI, design, Stage::Uncut, Eye::Right, &EyeOrder::parse(ordered).unwrap(), &reading)
}

fn verdict(ordered: &str, read: &str) -> Verdict {
    judged(Design::SingleVision, ordered, read, None).verdict()
}

#[test]
fn a_power_at_its_limit_is_within_and_beyond_it_out() {
    // Public summary of ANSI Z80.1: -3.00 passes from -2.87 to -3.13, -3.25 fails.
    for (read, expected) in [
        ("-2.87 DS", Verdict::Within),
        ("-3.13 DS", Verdict::Within),
        ("-3.25 DS", Verdict::Out),
        ("-3.131 DS", Verdict::Out),
        ("-2.869 DS", Verdict::Out),
    ] {
        assert_eq!(verdict("-3.00", read), expected, "{read}");
    }
    // 2 % of 6.75 D is 0.135 D.
    assert_eq!(verdict("-6.75", "-6.885 DS"), Verdict::Within);
    assert_eq!(verdict("-6.75", "-6.886 DS"), Verdict::Out);
    assert_eq!(judged(Design::Progressive, "-6.75", "-6.91 DS", None).verdict(), Verdict::Within);
    assert_eq!(judged(Design::Progressive, "-6.75", "-6.911 DS", None).verdict(), Verdict::Out);
}

#[test]
fn cylinder_and_axis_have_their_own_limits() {
    assert_eq!(verdict("-1.00 -2.25 x 90", "-1.00 -2.40 x 90"), Verdict::Within);
    assert_eq!(verdict("-1.00 -2.25 x 90", "-1.00 -2.401 x 90"), Verdict::Out);
    // An error of 3 degrees across 180: within for 1.50 D, out above.
    assert_eq!(verdict("-1.00 -1.50 x 179", "-1.00 -1.50 x 2"), Verdict::Within);
    assert_eq!(verdict("-1.00 -1.50 x 179", "-1.00 -1.50 x 2.001"), Verdict::Out);
    assert_eq!(verdict("-1.00 -1.75 x 179", "-1.00 -1.75 x 2"), Verdict::Out);
    let found = judged(Design::SingleVision, "-1.00 -1.50 x 179", "-1.00 -1.50 x 2", None);
    let axis = found.findings().iter().find(|f| f.quantity == Quantity::Axis).unwrap();
    assert_eq!((axis.deviation, axis.margin()), (3000, Limit::from_milli(0)));
}

#[test]
fn either_form_of_order_and_reading_gives_the_same_findings() {
    let expected = judged(Design::SingleVision, "+0.50 -2.00 x 30", "+0.55 -2.10 x 31", None);
    assert_eq!(expected.verdict(), Verdict::Within);
    for ordered in ["+0.50 -2.00 x 30", "-1.50 +2.00 x 120"] {
        for read in ["+0.55 -2.10 x 31", "-1.55 +2.10 x 121"] {
            assert_eq!(judged(Design::SingleVision, ordered, read, None), expected, "{ordered}, {read}");
        }
    }
}

#[test]
fn an_axis_that_could_not_be_read_does_not_pass() {
    let found = judged(Design::SingleVision, "-1.00 -0.12 x 40", "-1.00 DS", None);
    assert_eq!(found.missing(), [Missing::Axis(Eye::Right)]);
    assert_eq!(found.verdict(), Verdict::NotJudged);
    // Where the lack of a cylinder is itself out, no axis is asked for.
    let found = judged(Design::SingleVision, "-1.00 -0.50 x 40", "-1.00 DS", None);
    assert_eq!((found.missing(), found.verdict()), (&[][..], Verdict::Out));
    assert_eq!(verdict("-1.00", "-0.94 -0.12 x 77"), Verdict::Within);
}

#[test]
fn an_addition_is_judged_by_its_own_rows() {
    let add = |ordered, read| judged(Design::Multifocal, ordered, "-1.00 DS", read).verdict();
    assert_eq!(add("-1.00 add 2.00", Some(2120)), Verdict::Within);
    assert_eq!(add("-1.00 add 2.00", Some(1879)), Verdict::Out);
    assert_eq!(add("-1.00 add 4.00", Some(4121)), Verdict::Out);
    assert_eq!(add("-1.00 add 4.25", Some(4430)), Verdict::Within);
    assert_eq!(add("-1.00 add 4.25", Some(4431)), Verdict::Out);
    assert_eq!(add("-1.00 add 2.00", None), Verdict::NotJudged);
}

#[test]
fn an_uncut_lens_is_not_held_to_what_only_the_mounted_standard_has() {
    let read = EyeReading::of_power(lens("-8.00 -1.00 x 50"));
    let order = EyeOrder::parse("-8.00 -1.00 x 10").unwrap();
    let judge =
        |stage| judge_eye(Standard::Iso21987_2017, Design::SingleVision, stage, Eye::Left, &order, &read);
    let uncut = judge(Stage::Uncut);
    let left: std::vec::Vec<Uncovered> = uncut.not_covered().iter().map(|left| left.what).collect();
    assert_eq!(left, [Uncovered::Axis, Uncovered::ReferencePoint]);
    assert_eq!((uncut.verdict(), uncut.missing()), (Verdict::Within, &[][..]));
    let mounted = judge(Stage::Mounted);
    assert_eq!((mounted.verdict(), mounted.not_covered()), (Verdict::Out, &[][..]));
}
