//! What an order cannot be, and what is unusual in one.
//!
//! The bounds are common practice, no source, unless one is named: wide enough for every wearer, narrow enough to
//! catch a slip of the pen. What cannot be is refused; what is unusual is said and accepted.

mod frame;
mod remark;

pub use remark::{Remark, Severity};

use super::Order;
use crate::settings::has_room;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::tolerance::{Design, deviation};
use bevelbook_core::units::Length;
use jiff::civil::Date;
use remark::Remarks;

/// Everything that is wrong or unusual in `order`, as of `today`; `earlier` is the same customer's order before.
pub fn review(order: &Order, today: Date, earlier: Option<&Order>) -> Vec<Remark> {
    let mut remarks = Remarks::default();
    review_texts(&mut remarks, order);
    for eye in Eye::BOTH {
        review_eye(&mut remarks, eye, order.eye(eye));
        if let Some(verify) = order.verify(eye) {
            let place = format!("{eye} power to verify");
            let verify = verify.power;
            let off = deviation(order.eye(eye).power, verify);
            let apart = off.power.abs().max(off.across.abs());
            let text = format!("{verify} lies more than 1.00 D from what is ordered");
            remarks.warn_if(apart.milli() > 1000, place, text);
        }
        if let Some(height) = order.height(eye) {
            let b = order.frame.size.b;
            let example = Length::from_milli(b.milli() / 2 + 2000);
            let text =
                format!("{height} mm lies outside the box, which is {b} mm high; for example {example}");
            remarks.refuse_if(height <= Length::ZERO || height >= b, format!("{eye} height"), text);
        }
    }
    review_both_eyes(&mut remarks, order);
    review_design(&mut remarks, order);
    review_pd(&mut remarks, order);
    frame::review(&mut remarks, order);
    frame::review_trace(&mut remarks, order);
    review_curves(&mut remarks, order);
    review_dates(&mut remarks, order, today);
    if let Some(earlier) = earlier {
        review_against_earlier(&mut remarks, order, earlier);
    }
    remarks.0
}

/// The most treatments that one lens has.
const TREATMENTS: usize = 20;

fn review_texts(remarks: &mut Remarks, order: &Order) {
    let Order { customer, tray, frame, lens, .. } = order;
    let texts = [
        ("customer", Some(customer)),
        ("tray", tray.as_ref()),
        ("frame", Some(&frame.model)),
        ("rim material", Some(&frame.material)),
        ("material", Some(&lens.material)),
    ];
    let treatments = lens.treatments.iter().map(|treatment| ("treatment", Some(treatment)));
    for (place, text) in texts.into_iter().chain(treatments) {
        if let Some(Err(long)) = text.map(|text| has_room(text)) {
            remarks.refuse_if(true, place, long.to_string());
        }
    }
    let many = lens.treatments.len();
    remarks.refuse_if(many > TREATMENTS, "treatments", format!("{many} are given, {TREATMENTS} at most"));
}

fn review_eye(remarks: &mut Remarks, eye: Eye, order: &EyeOrder) {
    let (sphere, cylinder) = (order.power.sphere, order.power.cylinder);
    for (name, power, most) in [("sphere", sphere, 30_000), ("cylinder", cylinder, 10_000)] {
        let place = format!("{eye} {name}");
        let limit = most / 1000;
        let text = format!(
            "{power} D is beyond ±{limit} D; is a decimal point missing? For example -1.25, not -125"
        );
        remarks.refuse_if(power.abs().milli() > most, place.clone(), text);
        let text = format!("{power} D is off the usual steps of 0.25 and 0.125 D");
        remarks.warn_if(power.milli() % 125 != 0, place, text);
    }
    let strong = sphere.abs().milli() > 20_000 || cylinder.abs().milli() > 6_000;
    remarks.warn_if(strong, format!("{eye} eye"), format!("{} is a seldom strong power", order.power));
    if let Some(add) = order.add {
        let place = format!("{eye} addition");
        let text = format!("{add} D is beyond +4.00 D; for example +2.00");
        remarks.refuse_if(add.milli() > 4000, place.clone(), text);
        let unusual = add.milli() > 3500 || add.milli() < 500;
        remarks.warn_if(unusual, place.clone(), format!("{add} D is outside +0.50 to +3.50 D"));
        let text = format!("{add} D is off the usual steps of 0.25 and 0.125 D");
        remarks.warn_if(add.milli() % 125 != 0, place, text);
    }
    let prism = order.prism;
    let most = prism.base_in.abs().max(prism.base_up.abs()).milli();
    let place = format!("{eye} prism");
    remarks.refuse_if(most > 20_000, place.clone(), format!("{prism} is beyond 20 Δ; for example 2 in"));
    remarks.warn_if(most > 6000, place, format!("{prism} is a seldom strong prism"));
}

