//! Prism between the eyes, and the PD.

use super::sample::{judge, pair, read};
use crate::prescription::Eye;
use crate::tolerance::Verdict::{NotJudged, Out, Within};
use crate::tolerance::{Basis, Design, Limit, Missing, Quantity, Verdict};

fn verdict(design: Design, power: &str, prisms: [(i32, i32); 2], pd: Option<&str>) -> Verdict {
    let order = pair(power, power, "31/31");
    judge(design, &order, &read(&order, Some(prisms), pd)).verdict()
}

#[test]
fn vertical_prism_counts_as_the_difference_between_the_eyes() {
    for design in [Design::SingleVision, Design::Progressive] {
        assert_eq!(verdict(design, "-2.00", [(0, 330), (0, 0)], None), Within);
        assert_eq!(verdict(design, "-2.00", [(0, 165), (0, -166)], None), Out);
        assert_eq!(verdict(design, "-2.00", [(0, 900), (0, 900)], None), Within);
    }
}

#[test]
fn above_the_switch_the_heights_of_the_centres_count() {
    // 3.375 D still takes 0.33 Δ; 3.50 D takes 1.0 mm, which is 0.35 Δ.
    let up = |power, up| verdict(Design::SingleVision, power, [(0, up), (0, 0)], Some("62"));
    assert_eq!(up("+3.375", 331), Out);
    assert_eq!(up("+3.376", 337), Within);
    assert_eq!(up("+3.50", 350), Within);
    assert_eq!(up("+3.50", 351), Out);
    // The stronger lens decides, at 90 degrees: here +1.00 -5.00 x 180 has -4.00 there.
    let order = pair("+1.00", "+1.00 -5.00 x 180", "62");
    let found = judge(Design::SingleVision, &order, &read(&order, Some([(0, 400), (0, 0)]), None));
    let vertical = found.findings().iter().find(|f| f.quantity == Quantity::Vertical).unwrap();
    assert_eq!((vertical.limit, vertical.basis), (Limit::from_milli(400), Basis::ShiftAsPrism));
    assert_eq!(found.verdict(), Within);
}

#[test]
fn a_strong_lens_that_is_weak_in_a_meridian_takes_the_rule_of_the_weak() {
    // -4.00 D at 90 degrees, -1.00 D at 180: 1.0 mm vertically, which is 0.40 Δ, and 0.67 Δ horizontally.
    let order = pair("-1.00 -3.00 x 180", "pl", "62");
    let verdict =
        |prism| judge(Design::SingleVision, &order, &read(&order, Some([prism, (0, 0)]), None)).verdict();
    assert_eq!([(670, 400), (671, 400), (670, 401)].map(verdict), [Within, Out, Out]);
}

#[test]
fn horizontal_prism_counts_in_total_up_to_the_switch() {
    let inward = |power, right, left| verdict(Design::Multifocal, power, [(right, 0), (left, 0)], None);
    assert_eq!(inward("-2.75", 335, 335), Within);
    assert_eq!(inward("-2.75", 335, 336), Out);
    assert_eq!(inward("-2.75", -670, 0), Within);
    // A pair that sits to one side: in before one eye, out before the other.
    assert_eq!(inward("-2.75", 900, -900), Within);
    // Above the switch prism says nothing: the PD is needed.
    assert_eq!(inward("-2.751", 0, 0), NotJudged);
}

#[test]
fn above_the_switch_the_pd_counts_in_total() {
    let none = [(0, 0); 2];
    let pd = |pd| verdict(Design::SingleVision, "-3.00", none, Some(pd));
    assert_eq!(pd("64.5"), Within);
    assert_eq!(pd("59.5"), Within);
    assert_eq!(pd("64.501"), Out);
    assert_eq!(pd("59.499"), Out);
    assert_eq!(pd("33/31.5"), Within);
}

#[test]
fn ordered_prism_is_taken_off_first() {
    let order = pair("-1.00 prism 2 in 1 up", "-1.00 prism 2 in", "62");
    let as_ordered = [(2000, 1000), (2000, 0)];
    assert_eq!(judge(Design::SingleVision, &order, &read(&order, Some(as_ordered), None)).verdict(), Within);
    let none = [(0, 0); 2];
    assert_eq!(judge(Design::SingleVision, &order, &read(&order, Some(none), None)).verdict(), Out);
}

#[test]
fn without_prism_the_pd_tells_the_worst_case() {
    let horizontal = |right, left, pd| {
        let order = pair(right, left, "62");
        let found = judge(Design::SingleVision, &order, &read(&order, None, Some(pd)));
        // The vertical is unread in any case.
        assert_eq!(found.missing(), [Missing::Prism(Eye::Right), Missing::Prism(Eye::Left)]);
        let horizontal = found.findings().iter().find(|f| f.quantity == Quantity::Horizontal);
        assert!(horizontal.is_none_or(|f| f.basis == Basis::PrismFromPd));
        (horizontal.map(|f| f.deviation), found.verdict())
    };
    // 3.35 mm at 2.00 D is 0.67 Δ exactly; a micrometre more is over it.
    assert_eq!(horizontal("-2.00", "-2.00", "65.35"), (Some(670), NotJudged));
    assert_eq!(horizontal("-2.00", "-2.00", "65.351"), (Some(671), Out));
    // The stronger lens breaks the limit, the weaker does not: the prism has to be read.
    assert_eq!(horizontal("-2.00", "-0.50", "66"), (None, NotJudged));
}

#[test]
fn a_progressive_pair_is_centred_eye_by_eye_above_its_switch() {
    let none = [(0, 0); 2];
    let pd = |power, pd| verdict(Design::Progressive, power, none, pd);
    assert_eq!(pd("-3.50", Some("32/30")), Within);
    assert_eq!(pd("-3.50", Some("32.001/30")), Out);
    assert_eq!(pd("-3.50", Some("62")), NotJudged);
    assert_eq!(pd("-3.50", None), NotJudged);
    // At 3.375 D the prism counts. 0.72 Δ at 3.50 D is judged in millimetres instead.
    let prism = [(720, 0), (0, 0)];
    assert_eq!(verdict(Design::Progressive, "-3.375", prism, Some("31/31")), Out);
    assert_eq!(verdict(Design::Progressive, "-3.50", prism, Some("31/31")), Within);
    let total = |right, left| verdict(Design::Progressive, "-3.375", [(right, 0), (left, 0)], None);
    assert_eq!((total(335, 335), total(335, 336)), (Within, Out));
    assert_eq!(verdict(Design::Progressive, "-3.376", prism, Some("31/31")), Within);
    // A binocular order does not say where each eye is.
    let order = pair("-3.50", "-3.50", "62");
    let found = judge(Design::Progressive, &order, &read(&order, Some(none), Some("31/31")));
    assert_eq!((found.missing(), found.verdict()), (&[Missing::MonocularPd][..], NotJudged));
}
