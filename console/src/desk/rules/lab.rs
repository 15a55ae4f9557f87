//! What a supplier's power to verify cannot be, and where it lies far from what is ordered.

use super::remark::Remarks;
use crate::desk::{LabPower, Order};
use crate::settings::Settings;
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::deviation;
use bevelbook_core::units::Prism;

/// How far a compensated lens lies from its order at most. Common practice, no source.
const APART_MILLI: i32 = 1000;
/// The same of an addition.
const ADDS_APART_MILLI: i32 = 500;

/// Both eyes' powers to verify.
pub(super) fn review(remarks: &mut Remarks, order: &Order, settings: &Settings) {
    for eye in Eye::BOTH {
        let Some(lab) = order.verify(eye) else { continue };
        let place = format!("{eye} lab power");
        let wanted = order.eye(eye).wanted;
        let text = match wanted.is_made() {
            true => {
                "this is a balance lens, whose power is not judged; leave its lab power out, amending by --clear"
            }
            false => "no lens is made for this eye; leave its lab power out, amending by --clear",
        };
        remarks.refuse_if(!wanted.is_judged(), place.clone(), text);
        if wanted.is_judged() {
            review_eye(remarks, &place, eye, lab, (order, settings));
        }
    }
}

fn review_eye(
    remarks: &mut Remarks,
    place: &str,
    eye: Eye,
    lab: LabPower,
    (order, settings): (&Order, &Settings),
) {
    let ordered = order.eye(eye);
    let off = deviation(ordered.power, lab.power);
    let apart = off.power.abs().max(off.across.abs()).milli();
    let text = format!("{} lies more than 1.00 D from what is ordered", lab.power);
    remarks.warn_if(apart > APART_MILLI, place, text);
    if let Some(prism) = lab.prism {
        // Thinning is in it, or is not: base down by up to so much is what it may be.
        let thinning = order.made_thinner_by(&settings.progressive).prism;
        let off = prism - ordered.prism;
        let [across, up] = [off.base_in.abs(), off.base_up].map(Prism::milli);
        let vertical = up.max(-thinning.milli() - up);
        let text = format!("prism {prism} lies more than 1.00 Δ from what is ordered, {}", ordered.prism);
        remarks.warn_if(across.max(vertical) > APART_MILLI, place, text);
    }
    if let Some(add) = lab.add {
        let text = match ordered.add {
            Some(ordered) => format!("add {add} D lies more than 0.50 D from the ordered {ordered}"),
            None => format!("add {add} D where none is ordered"),
        };
        let apart = ordered.add.is_none_or(|ordered| (add - ordered).abs().milli() > ADDS_APART_MILLI);
        remarks.warn_if(apart, place, text);
    }
}
