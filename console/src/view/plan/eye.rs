//! What a plan says of one lens.
//!
//! Directions are seen from the centre dot, as angles of ISO 8429 and as a side in words. The lines are those of the
//! minus-cylinder form, whichever form is ordered, as on the keypad: the first is the sphere of that form, found at
//! its axis; the second stands across it.

use super::notes;
use crate::plan::{BlankBy, Body, EyePlan, Given, Shape, ShapeFrom, side};
use crate::trace::GirthBasis;
use crate::view::{Figure, Lens, Prescription};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Angle, Axis, Length};
use serde::Serialize;

/// One lens of a plan.
#[derive(Debug, Serialize)]
pub struct EyeView {
    pub(super) ordered: Prescription,
    pub(super) minus: Lens,
    pub(super) plus: Lens,
    pub(super) at_90_d: Figure,
    pub(super) at_180_d: Figure,
    pub(super) first_line_d: Figure,
    /// None where a sphere shows its line at every axis.
    pub(super) first_line_deg: Option<Figure>,
    pub(super) second_line_d: Figure,
    pub(super) second_line_deg: Option<Figure>,
    pub(super) in_mm: Figure,
    pub(super) up_mm: Figure,
    pub(super) dot_is_optical_centre: bool,
    pub(super) optical_centre_in_mm: Option<Figure>,
    pub(super) optical_centre_up_mm: Option<Figure>,
    pub(super) segment_drop_mm: Option<Figure>,
    pub(super) segment_inset_mm: Option<Figure>,
    pub(super) shape: ShapeView,
    pub(super) theoretical_blank_mm: Figure,
    pub(super) least_blank_mm: Figure,
    pub(super) stocked_blank_mm: Option<Figure>,
    pub(super) blank: BlankView,
    pub(super) thickness: Option<BodyView>,
    /// What a person should know of this lens.
    pub cautions: Vec<String>,
    #[serde(skip)]
    pub(super) design: Design,
    #[serde(skip)]
    pub(super) height_ordered: bool,
}

/// What the blank must cover and how it does.
#[derive(Debug, Serialize)]
pub struct BlankView {
    pub(super) by: &'static str,
    /// The size that it was worked out from, where that is not the outline.
    pub(super) by_mm: Option<Figure>,
    pub(super) of_shape_mm: Figure,
    pub(super) farthest_deg: Figure,
    pub(super) farthest_at: &'static str,
    pub(super) looked_at_mm: Option<Figure>,
    pub(super) covers: Option<bool>,
    pub(super) spare_mm: Option<Figure>,
    pub(super) spare_deg: Option<Figure>,
    pub(super) spare_at: Option<&'static str>,
    pub(super) largest_decentration_in_mm: Option<Figure>,
    pub(super) if_moved_for_prism_mm: Option<Figure>,
}

/// The shape of a lens.
#[derive(Debug, Serialize)]
pub struct ShapeView {
    pub(super) from: ShapeFrom,
    pub(super) a_mm: Figure,
    pub(super) b_mm: Figure,
    pub(super) ed_mm: Figure,
    pub(super) ed_deg: Figure,
    pub(super) box_centre_x_mm: Figure,
    pub(super) box_centre_y_mm: Figure,
    pub(super) girth_mm: Figure,
    pub(super) circ_mm: Option<Figure>,
    pub(super) circ_basis: Option<&'static str>,
    pub(super) girth_in_space_mm: Option<Figure>,
}

/// The lens as a body.
#[derive(Debug, Serialize)]
pub struct BodyView {
    pub(super) front_curve_d: Figure,
    pub(super) front_curve_from: Given,
    pub(super) centre_mm: Figure,
    pub(super) centre_from: Given,
    pub(super) bound_by_edge: bool,
    pub(super) thickest_mm: Figure,
    pub(super) thickest_deg: Figure,
    pub(super) thickest_at: &'static str,
    pub(super) thinnest_mm: Figure,
    pub(super) thinnest_deg: Figure,
    pub(super) thinnest_at: &'static str,
    pub(super) before_bevel_mm: Option<Figure>,
    pub(super) behind_bevel_mm: Option<Figure>,
    pub(super) weight_g: Option<Figure>,
}

/// To the hundredth: what was traced is known no better.
fn place(length: Length) -> Figure {
    Figure::from(length).to(1, 2)
}

fn size(length: Length) -> Figure {
    Figure::from(length).to(2, 2)
}

/// Never understated.
fn least(length: Length) -> Figure {
    Figure::from(length).to(1, 1).up()
}

