//! What an order says of a design, and what that design has no place for.

use super::remark::Remarks;
use crate::desk::{Order, Viewing};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;

/// Additions, heights and PD of a design, and its own fields.
pub(super) fn review(remarks: &mut Remarks, order: &Order) {
    let design = order.lens.design;
    let single = design == Design::SingleVision;
    let judged = Eye::BOTH.map(|eye| order.eye(eye)).into_iter().filter(|eye| eye.wanted.is_judged());
    let (adds, lacks) = judged.fold((false, false), |(adds, lacks), eye| match eye.add {
        Some(_) => (true, lacks),
        None => (adds, true),
    });
    let text = "an add needs a lens that has one: bifocal or progressive";
    remarks.refuse_if(adds && single, "design", text);
    let text = format!("a {design} lens needs an add, for example `add +2.00`");
    remarks.refuse_if(!adds && lacks && !single, "add", text);
    let text = "not given; they are needed before the lenses are marked, for example 18/18.5";
    remarks.warn_if(order.lacks_heights(), "heights", text);
    let binocular = matches!(order.far_pd, PupillaryDistance::Binocular(_));
    let text = "progressive lenses are centred eye by eye: measure monocular PDs, for example 31.5/30";
    remarks.warn_if(design == Design::Progressive && binocular, "PD", text);
    let text = format!("a pair for near is single vision as a rule, and this one is {design}");
    remarks.warn_if(order.lens.viewing == Viewing::Near && !single, "design", text);
    review_segment(remarks, order);
    review_progressive(remarks, order);
}

fn review_segment(remarks: &mut Remarks, order: &Order) {
    let (design, segment) = (order.lens.design, order.lens.segment);
    let text =
        format!("a {design} lens has none; is a multifocal meant? Amending, --clear segment takes it out");
    remarks.refuse_if(design != Design::Multifocal && segment.is_some(), "segment", text);
    let text = "not given; without it the plan cannot place the lens in its blank, for example flat top 28";
    remarks.warn_if(design == Design::Multifocal && segment.is_none(), "segment", text);
}

/// The farthest that a prism reference point lies below its fitting cross. By the design it is 2 to 4 mm (public note of a
/// trade article of 1998); twice that is a slip of the pen.
const REFERENCE_BELOW: Length = Length::from_milli(8000);

fn review_progressive(remarks: &mut Remarks, order: &Order) {
    let lens = &order.lens;
    for (place, flag, said) in [
        ("thinning", "thinning", lens.thinning.is_some()),
        ("reference point", "reference-below", lens.reference_below.is_some()),
    ] {
        let text = format!(
            "only progressives have it, and these are {}; amending, --clear {flag} takes it out",
            lens.design
        );
        remarks.refuse_if(lens.design != Design::Progressive && said, place, text);
    }
    if let Some(below) = lens.reference_below {
        let text = format!(
            "{below} mm below the fitting cross is not from 0 to {REFERENCE_BELOW} mm; for example 4"
        );
        remarks.refuse_if(!(Length::ZERO..=REFERENCE_BELOW).contains(&below), "reference point", text);
    }
    let text = "the prism to verify has it in it already; what is stated here is not added";
    remarks.warn_if(lens.thinning.is_some() && order.is_prism_told(), "thinning", text);
}