fn review_both_eyes(remarks: &mut Remarks, order: &Order) {
    let [right, left] = [order.right, order.left];
    let cylinders = i64::from(right.power.cylinder.milli()) * i64::from(left.power.cylinder.milli());
    let text = "one cylinder is plus and the other minus; was one eye copied in the other notation?";
    remarks.warn_if(cylinders < 0, "both eyes", text);
    let spheres = i64::from(right.power.combined_power().milli()) * i64::from(left.power.sphere.milli());
    let apart = (right.power.sphere - left.power.sphere).abs().milli() > 3000;
    remarks.warn_if(spheres < 0 && apart, "both eyes", "one sphere is plus and the other minus, far apart");
    let oblique = !right.power.cylinder.is_zero() && right.power.axis.milli() % 90_000 != 0;
    let text = "the same power and oblique axis on both sides; was one eye copied for the other?";
    remarks.warn_if(right.power == left.power && oblique, "both eyes", text);
    let text = format!("right {}, left {}: additions usually agree", shown(right.add), shown(left.add));
    remarks.warn_if(right.add != left.add, "addition", text);
    let vertical = i64::from(right.prism.base_up.milli()) * i64::from(left.prism.base_up.milli());
    let text = "base up or down on both sides cancels; vertical prism is usually split up and down";
    remarks.warn_if(vertical > 0, "prism", text);
    let horizontal = i64::from(right.prism.base_in.milli()) * i64::from(left.prism.base_in.milli());
    let text =
        "base in on one side and base out on the other cancel; horizontal prism is usually split alike";
    remarks.warn_if(horizontal < 0, "prism", text);
}

fn shown(add: Option<bevelbook_core::units::Power>) -> String {
    add.map_or_else(|| "none".to_owned(), |add| add.to_string())
}

fn review_design(remarks: &mut Remarks, order: &Order) {
    let adds = order.right.add.is_some() || order.left.add.is_some();
    let single = order.lens.design == Design::SingleVision;
    let text = "an addition needs a design that has one: multifocal or progressive";
    remarks.refuse_if(adds && single, "design", text);
    let text = format!("a {} lens needs an addition, for example `add +2.00`", order.lens.design);
    remarks.refuse_if(!adds && !single, "addition", text);
    let text = "not given; they are needed before the lenses are marked, for example 18/18.5";
    remarks.warn_if(!single && order.heights.is_none(), "heights", text);
    let binocular = matches!(order.far_pd, PupillaryDistance::Binocular(_));
    let text = "progressive lenses are centred eye by eye: measure monocular PDs, for example 31.5/30";
    remarks.warn_if(order.lens.design == Design::Progressive && binocular, "PD", text);
}