impl EyeView {
    pub(super) fn of(design: Design, plan: &EyePlan) -> Self {
        let power = plan.ordered.power;
        let (minus, optical_centre) = (power.minus_cylinder(), plan.optical_centre.ok());
        let (drop, inset) = plan.segment.unwrap_or_default();
        // A power between the principal ones is rounded for showing; an eighth is shown whole.
        let meridian = |degrees| match power.meridian(Angle::from_degrees(degrees)) {
            power if power.milli() % 125 == 0 => power.into(),
            power => Figure::from(power).to(2, 2),
        };
        let axis = |axis: Axis| (!minus.cylinder.is_zero()).then(|| axis.angle().into());
        Self {
            ordered: Prescription::ordered(&plan.ordered),
            minus: minus.into(),
            plus: power.plus_cylinder().into(),
            at_90_d: meridian(90),
            at_180_d: meridian(180),
            first_line_d: minus.sphere.into(),
            first_line_deg: axis(minus.axis),
            second_line_d: minus.combined_power().into(),
            second_line_deg: axis(minus.axis.crossed()),
            in_mm: place(plan.centre_dot.inward),
            up_mm: place(plan.centre_dot.up),
            dot_is_optical_centre: !plan.dot_is_off_optical_centre(),
            optical_centre_in_mm: optical_centre.map(|way| place(way.inward)),
            optical_centre_up_mm: optical_centre.map(|way| place(way.up)),
            segment_drop_mm: drop.map(place),
            segment_inset_mm: inset.map(place),
            shape: ShapeView::of(&plan.shape),
            theoretical_blank_mm: least(plan.blank.theoretical),
            least_blank_mm: least(plan.blank.least),
            stocked_blank_mm: plan.blank.stocked.map(Figure::from),
            blank: BlankView::of(plan),
            thickness: plan.body.as_ref().ok().map(|body| BodyView::of(plan.eye, body)),
            cautions: notes::of_eye(plan),
            design,
            height_ordered: plan.height.is_some(),
        }
    }
}

impl BlankView {
    fn of(plan: &EyePlan) -> Self {
        let (eye, blank) = (plan.eye, &plan.blank);
        let cover = blank.cover.map(|(_, cover)| cover);
        let (by, by_size) = match blank.by {
            BlankBy::Outline => ("trace", None),
            BlankBy::Ed(ed) => ("ED", Some(ed)),
            BlankBy::Diagonal(diagonal) => ("diagonal", Some(diagonal)),
        };
        Self {
            by,
            by_mm: by_size.map(least),
            of_shape_mm: least(blank.of_shape),
            farthest_deg: Figure::direction(blank.farthest),
            farthest_at: side(eye, blank.farthest),
            looked_at_mm: blank.cover.map(|(diameter, _)| diameter.into()),
            covers: cover.map(|cover| cover.is_whole()),
            spare_mm: cover.map(|cover| size(cover.spare)),
            spare_deg: cover.map(|cover| Figure::direction(cover.toward)),
            spare_at: cover.map(|cover| side(eye, cover.toward)),
            largest_decentration_in_mm: blank.decentration.map(place),
            if_moved_for_prism_mm: plan.moved_blank.map(least),
        }
    }
}

impl ShapeView {
    fn of(shape: &Shape) -> Self {
        let (boxed, stated) = (&shape.boxed, shape.stated);
        Self {
            from: shape.from,
            a_mm: size(boxed.a),
            b_mm: size(boxed.b),
            ed_mm: Figure::from(boxed.ed).to(1, 1),
            ed_deg: Figure::direction(boxed.ed_axis),
            box_centre_x_mm: size(boxed.centre.x()),
            box_centre_y_mm: size(boxed.centre.y()),
            girth_mm: size(shape.girth),
            circ_mm: stated.map(|stated| size(stated.circ)),
            circ_basis: stated.map(|stated| match stated.basis() {
                GirthBasis::Plane => "2-D",
                GirthBasis::Space => "3-D",
                GirthBasis::Longer => "3-D or other basis",
                GirthBasis::Shorter => "another basis",
            }),
            girth_in_space_mm: stated.and_then(|stated| stated.in_space).map(size),
        }
    }
}

impl BodyView {
    fn of(eye: Eye, body: &Body) -> Self {
        let fit = body.bevel.as_ref().and_then(|bevel| bevel.as_ref().ok());
        Self {
            front_curve_d: Figure::from(body.front.0).to(2, 2),
            front_curve_from: body.front.1,
            centre_mm: size(body.centre),
            centre_from: body.centre_from,
            bound_by_edge: body.bound_by_edge,
            thickest_mm: size(body.thickest.thickness),
            thickest_deg: Figure::direction(body.thickest.toward),
            thickest_at: side(eye, body.thickest.toward),
            thinnest_mm: size(body.thinnest.thickness),
            thinnest_deg: Figure::direction(body.thinnest.toward),
            thinnest_at: side(eye, body.thinnest.toward),
            before_bevel_mm: fit.map(|fit| size(fit.before)),
            behind_bevel_mm: fit.map(|fit| size(fit.behind)),
            weight_g: body.mass.map(|mass| Figure::grams(mass.milligrams())),
        }
    }
}
