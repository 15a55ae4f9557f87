//! Orders that are refused, that are taken with a remark, and that are taken without a word.

use super::super::order::sample;
use super::super::{LabPower, Segment, SegmentShape};
use super::*;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::EyeOrder;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Angle, Power, Prism};

const TODAY: Date = jiff::civil::date(2026, 3, 2);

fn remarks(change: impl FnOnce(&mut Order)) -> Vec<(Severity, String)> {
    let mut order = sample();
    change(&mut order);
    review(&order, &Settings::defaults().unwrap(), TODAY, Some(&sample()))
        .into_iter()
        .map(|r| (r.severity, r.place))
        .collect()
}

fn eye(text: &str) -> EyeOrder {
    EyeOrder::parse(text).unwrap()
}

#[test]
fn a_usual_order_is_taken_without_a_word() {
    assert_eq!(remarks(|_| ()), []);
}

#[test]
fn what_cannot_be_is_refused_and_named() {
    use Severity::Refused;
    assert_eq!(remarks(|o| o.right = eye("-35.00 DS"))[0], (Refused, "right sphere".into()));
    assert_eq!(remarks(|o| o.left = eye("-1.50 -12.00 x 170"))[0], (Refused, "left cylinder".into()));
    assert_eq!(remarks(|o| o.heights = Some([Length::from_milli(40_000); 2]))[0].1, "right height");
    let ed = |milli| move |o: &mut Order| o.frame.size.ed = Some(Length::from_milli(milli));
    assert_eq!(remarks(ed(49_900)), [(Refused, "ED".into())]);
    assert_eq!(remarks(ed(63_000)), [(Refused, "ED".into())]);
    assert_eq!(remarks(ed(62_800)), []);
    let near = |text| move |o: &mut Order| o.near_pd = Some(PupillaryDistance::parse(text).unwrap());
    assert_eq!(remarks(near("62.5")), [(Refused, "near PD".into())]);
    assert_eq!(remarks(near("60")), []);
    assert_eq!(remarks(|o| o.prescribed = Some(jiff::civil::date(2027, 1, 1)))[0].0, Refused);
}

#[test]
fn a_text_that_fills_a_page_is_refused_and_named() {
    use Severity::Refused;
    let long = || "ö".repeat(201);
    assert_eq!(remarks(|o| o.customer = long()), [(Refused, "customer".into())]);
    assert_eq!(remarks(|o| o.tray = Some(long())), [(Refused, "tray".into())]);
    assert_eq!(remarks(|o| o.frame.model = long()), [(Refused, "frame".into())]);
    assert_eq!(remarks(|o| o.frame.material = long()), [(Refused, "rim material".into())]);
    assert_eq!(remarks(|o| o.lens.treatments = vec![long()]), [(Refused, "treatment".into())]);
    let many = |o: &mut Order| o.lens.treatments = vec!["tint".into(); 21];
    assert_eq!(remarks(many), [(Refused, "treatments".into())]);
    assert_eq!(remarks(|o| o.tray = Some("ö".repeat(200))), []);
}

#[test]
fn an_addition_and_its_design_belong_together() {
    use Severity::{Refused, Unusual};
    let adds = |o: &mut Order| {
        o.right = eye("-1.25 -0.75 x 15 add 2");
        o.left = eye("-1.50 -0.50 x 170 add 2");
    };
    assert_eq!(remarks(adds), [(Refused, "design".into())]);
    assert_eq!(remarks(|o| o.lens.design = Design::Progressive)[0], (Refused, "add".into()));
    let progressive = |o: &mut Order| {
        adds(o);
        o.lens.design = Design::Progressive;
    };
    assert_eq!(remarks(progressive), [(Unusual, "heights".into())]);
}