fn review_pd(remarks: &mut Remarks, order: &Order) {
    let (far, total) = (order.far_pd, order.far_pd.total());
    let outside = !(54_000..=74_000).contains(&total.milli());
    remarks.warn_if(outside, "PD", format!("{total} mm is outside the 54 to 74 mm that most adults have"));
    let uneven = (far.of(Eye::Right) - far.of(Eye::Left)).abs();
    let text = format!("the two sides differ by {uneven} mm; measure again or look for swapped sides");
    remarks.warn_if(uneven.milli() > 4000, "PD", text);
    if let Some(near) = order.near_pd {
        let text = format!("{near} is not below the distance PD {far}; for example {}", example_near(total));
        remarks.refuse_if(near.total() >= total, "near PD", text);
        let text = format!("{near} is more than 6 mm below the distance PD {far}");
        remarks.warn_if((total - near.total()).milli() > 6000, "near PD", text);
    }
}

fn example_near(total: Length) -> Length {
    total - Length::from_milli(3000)
}

fn review_curves(remarks: &mut Remarks, order: &Order) {
    let Some(curves) = order.front_curve else { return };
    for (eye, curve) in Eye::BOTH.into_iter().zip(curves) {
        let place = format!("{eye} front curve");
        let text = format!("{curve} D is beyond ±25 D; is a decimal point missing? For example 6.00");
        remarks.refuse_if(curve.abs().milli() > 25_000, place.clone(), text);
        let unusual = !(0..=12_000).contains(&curve.milli());
        remarks.warn_if(unusual, place, format!("{curve} D is outside 0.00 to +12.00 D"));
    }
}

fn review_dates(remarks: &mut Remarks, order: &Order, today: Date) {
    if let Some(due) = order.due {
        remarks.warn_if(due < today, "due date", format!("{due} is past"));
    }
    let Some(prescribed) = order.prescribed else { return };
    remarks.refuse_if(prescribed > today, "prescription date", format!("{prescribed} is yet to come"));
    let old = prescribed.saturating_add(jiff::Span::new().years(2)) < today;
    let text = format!("{prescribed} is over two years ago; local law may want a newer prescription");
    remarks.warn_if(old, "prescription date", text);
}

fn review_against_earlier(remarks: &mut Remarks, order: &Order, earlier: &Order) {
    let swapped = order.right.power == earlier.left.power && order.left.power == earlier.right.power;
    let differ = order.right.power != order.left.power;
    let text = format!("right and left are those of job {} the other way round", earlier.number);
    remarks.warn_if(swapped && differ, "both eyes", text);
    let moved = (order.far_pd.total() - earlier.far_pd.total()).abs();
    let text = format!("{} differs by {moved} mm from job {}", order.far_pd, earlier.number);
    remarks.warn_if(moved.milli() > 2000, "PD", text);
}

#[cfg(test)]
mod tests {
    use super::super::LabPower;
    use super::super::order::sample;
    use super::*;

    const TODAY: Date = jiff::civil::date(2026, 3, 2);

    fn remarks(change: impl FnOnce(&mut Order)) -> Vec<(Severity, String)> {
        let mut order = sample();
        change(&mut order);
        review(&order, TODAY, Some(&sample())).into_iter().map(|r| (r.severity, r.place)).collect()
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
        assert_eq!(remarks(|o| o.lens.design = Design::Progressive)[0], (Refused, "addition".into()));
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
        assert_eq!(remarks(verify("+1.50 +0.50 x 170")), [(Unusual, "left power to verify".into())]);
        let swap = |o: &mut Order| std::mem::swap(&mut o.right, &mut o.left);
        assert_eq!(remarks(swap), [(Unusual, "both eyes".into())]);
        let pd = |text| move |o: &mut Order| o.far_pd = PupillaryDistance::parse(text).unwrap();
        assert!(remarks(pd("52")).contains(&(Unusual, "PD".into())));
        assert!(remarks(pd("34/28.5")).contains(&(Unusual, "PD".into())));
        assert_eq!(remarks(|o| o.frame.size.ed = None), [(Unusual, "ED".into())]);
        assert_eq!(remarks(|o| o.due = Some(jiff::civil::date(2026, 3, 1))), [(Unusual, "due date".into())]);
    }
}
