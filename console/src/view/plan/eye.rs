//! What a plan says of one lens.
//!
//! Powers and prism are those that a focimeter is to show; what is ordered stands beside them where it differs.
//! Directions are seen from the middle of the blank, those of an edge from where the centre is measured, as angles of
//! ISO 8429 and as a side in words. The lines are those of the minus-cylinder form, whichever form is ordered, as on the
//! keypad: the first is the sphere of that form, found at its axis; the second stands across it. A balance lens whose power
//! is not told has none of them.

use super::caution::Caution;
use super::off_centre::ReadingView;
use super::rounding::{least, place, size};
use super::segment::SegmentView;
use super::{WornView, notes, rounding, seat};
use crate::plan::{BlankBy, Body, EyePlan, Given, LaidOutBy, PairOffCentre, RimFrom, ShapeFrom, side};
use crate::trace::GirthBasis;
use crate::view::{Figure, Lens, Prescription, PrismView};
use bevelbook_core::lens::CurveBasis;
use bevelbook_core::prescription::{Eye, LensPoint, SphereCylinder};
use bevelbook_core::tolerance::{Design, ThinningKnown};
use bevelbook_core::units::{Angle, Axis, Length, PrismPair};

view! {
    /// One lens of a plan.
    pub EyeView of (design: Design, plan: &EyePlan, pair: &PairOffCentre, arrived: Option<Length>) with {
        let (layout, off) = (&plan.layout, pair.eyes[plan.eye.index()]);
        let power = plan.expected.wanted.power_is_known().then_some(plan.expected.power);
        let minus = power.map(SphereCylinder::minus_cylinder);
        let axis = |axis: fn(SphereCylinder) -> Axis| {
            minus.filter(|minus| !minus.cylinder.is_zero()).map(|minus| axis(minus).angle().into())
        };
        // A power between the principal ones is rounded for showing; an eighth is shown whole.
        let meridian = |degrees| power.map(|power| match power.meridian(Angle::from_degrees(degrees)) {
            power if power.milli() % 125 == 0 => power.into(),
            between => rounding::power(between),
        });
        let centre = plan.optical_centre.and_then(Result::ok);
    } {
        pub(super) ordered: Prescription = Prescription::ordered(&plan.ordered),
        /// What a focimeter is to show; the prism that thins a progressive comes on top.
        pub(super) expected: Prescription = Prescription::ordered(&plan.expected),
        pub(super) prism: PrismView = PrismView::of(plan.prism),
        pub(super) minus: Option<Lens> = minus.map(Lens::from),
        pub(super) plus: Option<Lens> = power.map(|power| power.plus_cylinder().into()),
        pub(super) at_90_d: Option<Figure> = meridian(90),
        pub(super) at_180_d: Option<Figure> = meridian(180),
        pub(super) first_line_d: Option<Figure> = minus.map(|minus| minus.sphere.into()),
        /// None where a sphere shows its line at every axis.
        pub(super) first_line_deg: Option<Figure> = axis(|minus| minus.axis),
        pub(super) second_line_d: Option<Figure> = minus.map(|minus| minus.combined_power().into()),
        pub(super) second_line_deg: Option<Figure> = axis(|minus| minus.axis.crossed()),
        pub(super) in_mm: Figure = place(layout.at_pupil.inward),
        pub(super) up_mm: Figure = place(layout.at_pupil.up),
        pub(super) layout: LayoutView = LayoutView::of(plan),
        pub(super) dot_is_optical_centre: bool = plan.optical_centre == Some(Ok(LensPoint::OPTICAL_CENTRE)),
        pub(super) optical_centre_in_mm: Option<Figure> = centre.map(|way| place(way.inward)),
        pub(super) optical_centre_up_mm: Option<Figure> = centre.map(|way| place(way.up)),
        pub(super) segment_drop_mm: Option<Figure> = layout.segment.and_then(|segment| segment.drop).map(place),
        pub(super) segment_inset_mm: Option<Figure> = layout.segment.map(|segment| place(segment.inset.0)),
        pub(super) segment: Option<SegmentView> = layout.segment.map(|segment| SegmentView::of(plan, &segment, off)),
        /// Where the wearer reads.
        pub(super) reading: Option<ReadingView> = ReadingView::of_eye(off),
        pub(super) shape: ShapeView = ShapeView::of(plan),
        pub(super) theoretical_blank_mm: Figure = least(plan.blank.theoretical),
        pub(super) least_blank_mm: Figure = least(plan.blank.least),
        pub(super) stocked_blank_mm: Option<Figure> = plan.blank.stocked.map(Figure::from),
        /// The diameter of the blank that came in, where it was noted, and whether it is enough.
        pub(super) arrived_blank_mm: Option<Figure> = arrived.map(Figure::from),
        pub(super) arrived_is_enough: Option<bool> = arrived.map(|blank| blank >= plan.blank.least),
        pub(super) blank: BlankView = BlankView::of(plan),
        pub(super) thickness: Option<BodyView> = plan.body.as_ref().ok().map(|body| BodyView::of(plan.eye, body)),
        worn: WornView = WornView::of(&plan.worn),
        /// What a person should know of this lens.
        pub(super) cautions: Vec<Caution> = notes::of_eye(plan, off, arrived),
        #[serde(skip)]
        pub(super) shown_prism: PrismPair = plan.prism,
        #[serde(skip)]
        pub(super) design: Design = design,
        #[serde(skip)]
        pub(super) reading_is_told: bool = pair.tells_reading,
    }
}