#[test]
fn what_is_unusual_is_said_and_accepted() {
    use Severity::Unusual;
    assert_eq!(remarks(|o| o.right = eye("-1.30 -0.75 x 15")), [(Unusual, "right sphere".into())]);
    assert_eq!(remarks(|o| o.left = eye("-1.50 +0.50 x 170")), [(Unusual, "both eyes".into())]);
    assert_eq!(remarks(|o| o.left = o.right), [(Unusual, "both eyes".into())]);
    let verify = |text| {
        move |o: &mut Order| {
            o.left_verify = Some(LabPower { power: eye(text).power, prism: None, add: None });
        }
    };
    assert_eq!(remarks(verify("-1.63 -0.61 x 168")), []);
    assert_eq!(remarks(verify("+1.50 +0.50 x 170")), [(Unusual, "left lab power".into())]);
    let swap = |o: &mut Order| std::mem::swap(&mut o.right, &mut o.left);
    assert_eq!(remarks(swap), [(Unusual, "both eyes".into())]);
    let pd = |text| move |o: &mut Order| o.far_pd = PupillaryDistance::parse(text).unwrap();
    assert!(remarks(pd("52")).contains(&(Unusual, "PD".into())));
    assert!(remarks(pd("34/28.5")).contains(&(Unusual, "PD".into())));
    assert_eq!(remarks(|o| o.frame.size.ed = None), [(Unusual, "no ED".into())]);
    assert_eq!(remarks(|o| o.due = Some(jiff::civil::date(2026, 3, 1))), [(Unusual, "due date".into())]);
}

fn adds(order: &mut Order, design: Design) {
    order.right = eye("-1.25 -0.75 x 15 add 2");
    order.left = eye("-1.50 -0.50 x 170 add 2");
    order.heights = Some([Length::from_milli(17_000); 2]);
    order.lens.design = design;
}

#[test]
fn an_eye_for_which_no_lens_is_made_compares_with_nothing() {
    use Severity::{Refused, Unusual};
    for untold in ["none", "bal"] {
        assert_eq!(remarks(|o| o.left = eye(untold)), [], "{untold}");
        assert_eq!(remarks(|o| o.right = eye(untold)), [], "{untold}");
        let progressive = |o: &mut Order| {
            adds(o, Design::Progressive);
            o.right = eye(untold);
        };
        assert_eq!(remarks(progressive), [], "{untold}");
    }
    // A balance lens of the other eye's power is what one does.
    assert_eq!(remarks(|o| o.left = EyeOrder { wanted: eye("bal -1 DS").wanted, ..o.right }), []);
    assert_eq!(remarks(|o| [o.right, o.left] = [eye("none"); 2]), [(Refused, "both eyes".into())]);
    let lacks = |o: &mut Order| {
        o.lens.design = Design::Progressive;
        o.right = eye("none");
    };
    assert_eq!(remarks(lacks)[0], (Refused, "add".into()));
    let one_add = |o: &mut Order| {
        adds(o, Design::Progressive);
        o.right = eye("-1.25 -0.75 x 15");
    };
    assert_eq!(remarks(one_add), [(Unusual, "add".into())]);
}

#[test]
fn a_pair_for_near_has_a_near_pd() {
    use Severity::{Refused, Unusual};
    assert_eq!(remarks(|o| o.lens.viewing = Viewing::Near), [(Refused, "near PD".into())]);
    let near = |o: &mut Order| {
        o.lens.viewing = Viewing::Near;
        o.near_pd = Some(PupillaryDistance::parse("30/29").unwrap());
    };
    assert_eq!(remarks(near), []);
    let progressive = |o: &mut Order| {
        adds(o, Design::Progressive);
        near(o);
    };
    assert_eq!(remarks(progressive), [(Unusual, "design".into())]);
}

