//! Every cell from both sides of its ends, with its mark, and the public text or memory it comes from.

use crate::prescription::{EyeOrder, SphereCylinder};
use crate::tolerance::Design::{Multifocal, Progressive, SingleVision};
use crate::tolerance::Verdict::{NotJudged, Out, Within};
use crate::tolerance::tests::sample::{judge_by, pair, read};
use crate::tolerance::{
    Design, EyeLimits, Holding, Judgement, Limit, Missing, PairMeasured, PairOrder, Quantity, Standard,
    Subject, Uncovered, Verdict,
};
use crate::units::{Axis, Length, Power};
use std::string::ToString;

const ISO: Standard = Standard::Iso21987_2017;

/// Both principal powers and the cylinder limit of a lens whose higher principal power is `highest`.
fn cell(design: Design, highest: i32, cylinder: i32) -> (Option<Limit>, Option<Limit>) {
    // Minus-cylinder form with the higher power across the axis: the sphere is weaker by the cylinder.
    let lens = SphereCylinder::new(
        Power::from_milli(cylinder - highest),
        Power::from_milli(-cylinder),
        Axis::from_degrees(30),
    );
    let found = EyeLimits::of(ISO, design, &EyeOrder::single_vision(lens));
    (found.power, found.cylinder)
}

/// Highest power of the row (at its end, and just above that of the row before), each principal power, and the
/// cylinder by its own steps.
type Row = ([i32; 2], i32, [i32; 4]);

/// A public poster of industry "based on ISO 8980-1 and -2", all 29 cells; two summaries, a text on GB 10810.1 and bounds in
/// UK notes agree.
const FIXED: [Row; 6] = [
    ([1, 3000], 120, [90, 120, 180, 0]),
    ([3001, 6000], 120, [120, 120, 180, 250]),
    ([6001, 9000], 120, [120, 180, 180, 250]),
    ([9001, 12_000], 180, [120, 180, 250, 250]),
    ([12_001, 20_000], 250, [180, 250, 250, 250]),
    ([20_001, 30_000], 370, [250, 250, 370, 370]),
];
/// From memory.
const VARIATION: [Row; 5] = [
    ([1, 6000], 120, [120, 180, 180, 250]),
    ([6001, 9000], 180, [180, 180, 180, 250]),
    ([9001, 12_000], 180, [180, 180, 250, 250]),
    ([12_001, 20_000], 250, [180, 250, 250, 250]),
    ([20_001, 30_000], 370, [250, 250, 370, 370]),
];
/// A cylinder within each step, from its lower to its upper end.
const CYLINDERS: [[i32; 2]; 4] = [[0, 750], [751, 4000], [4001, 6000], [6001, 9000]];