view! {
    /// Where the lens is laid out, every place seen from the boxed centre.
    pub LayoutView of (plan: &EyePlan) with {
        let layout = &plan.layout;
        let cross = (layout.by == LaidOutBy::FittingCross).then_some(layout.at_pupil);
        let [power, addition, prism] = match cross {
            Some(_) => ["distance circle", "near circle", "reference point"].map(Some),
            None => [None; 3],
        };
    } {
        pub(super) by: LaidOutBy = layout.by,
        pub(super) blocked_on: &'static str = layout.by.blocked_on(),
        pub(super) fitting_cross_in_mm: Option<Figure> = cross.map(|cross| place(cross.inward)),
        pub(super) fitting_cross_up_mm: Option<Figure> = cross.map(|cross| place(cross.up)),
        pub(super) reference_in_mm: Figure = place(layout.reference.inward),
        pub(super) reference_up_mm: Figure = place(layout.reference.up),
        pub(super) blank_middle_in_mm: Figure = place(layout.middle.inward),
        pub(super) blank_middle_up_mm: Figure = place(layout.middle.up),
        /// Base down in the prism that is expected.
        pub(super) thinning_pd: Figure = plan.thinning.prism.into(),
        /// Whether that is the shop's share of the addition.
        pub(super) thinning_assumed: bool = plan.thinning.known != ThinningKnown::Ordered,
        /// Where each is read; none where all are read at one dot.
        pub(super) power_read_at: Option<&'static str> = power,
        pub(super) addition_read_at: Option<&'static str> = addition,
        pub(super) prism_read_at: Option<&'static str> = prism,
        #[serde(skip)]
        pub(super) middle_is_at_pupil: bool = layout.middle == layout.at_pupil,
        #[serde(skip)]
        pub(super) middle_is_reference: bool = layout.middle == layout.reference,
    }
}

view! {
    /// What the blank must cover and how it does.
    pub BlankView of (plan: &EyePlan) with {
        let (eye, blank) = (plan.eye, &plan.blank);
        let cover = blank.cover.map(|(_, cover)| cover);
        let (by, by_size) = match blank.by {
            BlankBy::Outline => ("trace", None),
            BlankBy::Ed(ed) => ("ED", Some(ed)),
            BlankBy::Diagonal(diagonal) => ("diagonal", Some(diagonal)),
        };
    } {
        pub(super) by: &'static str = by,
        /// The size that it was worked out from, where that is not the outline.
        pub(super) by_mm: Option<Figure> = by_size.map(least),
        of_shape_mm: Figure = least(blank.of_shape),
        pub(super) farthest_deg: Figure = Figure::direction(blank.farthest),
        pub(super) farthest_at: &'static str = side(eye, blank.farthest),
        pub(super) looked_at_mm: Option<Figure> = blank.cover.map(|(diameter, _)| diameter.into()),
        covers: Option<bool> = cover.map(|cover| cover.is_whole()),
        pub(super) spare_mm: Option<Figure> = cover.map(|cover| size(cover.spare)),
        pub(super) spare_deg: Option<Figure> = cover.map(|cover| Figure::direction(cover.toward)),
        pub(super) spare_at: Option<&'static str> = cover.map(|cover| side(eye, cover.toward)),
        pub(super) largest_decentration_in_mm: Option<Figure> = blank.decentration.map(place),
        pub(super) if_moved_for_prism_mm: Option<Figure> = plan.moved_blank.map(least),
    }
}

