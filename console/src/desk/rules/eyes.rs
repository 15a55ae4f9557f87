//! What prescriptions cannot be, each and the two together.

use super::remark::Remarks;
use crate::desk::Order;
use bevelbook_core::prescription::{Eye, EyeOrder};

/// Each eye, and both together where both are known.
pub(super) fn review(remarks: &mut Remarks, order: &Order) {
    for eye in Eye::BOTH {
        review_eye(remarks, eye, order.eye(eye));
    }
    let made = Eye::BOTH.into_iter().any(|eye| order.eye(eye).wanted.is_made());
    let text = "nothing is made for either; one of them needs a power, for example -1.50 -0.50 x 170";
    remarks.refuse_if(!made, "both eyes", text);
    if both_known(order) {
        review_powers(remarks, order);
        review_prism(remarks, order);
    }
    let judged = Eye::BOTH.into_iter().all(|eye| order.eye(eye).wanted.is_judged());
    let [right, left] = [order.right.add, order.left.add];
    let text = format!("right {}, left {}: adds usually match", shown(right), shown(left));
    remarks.warn_if(judged && right != left, "add", text);
}

/// Whether the powers of both eyes are told: those that nobody told compare with nothing.
pub(super) fn both_known(order: &Order) -> bool {
    Eye::BOTH.into_iter().all(|eye| order.eye(eye).wanted.power_is_known())
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
    remarks.warn_if(strong, format!("{eye} eye"), format!("{} is an unusually strong power", order.power));
    if let Some(add) = order.add {
        let place = format!("{eye} add");
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
    remarks.warn_if(most > 6000, place, format!("{prism} is an unusually strong prism"));
}

fn review_powers(remarks: &mut Remarks, order: &Order) {
    let [right, left] = [order.right, order.left];
    let cylinders = i64::from(right.power.cylinder.milli()) * i64::from(left.power.cylinder.milli());
    let text = "one cylinder is plus and the other minus; was one eye copied in the other notation?";
    remarks.warn_if(cylinders < 0, "both eyes", text);
    let spheres = i64::from(right.power.combined_power().milli()) * i64::from(left.power.sphere.milli());
    let apart = (right.power.sphere - left.power.sphere).abs().milli() > 3000;
    remarks.warn_if(spheres < 0 && apart, "both eyes", "one sphere is plus and the other minus, far apart");
    let oblique = !right.power.cylinder.is_zero() && right.power.axis.milli() % 90_000 != 0;
    let judged = right.wanted.is_judged() && left.wanted.is_judged();
    let text = "the same power and oblique axis on both sides; was one eye copied for the other?";
    remarks.warn_if(judged && right.power == left.power && oblique, "both eyes", text);
}

fn review_prism(remarks: &mut Remarks, order: &Order) {
    let [right, left] = [order.right, order.left];
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