#[test]
fn every_cell_of_the_power_tables_ends_where_it_says() {
    let milli = |limit: i32| Some(Limit::from_milli(limit));
    for (design, rows) in [(SingleVision, &FIXED[..]), (Multifocal, &FIXED), (Progressive, &VARIATION)] {
        for (ends, power, by_cylinder) in rows {
            for highest in *ends {
                for (limit, cylinders) in by_cylinder.iter().zip(CYLINDERS) {
                    // A cylinder more than twice the highest power is no such lens.
                    for cylinder in cylinders.into_iter().filter(|cylinder| *cylinder <= 2 * highest) {
                        let expected = (milli(*power), milli(*limit));
                        assert_eq!(
                            cell(design, highest, cylinder),
                            expected,
                            "{design} {highest} {cylinder}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn every_axis_row_ends_where_the_table_says() {
    // A summary and UK notes, worked: 0.25, 0.375, 0.50, 0.625, 1.50, 1.625, 2.50 and 2.625 D.
    for (cylinder, degrees) in [
        (124, None),
        (125, Some(16)),
        (250, Some(16)),
        (251, Some(9)),
        (375, Some(9)),
        (500, Some(9)),
        (501, Some(6)),
        (625, Some(6)),
        (750, Some(6)),
        (751, Some(4)),
        (1500, Some(4)),
        (1501, Some(3)),
        (1625, Some(3)),
        (2500, Some(3)),
        (2501, Some(2)),
        (2625, Some(2)),
        (9000, Some(2)),
    ] {
        let lens = SphereCylinder::new(Power::ZERO, Power::from_milli(-cylinder), Axis::from_degrees(1));
        let axis = EyeLimits::of(ISO, SingleVision, &EyeOrder::single_vision(lens)).axis.limit();
        assert_eq!(axis, degrees.map(|degrees: i32| Limit::from_milli(degrees * 1000)), "{cylinder}");
    }
}

fn judged(design: Design, order: &PairOrder, prisms: Option<[(i32, i32); 2]>, pd: Option<&str>) -> Judgement {
    judge_by(ISO, design, order, &read(order, prisms, pd))
}

fn of(judgement: &Judgement, quantity: Quantity) -> (std::string::String, Holding, bool) {
    let found = judgement.findings().iter().find(|found| found.quantity == quantity).unwrap();
    (found.limit.to_string(), found.holding(), found.cited.confirmed)
}

#[test]
fn every_cell_of_fixed_powers_was_seen_and_none_of_power_variation_nor_of_imbalance() {
    for (ends, ..) in FIXED {
        for (highest, cylinders) in
            ends.into_iter().flat_map(|highest| CYLINDERS.map(|cylinder| (highest, cylinder)))
        {
            for cylinder in cylinders.into_iter().filter(|cylinder| *cylinder <= 2 * highest) {
                let power = SphereCylinder::new(
                    Power::from_milli(cylinder - highest),
                    Power::from_milli(-cylinder),
                    Axis::from_degrees(30),
                );
                let order =
                    PairOrder { eyes: [EyeOrder::single_vision(power); 2], ..pair("pl", "pl", "31/31") };
                for design in [SingleVision, Multifocal, Progressive] {
                    let found = judged(design, &order, Some([(0, 0); 2]), Some("31/31"));
                    for finding in found.findings() {
                        let seen = match finding.quantity {
                            Quantity::Power | Quantity::PowerAcross | Quantity::Cylinder => {
                                design != Progressive
                            }
                            Quantity::Vertical | Quantity::Horizontal => false,
                            _ => true,
                        };
                        assert_eq!(
                            finding.cited.confirmed, seen,
                            "{design} {highest} {cylinder} {finding:?}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn a_lens_on_its_axis_limit_may_fail_the_cylinder_or_not_and_both_are_shown() {
    // Crossing two equal cylinders 16° apart leaves 0.138 D of 0.25 D (recomputed); by reading, both are judged.
    let order = pair("-1.00 -0.25 x 10", "-1.00 -0.25 x 10", "31/31");
    let mut measured = read(&order, Some([(0, 0); 2]), None);
    for (lens, axis, cylinder) in [
        ("-1.00 -0.25 x 26", Holding::Within, Holding::Within),
        ("-1.00 -0.25 x 27", Holding::Out, Holding::Within),
        ("-1.00 -0.35 x 26", Holding::Within, Holding::Out),
    ] {
        measured.eyes[0].power = Some(EyeOrder::parse(lens).unwrap().power);
        let found = judge_by(ISO, SingleVision, &order, &measured);
        assert_eq!(
            (of(&found, Quantity::Axis).1, of(&found, Quantity::Cylinder).1),
            (axis, cylinder),
            "{lens}"
        );
    }
}

#[test]
fn imbalance_grows_with_the_power_above_its_switch() {
    // From memory. Ordered prism of each lens, power, and the greatest prism that passes, in 1/1000 Δ.
    for (ordered, power, vertical, horizontal) in [
        (0, "-3.25", 500, 670),
        (0, "-5.00", 500, 1000),
        (0, "-6.00", 600, 1200),
        (2000, "-3.00", 500, 670),
        (2001, "-3.00", 750, 1000),
        (2001, "-6.00", 850, 1530),
        (10_000, "-6.00", 850, 1530),
        (10_001, "-3.00", 1000, 1250),
        (10_001, "-6.00", 1100, 1780),
    ] {
        let lens = EyeOrder::parse(power).unwrap();
        let mut order = pair(power, power, "31/31");
        // Ordered alike in both lenses for the one direction, against each other for the other.
        order.eyes = [lens; 2].map(|eye| EyeOrder {
            prism: crate::units::PrismPair {
                base_in: crate::units::Prism::from_milli(ordered),
                base_up: crate::units::Prism::from_milli(ordered),
            },
            ..eye
        });
        let holding = |off_in, off_up, quantity| {
            let prisms = [(ordered + off_in, ordered + off_up), (ordered, ordered)];
            of(&judged(SingleVision, &order, Some(prisms), None), quantity).1
        };
        let (up, inward) = (Quantity::Vertical, Quantity::Horizontal);
        assert_eq!(holding(0, vertical, up), Holding::Within, "{ordered} {power}");
        assert_eq!(holding(0, vertical + 1, up), Holding::Out, "{ordered} {power}");
        assert_eq!(holding(horizontal, 0, inward), Holding::Within, "{ordered} {power}");
        assert_eq!(holding(horizontal + 1, 0, inward), Holding::Out, "{ordered} {power}");
    }
}

#[test]
fn between_3_25_and_3_375_nothing_turns_a_verdict() {
    let at = |power: &str, prism| {
        let order = pair(power, power, "31/31");
        let found = judged(SingleVision, &order, Some([(prism, 0), (0, 0)]), None);
        (of(&found, Quantity::Horizontal).1, found.verdict())
    };
    use Holding::{AtLimit, Out as Beyond, Within as Held};
    // At 3.30 D: 0.66 Δ by the one reading, 0.67 Δ by the other.
    assert_eq!(at("-3.30", 660), (Held, Within));
    assert_eq!(at("-3.30", 661), (AtLimit, Within));
    assert_eq!(at("-3.30", 670), (AtLimit, Within));
    assert_eq!(at("-3.30", 671), (Beyond, Out));
    // At 3.37 D, an eighth written short, it is the other way round: 0.675 Δ and 0.67 Δ.
    assert_eq!([670, 671, 675, 676].map(|prism| at("-3.37", prism).0), [Held, AtLimit, AtLimit, Beyond]);
    // Outside the two there is one reading.
    assert_eq!([670, 671].map(|prism| at("-3.25", prism).0), [Held, Beyond]);
    assert_eq!([675, 676].map(|prism| at("-3.376", prism).0), [Held, Beyond]);
}

#[test]
fn a_progressive_rests_on_its_fitting_points_and_not_on_prism() {
    let eye = "-3.00 add 2.00";
    let mm = Length::from_milli;
    let order = PairOrder { segment_heights: Some([mm(18_000); 2]), ..pair(eye, eye, "31/31") };
    let verdict = |pd: Option<&str>, heights: [i32; 2]| -> Verdict {
        let segment_heights = heights.map(|height| Some(mm(height)));
        let measured = PairMeasured { segment_heights, ..read(&order, Some([(900, 900), (0, 0)]), pd) };
        judge_by(ISO, Progressive, &order, &measured).verdict()
    };
    assert_eq!(verdict(Some("32/30"), [18_000; 2]), Within);
    assert_eq!(verdict(Some("32.001/30"), [18_000; 2]), Out);
    assert_eq!(verdict(Some("31/29.999"), [18_000; 2]), Out);
    assert_eq!(verdict(Some("31/31"), [19_000, 18_000]), Within);
    assert_eq!(verdict(Some("31/31"), [19_001, 19_000]), Out);
    assert_eq!(verdict(Some("31/31"), [18_501, 17_500]), Out);
    assert_eq!([verdict(Some("62"), [18_000; 2]), verdict(None, [18_000; 2])], [NotJudged; 2]);
    let found = judge_by(ISO, Progressive, &order, &PairMeasured::default());
    assert!(!found.missing().iter().any(|missing| matches!(missing, Missing::Prism(_))));
    let left: std::vec::Vec<Uncovered> = found.not_covered().iter().map(|left| left.what).collect();
    assert_eq!(left, [Uncovered::Vertical, Uncovered::Horizontal]);
}

#[test]
fn a_multifocal_is_held_to_its_pd_and_heights() {
    let eye = "-1.00 add 2.00";
    let order = PairOrder { segment_heights: Some([Length::from_milli(18_000); 2]), ..pair(eye, eye, "62") };
    let verdict = |pd, heights: [i32; 2]| {
        let segment_heights = heights.map(|height| Some(Length::from_milli(height)));
        let measured = PairMeasured { segment_heights, ..read(&order, Some([(0, 0); 2]), pd) };
        judge_by(ISO, Multifocal, &order, &measured).verdict()
    };
    assert_eq!([verdict(Some("63"), [18_000; 2]), verdict(Some("63.001"), [18_000; 2])], [Within, Out]);
    assert_eq!([verdict(Some("62"), [19_000, 18_000]), verdict(Some("62"), [19_001, 19_001])], [Within, Out]);
    assert_eq!(verdict(None, [18_000; 2]), NotJudged);
}

#[test]
fn additions_are_from_memory() {
    let order = pair("-1.00 add 4.25", "-1.00 add 4.00", "31/31");
    for (off, expected) in [([180, 120], Within), ([181, 120], Out), ([180, 121], Out)] {
        let mut measured = read(&order, Some([(0, 0); 2]), Some("31/31"));
        for (eye, off) in measured.eyes.iter_mut().zip(off) {
            eye.add = eye.add.map(|add| add + Power::from_milli(off));
        }
        let found = judge_by(ISO, Multifocal, &order, &measured);
        assert_eq!(found.verdict(), expected);
        assert!(
            found.findings().iter().any(|found| found.quantity == Quantity::Add && !found.cited.confirmed)
        );
        assert!(
            found
                .findings()
                .iter()
                .all(|found| found.subject != Subject::Pair || found.unit().symbol() != "D")
        );
    }
}
