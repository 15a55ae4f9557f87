//! What an order cannot be, and what is unusual in one.
//!
//! The bounds are common practice, no source, unless one is named: wide enough for every wearer, narrow enough to
//! catch a slip of the pen. What cannot be is refused; what is unusual is said and accepted.

mod design;
mod eyes;
mod frame;
mod lab;
mod remark;

pub use remark::{Remark, Severity};

use super::{Order, Viewing};
use crate::settings::{Settings, has_room};
use bevelbook_core::lens::BaseCurve;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use jiff::civil::Date;
use remark::Remarks;

/// Everything that is wrong or unusual in `order` for a shop with these settings, as of `today`; `earlier` is the same
/// customer's order before.
pub fn review(order: &Order, settings: &Settings, today: Date, earlier: Option<&Order>) -> Vec<Remark> {
    let mut remarks = Remarks::default();
    review_texts(&mut remarks, order, settings);
    eyes::review(&mut remarks, order);
    lab::review(&mut remarks, order, settings);
    review_heights(&mut remarks, order);
    design::review(&mut remarks, order);
    review_pd(&mut remarks, order);
    frame::review(&mut remarks, order);
    frame::review_worn(&mut remarks, order);
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

fn review_texts(remarks: &mut Remarks, order: &Order, settings: &Settings) {
    let Order { customer, tray, frame, lens, .. } = order;
    let texts = [
        ("customer", Some(customer)),
        ("tray", tray.as_ref()),
        ("frame", Some(&frame.model)),
        ("rim material", Some(&frame.material)),
        ("material", Some(&lens.material)),
        ("safety", lens.safety.as_ref()),
    ];
    let treatments = lens.treatments.iter().map(|treatment| ("treatment", Some(treatment)));
    for (place, text) in texts.into_iter().chain(treatments) {
        if let Some(Err(long)) = text.map(|text| has_room(text)) {
            remarks.refuse_if(true, place, long.to_string());
        }
    }
    // A text that is too long is not told again.
    let known = [
        ("material", Some(&lens.material), settings.material_key(&lens.material).err()),
        (
            "safety",
            lens.safety.as_ref(),
            lens.safety.as_ref().and_then(|rule| settings.thickness.safety(rule).err()),
        ),
    ];
    for (place, text, unknown) in known {
        if let (Some(Ok(())), Some(unknown)) = (text.map(|text| has_room(text)), unknown) {
            remarks.refuse_if(true, place, unknown.to_string());
        }
    }
    let many = lens.treatments.len();
    remarks.refuse_if(many > TREATMENTS, "treatments", format!("{many} are given, {TREATMENTS} at most"));
    for treatment in lens.treatments.iter().filter(|treatment| settings.treatment(treatment).is_none()) {
        let known: Vec<&str> = settings.treatments.keys().map(String::as_str).collect();
        let text = format!(
            "{treatment:?} is not in the settings: how to clamp it and on what pad is not known; known are {}",
            known.join(", ")
        );
        remarks.warn_if(has_room(treatment).is_ok(), "treatment", text);
    }
}

fn review_heights(remarks: &mut Remarks, order: &Order) {
    let b = order.frame.size.b;
    for eye in Eye::BOTH {
        let Some(height) = order.height(eye) else { continue };
        let example = Length::from_milli(b.milli() / 2 + 2000);
        let text = format!("{height} mm lies outside the box, which is {b} mm high; for example {example}");
        remarks.refuse_if(height <= Length::ZERO || height >= b, format!("{eye} height"), text);
    }
}

fn review_pd(remarks: &mut Remarks, order: &Order) {
    let (far, total) = (order.far_pd, order.far_pd.total());
    let text = "a pair for near is centred at the near PD: give it, for example 28.5/28.5";
    remarks.refuse_if(order.lens.viewing == Viewing::Near && order.near_pd.is_none(), "near PD", text);
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
        let place = format!("{eye} base curve");
        let text = format!("{curve} D is beyond ±25 D; is a decimal point missing? For example 6.00");
        remarks.refuse_if(curve.abs().milli() > 25_000, place.clone(), text);
        let unusual = !(0..=12_000).contains(&curve.milli());
        remarks.warn_if(unusual, place, format!("{curve} D is outside 0.00 to +12.00 D"));
    }
    let [right, left] = curves;
    let text = format!("right {right}, left {left} D: a pair is usually made on curves that match");
    let both = order.right.wanted.is_made() && order.left.wanted.is_made();
    remarks.warn_if(both && (right - left).abs() > BaseCurve::MATCHED, "base curve", text);
}

fn review_dates(remarks: &mut Remarks, order: &Order, today: Date) {
    if let Some(due) = order.due {
        remarks.warn_if(due < today, "due date", format!("{due} is in the past"));
    }
    let Some(prescribed) = order.prescribed else { return };
    remarks.refuse_if(prescribed > today, "prescription date", format!("{prescribed} is yet to come"));
    let old = prescribed.saturating_add(jiff::Span::new().years(2)) < today;
    let text = format!("{prescribed} is over two years ago; local law may want a newer prescription");
    remarks.warn_if(old, "prescription date", text);
}

fn review_against_earlier(remarks: &mut Remarks, order: &Order, earlier: &Order) {
    let known = [order, earlier].iter().all(|order| eyes::both_known(order));
    let swapped = order.right.power == earlier.left.power && order.left.power == earlier.right.power;
    let differ = known && order.right.power != order.left.power;
    let text = format!("right and left are those of job {} the other way round", earlier.number);
    remarks.warn_if(swapped && differ, "both eyes", text);
    let moved = (order.far_pd.total() - earlier.far_pd.total()).abs();
    let text = format!("{} differs by {moved} mm from job {}", order.far_pd, earlier.number);
    remarks.warn_if(moved.milli() > 2000, "PD", text);
}

#[cfg(test)]
mod tests;
