//! A plan for programs.

use crate::cli::figures;
use crate::plan::{BlankBy, Body, EyePlan, Given, Plan, Shape, ShapeFrom, side};
use crate::settings::Roughing;
use crate::trace::GirthBasis;
use crate::work::Job;
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::{Basis, Size};
use bevelbook_core::units::Angle;
use serde_json::{Value, json};

pub(super) fn plan(job: &Job, plan: &Plan, shown: &[Size]) -> Value {
    let first = &plan.first_size;
    let [right, left] = plan.eyes.each_ref().map(eye);
    json!({
        "job": job.order.number,
        "right": right,
        "left": left,
        "material": plan.material.name,
        "roughing": match plan.handling.roughing { Roughing::Wet => "wet", Roughing::Dry => "dry" },
        "pair_weight_g": plan.milligrams().map(grams),
        "bevel_place": plan.bevel,
        "trace_notes": plan.trace_notes.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "grip": if plan.handling.light_because.is_some() { "light" } else { "full" },
        "first_size": {
            "habit_mm": figures::millimetres(first.habit.offset),
            "habit_basis": first.habit.basis,
            "dialled_mm": first.dialled.map(|dialled| figures::millimetres(dialled.amount)),
            "dialled_basis": first.dialled.map(|dialled| dialled.basis),
        },
        "fitted_before_on_diameter_mm":
            shown.iter().map(|size| figures::millimetres(size.on(Basis::Diameter))).collect::<Vec<_>>(),
    })
}

fn eye(eye: &EyePlan) -> Value {
    json!({
        "minus": figures::lens(eye.minus),
        "plus": figures::lens(eye.plus),
        "at_90_d": figures::dioptres(eye.at_90),
        "at_180_d": figures::dioptres(eye.at_180),
        "combined_d": figures::dioptres(eye.minus.combined_power()),
        "in_mm": figures::millimetres(eye.centre_dot.inward),
        "up_mm": figures::millimetres(eye.centre_dot.up),
        "dot_is_optical_centre": !eye.dot_is_off_optical_centre(),
        "theoretical_blank_mm": figures::millimetres(eye.blank.theoretical),
        "least_blank_mm": figures::millimetres(eye.blank.least),
        "stocked_blank_mm": eye.blank.stocked.map(figures::millimetres),
        "blank": blank(eye),
        "shape": shape(&eye.shape),
        "optical_centre_in_mm": eye.optical_centre.ok().map(|way| figures::millimetres(way.inward)),
        "optical_centre_up_mm": eye.optical_centre.ok().map(|way| figures::millimetres(way.up)),
        "optical_centre_refused": eye.optical_centre.err().map(|error| error.to_string()),
        "thickness": eye.body.as_ref().ok().map(|body| thickness(eye.eye, body)),
        "thickness_refused": eye.body.as_ref().err().map(ToString::to_string),
        "segment_drop_mm": eye.segment.and_then(|segment| segment.0).map(figures::millimetres),
        "segment_inset_mm": eye.segment.and_then(|segment| segment.1).map(figures::millimetres),
    })
}

/// What the blank must cover and how it does; directions are seen from the centre dot.
fn blank(eye: &EyePlan) -> Value {
    let blank = &eye.blank;
    let cover = blank.cover.map(|(_, cover)| cover);
    json!({
        "by": match blank.by {
            BlankBy::Outline => "trace",
            BlankBy::Ed(_) => "ED",
            BlankBy::Diagonal(_) => "diagonal",
        },
        "of_shape_mm": figures::millimetres(blank.of_shape),
        "farthest_deg": degrees(blank.farthest),
        "farthest_at": side(eye.eye, blank.farthest),
        "looked_at_mm": blank.cover.map(|(diameter, _)| figures::millimetres(diameter)),
        "covers": cover.map(|cover| cover.is_whole()),
        "spare_mm": cover.map(|cover| figures::millimetres(cover.spare)),
        "spare_deg": cover.map(|cover| degrees(cover.toward)),
        "spare_at": cover.map(|cover| side(eye.eye, cover.toward)),
        "largest_decentration_in_mm": blank.decentration.map(figures::millimetres),
        "if_moved_for_prism_mm": eye.moved_blank.map(figures::millimetres),
    })
}

fn shape(shape: &Shape) -> Value {
    let boxed = &shape.boxed;
    let stated = shape.stated.as_ref();
    json!({
        "from": match shape.from {
            ShapeFrom::Trace => "trace",
            ShapeFrom::OtherTrace => "other eye's trace, mirrored",
            ShapeFrom::Sizes => "A, B and ED",
            ShapeFrom::Ellipse => "A and B",
        },
        "a_mm": figures::millimetres(boxed.a),
        "b_mm": figures::millimetres(boxed.b),
        "ed_mm": figures::millimetres(boxed.ed),
        "ed_deg": degrees(boxed.ed_axis),
        "box_centre_x_mm": figures::millimetres(boxed.centre.x()),
        "box_centre_y_mm": figures::millimetres(boxed.centre.y()),
        "girth_mm": figures::millimetres(shape.girth),
        "circ_mm": stated.map(|stated| figures::millimetres(stated.circ)),
        "circ_basis": stated.map(|stated| match stated.basis() {
            GirthBasis::Plane => "2-D",
            GirthBasis::Space => "3-D",
            GirthBasis::Longer => "3-D or another",
            GirthBasis::Shorter => "another",
        }),
        "girth_in_space_mm": stated.and_then(|stated| stated.in_space).map(figures::millimetres),
    })
}

/// The lens as a body; directions are seen from the centre dot.
fn thickness(eye: Eye, body: &Body) -> Value {
    let given = |given: Given| match given {
        Given::Ordered => "order",
        Given::Taken => "taken",
    };
    let bevel = body.bevel.as_ref().and_then(|bevel| bevel.as_ref().ok());
    json!({
        "front_curve_d": figures::dioptres(body.front.0),
        "front_curve_from": given(body.front.1),
        "centre_mm": figures::millimetres(body.centre),
        "centre_from": given(body.centre_from),
        "bound_by_edge": body.bound_by_edge,
        "thickest_mm": figures::millimetres(body.thickest.thickness),
        "thickest_deg": degrees(body.thickest.toward),
        "thickest_at": side(eye, body.thickest.toward),
        "thinnest_mm": figures::millimetres(body.thinnest.thickness),
        "thinnest_deg": degrees(body.thinnest.toward),
        "thinnest_at": side(eye, body.thinnest.toward),
        "before_bevel_mm": bevel.map(|fit| figures::millimetres(fit.before)),
        "behind_bevel_mm": bevel.map(|fit| figures::millimetres(fit.behind)),
        "groove_warnings": body.groove.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "weight_g": body.mass.map(|mass| grams(mass.milligrams())),
    })
}

fn degrees(angle: Angle) -> f64 {
    figures::milli(angle.milli())
}

fn grams(milligrams: i64) -> f64 {
    milligrams as f64 / 1000.0
}
