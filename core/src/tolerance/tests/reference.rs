//! The reference point of an uncut lens.

use crate::prescription::{Eye, EyeOrder, SphereCylinder};
use crate::tolerance::{Design, EyeReading, Stage, Standard, Verdict, judge_eye};
use crate::units::{Length, Notation, PrismPair};

const ANSI: Standard = Standard::AnsiZ801_2015;

fn lens(text: &str) -> SphereCylinder {
    SphereCylinder::parse(text, Notation::Reading).unwrap()
}

#[test]
fn the_reference_point_holds_by_its_prism_or_by_its_place() {
    let order = EyeOrder::parse("-8.00 prism 1 up").unwrap();
    let verdict = |prism: Option<&str>, shift: Option<i32>| {
        let read = EyeReading {
            prism: prism.map(|text| PrismPair::parse(text).unwrap()),
            reference_shift: shift.map(Length::from_milli),
            ..EyeReading::of_power(lens("-8.00 DS"))
        };
        judge_eye(ANSI, Design::SingleVision, Stage::Uncut, Eye::Left, &order, &read).verdict()
    };
    assert_eq!(verdict(Some("1.33 up"), None), Verdict::Within);
    assert_eq!(verdict(Some("1.331 up"), Some(1001)), Verdict::Out);
    assert_eq!(verdict(Some("1.331 up"), Some(1000)), Verdict::Within);
    assert_eq!(verdict(Some("1.331 up"), None), Verdict::NotJudged);
    assert_eq!(verdict(None, Some(1000)), Verdict::Within);
    assert_eq!(verdict(None, Some(1001)), Verdict::NotJudged);
    assert_eq!(verdict(None, None), Verdict::NotJudged);
    // 0.198 and 0.264 are 0.33 along the diagonal; the effect of both directions counts together.
    assert_eq!(verdict(Some("1.198 up 0.264 out"), Some(2000)), Verdict::Within);
    assert_eq!(verdict(Some("1.199 up 0.264 out"), Some(2000)), Verdict::Out);
}
#[test]
fn a_shop_can_ask_for_prism_and_place() {
    let both = ANSI.table().with_both_at_reference();
    let order = EyeOrder::parse("-8.00").unwrap();
    let verdict = |prism: Option<&str>, shift: Option<i32>| {
        let read = EyeReading {
            prism: prism.map(|text| PrismPair::parse(text).unwrap()),
            reference_shift: shift.map(Length::from_milli),
            ..EyeReading::of_power(lens("-8.00 DS"))
        };
        judge_eye(&both, Design::SingleVision, Stage::Uncut, Eye::Left, &order, &read).verdict()
    };
    assert_eq!(verdict(Some("0.33 up"), Some(1000)), Verdict::Within);
    assert_eq!(verdict(Some("0.33 up"), Some(1001)), Verdict::Out);
    assert_eq!(verdict(Some("0.331 up"), Some(1000)), Verdict::Out);
    assert_eq!(verdict(Some("0.33 up"), None), Verdict::NotJudged);
    assert_eq!(verdict(Some("0.331 up"), None), Verdict::Out);
    assert_eq!(verdict(None, Some(1000)), Verdict::NotJudged);
}