#[test]
fn what_a_design_has_no_place_for_is_refused() {
    use Severity::{Refused, Unusual};
    let segment = Segment { shape: SegmentShape::FlatTop, width: Some(Length::from_milli(28_000)) };
    assert_eq!(remarks(|o| o.lens.segment = Some(segment)), [(Refused, "segment".into())]);
    assert_eq!(remarks(|o| adds(o, Design::Multifocal)), [(Unusual, "segment".into())]);
    let bifocal = |o: &mut Order| {
        adds(o, Design::Multifocal);
        o.lens.segment = Some(segment);
    };
    assert_eq!(remarks(bifocal), []);
    assert_eq!(remarks(|o| o.lens.thinning = Some(Prism::ZERO)), [(Refused, "thinning".into())]);
    let below = |milli| Some(Length::from_milli(milli));
    assert_eq!(remarks(|o| o.lens.reference_below = below(4000)), [(Refused, "reference point".into())]);
    let progressive = |milli| {
        move |o: &mut Order| {
            adds(o, Design::Progressive);
            o.lens.reference_below = below(milli);
        }
    };
    assert_eq!(remarks(progressive(0)), []);
    assert_eq!(remarks(progressive(8000)), []);
    assert_eq!(remarks(progressive(8001)), [(Refused, "reference point".into())]);
}

fn verify(text: &str) -> LabPower {
    let read = eye(text);
    LabPower { power: read.power, prism: text.contains("prism").then_some(read.prism), add: read.add }
}

#[test]
fn a_power_to_verify_is_held_against_its_order() {
    use Severity::{Refused, Unusual};
    let far = [(Unusual, "left lab power".to_owned())];
    let progressive = |lab: &'static str, thinning: Option<i32>| {
        remarks(move |o| {
            adds(o, Design::Progressive);
            o.left_verify = Some(verify(lab));
            o.lens.thinning = thinning.map(Prism::from_milli);
        })
    };
    // 0.6 of the addition, 1.20 base down, may be in it; 1.00 more is far.
    assert_eq!(progressive("-1.50 -0.50 x 170 prism 1.2 down add 2.12", None), []);
    assert_eq!(progressive("-1.50 -0.50 x 170 prism 2.2 down", None), []);
    assert_eq!(progressive("-1.50 -0.50 x 170 prism 2.21 down", None), far);
    assert_eq!(progressive("-1.50 -0.50 x 170 prism 1.01 up", None), far);
    assert_eq!(progressive("-1.50 -0.50 x 170 prism 1.01 in", None), far);
    assert_eq!(progressive("-1.50 -0.50 x 170 add 2.62", None), far);
    let thinned = progressive("-1.50 -0.50 x 170 prism 1.2 down", Some(1200));
    assert_eq!(thinned, [(Unusual, "thinning".into())]);
    assert_eq!(remarks(|o| o.left_verify = Some(verify("-1.50 -0.50 x 170 add 1"))), far);
    for untold in ["none", "bal", "bal -1.50 -0.50 x 170"] {
        let said = remarks(|o| {
            o.left = eye(untold);
            o.left_verify = Some(verify("-1.50 -0.50 x 170"));
        });
        assert_eq!(said, [(Refused, "left lab power".into())], "{untold}");
    }
}

#[test]
fn a_frame_that_sits_like_no_other_is_remarked_on() {
    use Severity::{Refused, Unusual};
    let worn = |tilt, wrap, curve| {
        remarks(move |o| {
            o.frame.tilt = Some(Angle::from_degrees(tilt));
            o.frame.wrap = Some(Angle::from_degrees(wrap));
            o.frame.curve = Some(Power::from_milli(curve));
        })
    };
    assert_eq!(worn(20, 25, 6000), []);
    assert_eq!(worn(21, 26, 10_500), ["tilt", "wrap", "frame curve"].map(|place| (Unusual, place.into())));
    assert_eq!(worn(8, 5, 60_000), [(Refused, "frame curve".into())]);
}

#[test]
fn a_treatment_that_the_shop_does_not_know_is_said_to_be_unknown() {
    let treated = |name: &str| remarks(|o| o.lens.treatments = vec![name.into()]);
    assert_eq!([treated("AR"), treated("uv")], [vec![], vec![]]);
    assert_eq!(treated("gold leaf"), [(Severity::Unusual, "treatment".into())]);
    assert_eq!(remarks(|o| o.lens.safety = Some("ö".repeat(201)))[0].1, "safety");
}