view! {
    /// The shape of a lens.
    pub ShapeView of (plan: &EyePlan) with {
        let shape = &plan.shape;
        let (boxed, stated) = (&shape.boxed, shape.stated);
        let (rim, space) = (shape.rim.power(), plan.girth_in_space);
        let on_curve = space.and_then(|space| Some((space.girth, seat::curve_of(space.by)?)));
    } {
        pub(super) from: ShapeFrom = shape.from,
        pub(super) a_mm: Figure = size(boxed.a),
        pub(super) b_mm: Figure = size(boxed.b),
        pub(super) ed_mm: Figure = Figure::from(boxed.ed).to(1, 1),
        ed_deg: Figure = Figure::direction(boxed.ed_axis),
        box_centre_x_mm: Figure = size(boxed.centre.x()),
        box_centre_y_mm: Figure = size(boxed.centre.y()),
        pub(super) girth_mm: Figure = size(shape.girth),
        pub(super) circ_mm: Option<Figure> = stated.map(|stated| size(stated.circ)),
        pub(super) circ_basis: Option<&'static str> = stated.map(|stated| match stated.basis() {
            GirthBasis::Plane => "2-D",
            GirthBasis::Space => "3-D",
            GirthBasis::Longer => "3-D or other basis",
            GirthBasis::Shorter => "another basis",
        }),
        /// With the depths of the trace.
        girth_in_space_mm: Option<Figure> = shape.girth_in_space.map(size),
        /// On a sphere, where there are no depths.
        girth_on_curve_mm: Option<Figure> = on_curve.map(|(girth, _)| size(girth)),
        /// The power of that sphere in 1.530, and whose it is.
        girth_on_curve_d: Option<Figure> = on_curve.map(|(_, (curve, _))| curve.into()),
        girth_on_curve_of: Option<&'static str> = on_curve.map(|(_, (_, whose))| whose),
        /// The curve of the rim in 1.530.
        rim_curve_d: Option<Figure> = rim.map(|(curve, _)| curve.into()),
        rim_curve_from: Option<RimFrom> = rim.map(|(_, from)| from),
        /// The girth in space, in words.
        #[serde(skip)]
        pub(super) in_space: String = space.map_or_else(String::new, seat::girth),
    }
}

view! {
    /// The lens as a body.
    pub BodyView of (eye: Eye, body: &Body) with {
        let front = body.front;
        let course = body.seat.curve.as_ref().and_then(|course| course.as_ref().ok());
        let fit = body.seat.bevel.as_ref().and_then(|bevel| bevel.as_ref().ok());
    } {
        /// In the lens's material.
        front_curve_d: Figure = front.in_material.into(),
        /// In 1.530.
        front_curve_nominal_d: Figure = front.nominal.into(),
        /// Which of the two was said.
        front_curve_basis: CurveBasis = front.said,
        pub(super) front_curve_from: Given = body.front_from,
        /// As it was said, in words.
        #[serde(skip)]
        pub(super) front_curve: String = match front.said {
            CurveBasis::Nominal => format!("{:#} nominal", rounding::power(front.nominal)),
            CurveBasis::Material => {
                format!("{:#} in {}", rounding::power(front.in_material), body.index)
            }
        },
        pub(super) centre_mm: Figure = size(body.centre),
        pub(super) centre_from: Given = body.centre_from,
        pub(super) bound_by_edge: bool = body.bound_by_edge,
        pub(super) thickest_mm: Figure = size(body.thickest.thickness),
        pub(super) thickest_deg: Figure = Figure::direction(body.thickest.toward),
        pub(super) thickest_at: &'static str = side(eye, body.thickest.toward),
        pub(super) thinnest_mm: Figure = size(body.thinnest.thickness),
        pub(super) thinnest_deg: Figure = Figure::direction(body.thinnest.toward),
        pub(super) thinnest_at: &'static str = side(eye, body.thinnest.toward),
        least_centre_mm: Figure = size(body.least.centre.thickness),
        pub(super) least_edge_mm: Figure = size(body.least.edge.thickness),
        /// The centre with which it is as thick as that, where it is not.
        needed_centre_mm: Option<Figure> = body.needed.map(least),
        before_bevel_mm: Option<Figure> = fit.map(|fit| size(fit.before)),
        behind_bevel_mm: Option<Figure> = fit.map(|fit| size(fit.behind)),
        /// The curve that the top of the bevel runs on, in 1.530.
        bevel_curve_d: Option<Figure> = course.map(|course| course.bevel.power.into()),
        /// How far its points lie off that curve in depth.
        bevel_off_curve_mm: Option<Figure> = course.map(|course| size(course.bevel.off)),
        /// How far rim and bevel part in depth round the lens.
        bevel_off_rim_mm: Option<Figure> =
            course.and_then(|course| course.rim.map(|(rim, _)| size(course.bevel.parts_from(rim)))),
        /// Bevel and its curve in words.
        #[serde(skip)]
        pub(super) bevel: String = seat::fit(&body.seat),
        #[serde(skip)]
        pub(super) bevel_curve: String = seat::curve(&body.seat),
        pub(super) weight_g: Option<Figure> = body.mass.map(|mass| Figure::grams(mass.milligrams())),
    }
}
