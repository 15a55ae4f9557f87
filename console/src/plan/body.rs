//! The lens as a body: thickness in the middle and at the edge, bevel or groove, weight.
//!
//! Front curve and centre thickness are those ordered, and the centre as it was measured before that. Where there is none,
//! they are taken: the front curve by the shop's rule of thumb, the centre so that neither middle nor edge is thinner than
//! the shop's least. What was taken is said to be taken, and of a lens that is thinner than that is told which centre this
//! shape asks for. Surfaces are spherical or toric and the power is that for the distance: a progressive or
//! aspheric lens differs.
//!
//! A lens is as it is ground: with prism centred on the dot, its back surface tilted. Centre thickness is that at the dot,
//! where it is measured.

use super::seat::Seat;
use super::shape::Shape;
use crate::desk::Order;
use crate::settings::{LeastOfLens, Material, Settings};
use bevelbook_core::frame::Point;
use bevelbook_core::lens::{
    BaseCurve, BoundBy, CurveError, EdgePoint, LensError, LensForm, Mass, Place, ToricForm, Wedge,
};
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::units::{Angle, Length, RefractiveIndex};
use serde::Serialize;

/// Why a lens cannot be worked out as a body.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoBody {
    /// It is a balance lens of whatever power.
    #[error("the power of the balance lens is not told")]
    Untold,
    /// Its surfaces meet before the edge.
    #[error("the surfaces meet before the edge")]
    Meet {
        /// The centre with which they do.
        centre: Length,
        /// Toward where first, ISO 8429.
        toward: Angle,
        /// What it has to be at least.
        least: LeastOfLens,
        /// The centre thickness with which it is; none where no centre is enough.
        needed: Option<Length>,
    },
    /// Its curves and thicknesses make no lens of this shape.
    #[error(transparent)]
    Lens(#[from] LensError),
}

/// How thick a lens is known to be and has to be.
#[derive(Clone, Debug)]
pub(super) struct Thick {
    pub(super) least: LeastOfLens,
    /// The centres that were measured.
    pub(super) measured: [Option<Length>; 2],
}

impl Thick {
    /// What is known of the centre of an eye's lens.
    fn centre(&self, order: &Order, eye: Eye) -> (Option<Length>, Given) {
        match (self.measured[eye.index()], order.centre_thickness) {
            (Some(measured), _) => (Some(measured), Given::Measured),
            (None, Some(both)) => (Some(both[eye.index()]), Given::Ordered),
            (None, None) => (None, Given::Taken),
        }
    }
}

/// Where a figure is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Given {
    /// It is ordered.
    #[serde(rename = "order")]
    Ordered,
    /// It was measured of this lens.
    Measured,
    /// It is taken by a rule of the shop's settings.
    Taken,
}

/// A thickness at the edge, and toward where it is, seen from the centre dot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// How thick.
    pub thickness: Length,
    /// Toward where, ISO 8429.
    pub toward: Angle,
}

/// One lens as a body.
#[derive(Clone, Debug)]
pub struct Body {
    /// The front surface.
    pub front: BaseCurve,
    /// Where that is from.
    pub front_from: Given,
    /// Index of the material.
    pub index: RefractiveIndex,
    /// Thickness at the centre dot.
    pub centre: Length,
    /// Where that is from.
    pub centre_from: Given,
    /// Whether the least edge, not the least centre, decided a thickness that was taken.
    pub bound_by_edge: bool,
    /// Where the edge is thickest.
    pub thickest: Edge,
    /// Where it is thinnest.
    pub thinnest: Edge,
    /// All round, by the points of the outline, from 0° on.
    pub around: Vec<Edge>,
    /// What its edge is given for the frame.
    pub seat: Seat,
    /// What it has to be at least.
    pub least: LeastOfLens,
    /// The centre thickness with which it is, where it is thinner; none too where no centre is.
    pub needed: Option<Length>,
    /// Of the cut lens; none where the material's density is not known.
    pub mass: Option<Mass>,
}

impl Body {
    /// The lens of an eye, with the shape and with the dot where it lies in it.
    pub(super) fn of(
        order: &Order,
        settings: &Settings,
        material: &Material,
        thick: &Thick,
        eye: Eye,
        (shape, dot): (&Shape, Point),
    ) -> Result<Self, NoBody> {
        let ordered = order.ground(eye);
        let power = ordered.power.minus_cylinder();
        let (front, front_from) = front(order, settings, material, eye, power)?;
        let (prism, toric) = (Wedge::of(ordered.prism, eye), ToricForm::default());
        let form = LensForm { power, prism, front: front.in_material, index: material.index, toric };
        let places = places(shape, dot)?;
        let least = &thick.least;
        let least_centre =
            || form.least_centre(least.centre.thickness, least.edge.thickness, places.iter().copied());
        let (centre, centre_from) = thick.centre(order, eye);
        let taken = if centre.is_none() { Some(least_centre()?) } else { None };
        let lens = form.lens(centre.or(taken.map(|least| least.centre)).unwrap_or_default())?;
        let extremes = lens.extremes(places.iter().copied())?;
        let needed = || least_centre().ok().map(|least| least.centre);
        let [thickest, thinnest] = [extremes.thickest, extremes.thinnest].map(Edge::of);
        if thinnest.thickness <= Length::ZERO {
            let (centre, toward) = (lens.centre(), thinnest.toward);
            return Err(NoBody::Meet { centre, toward, least: least.clone(), needed: needed() });
        }
        let scant = lens.centre() < least.centre.thickness || thinnest.thickness < least.edge.thickness;
        let volume = lens.volume(places.iter().copied())?;
        let edges = lens.along(places.iter().copied()).collect::<Result<Vec<_>, _>>()?;
        let rim = (order.frame.rim, &shape.rim);
        let both = [thickest, thinnest].map(|edge| edge.thickness);
        let mut around: Vec<Edge> = edges.iter().copied().map(Edge::of).collect();
        around.sort_by_key(|edge| edge.toward);
        Ok(Self {
            front,
            front_from,
            index: material.index,
            centre: lens.centre(),
            centre_from,
            bound_by_edge: taken.is_some_and(|least| matches!(least.bound_by, BoundBy::Edge(_))),
            thickest,
            thinnest,
            around,
            seat: Seat::of(rim, settings, (&front, material.index), &edges, both),
            needed: if scant { needed() } else { None },
            least: least.clone(),
            mass: material.middle_density().map(|density| volume.mass(density)),
        })
    }
}

/// The front curve as it is ordered, else by the shop's rule of thumb for this power.
fn front(
    order: &Order,
    settings: &Settings,
    material: &Material,
    eye: Eye,
    power: SphereCylinder,
) -> Result<(BaseCurve, Given), LensError> {
    let rule = &settings.front_curve;
    let (curve, from) = match order.base_curve(eye, material.index) {
        Some(curve) => (curve, Given::Ordered),
        None => (BaseCurve::of(rule.of(power), rule.basis, material.index), Given::Taken),
    };
    match curve {
        Ok(curve) => Ok((curve, from)),
        Err(CurveError::Power(beyond)) => Err(LensError::Power(beyond)),
        Err(_) => Err(LensError::Index(material.index)),
    }
}

impl Edge {
    fn of(at: EdgePoint) -> Self {
        Self { thickness: at.thickness, toward: at.direction() }
    }
}

/// The points of a shape as they are seen from the dot.
fn places(shape: &Shape, dot: Point) -> Result<Vec<Place>, LensError> {
    let outline = shape.outline().map_err(|_| LensError::Outline(0))?;
    let dot = Place::new(dot.x(), dot.y());
    Ok(outline.points().iter().map(|point| Place::new(point.x(), point.y()).seen_from(dot)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::sample;
    use crate::plan::Plan;
    use bevelbook_core::frame::{FrameSize, PupillaryDistance};
    use bevelbook_core::lens::GrooveWarning;
    use bevelbook_core::prescription::EyeOrder;
    use bevelbook_core::sizing::Rim;
    use bevelbook_core::units::Power;

    const fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    /// A round lens of radius 25 on its optical centre.
    fn round(power: &str, change: impl FnOnce(&mut Order)) -> Order {
        let mut order = sample();
        order.frame.size = FrameSize { a: mm(50_000), b: mm(50_000), dbl: mm(20_000), ed: Some(mm(50_000)) };
        order.far_pd = PupillaryDistance::Monocular { right: mm(35_000), left: mm(35_000) };
        order.right = EyeOrder::parse(power).unwrap();
        change(&mut order);
        order
    }

    fn body(order: &Order) -> Result<Body, NoBody> {
        let [right, _] = Plan::of(order, &Settings::defaults().unwrap(), None, [None; 2]).unwrap().eyes;
        right.unwrap().body
    }

    #[test]
    fn the_edge_of_an_ordered_lens_is_that_of_its_curves() {
        // r = (n − 1)/F, s = r − √(r² − y²), edge = centre − s1 + s2, F2 from the back vertex power: −4.00, F1 +4.00,
        // n 1.498, centre 2.0, y 25: 4.720 (the formulas of any optics course, worked out apart from this program).
        let order = round("-4.00 DS", |order| {
            order.front_curve = Some([Power::from_milli(4000); 2]);
            order.centre_thickness = Some([mm(2000); 2]);
        });
        let body = body(&order).unwrap();
        assert_eq!((body.thickest.thickness.milli(), body.centre.milli()), (4720, 2000));
        assert!((body.thickest.thickness - body.thinnest.thickness).milli() <= 1);
        assert_eq!((body.front.in_material, body.front_from), (Power::from_milli(4000), Given::Ordered));
        assert_eq!(body.centre_from, Given::Ordered);
        // One third of 4.720 before the bevel.
        let fit = body.seat.bevel.unwrap().unwrap();
        assert_eq!((fit.before.milli(), fit.behind.milli()), (1573, 3147));
    }

    #[test]
    fn what_is_not_ordered_is_taken_and_said_to_be() {
        let minus = body(&round("-4.00 DS", |_| ())).unwrap();
        assert_eq!((minus.front.in_material, minus.front_from), (Power::from_milli(4000), Given::Taken));
        assert_eq!(minus.centre.milli(), 2000);
        assert!(!minus.bound_by_edge);
        let plus = body(&round("+4.00 DS", |_| ())).unwrap();
        assert!(plus.bound_by_edge && plus.centre.milli() > 2000, "{plus:?}");
        // The centre is rounded up to the µm, and so may the edge be.
        assert!((1000..=1001).contains(&plus.thinnest.thickness.milli()));
    }

    #[test]
    fn a_plus_lens_decentred_in_is_thick_at_the_nose() {
        let order = round("+4.00 DS", |order| {
            order.far_pd = PupillaryDistance::Monocular { right: mm(31_000), left: mm(31_000) };
            order.front_curve = Some([Power::from_milli(10_000); 2]);
        });
        let body = body(&order).unwrap();
        assert_eq!((body.thickest.toward.milli(), body.thinnest.toward.milli()), (0, 180_000));
    }

    #[test]
    fn prism_thickens_the_side_of_its_base() {
        // Base out: toward the temple, 180° for the right eye. The ordered centre is kept at the dot.
        let order = round("+4.00 DS prism 2 out", |order| {
            order.centre_thickness = Some([mm(5000); 2]);
            order.front_curve = Some([Power::from_milli(4000); 2]);
        });
        let body = body(&order).unwrap();
        assert_eq!(body.centre.milli(), 5000);
        // The edge is hardly thicker there than a few degrees beside it: less than the µm that is looked at.
        assert!((body.thickest.toward.milli() - 180_000).abs() <= 3000, "{body:?}");
        // Exact spheres, the back tilted (tests/reference/wedge.py).
        let edges = (body.thickest.thickness.milli(), body.thinnest.thickness.milli());
        assert_eq!(edges, (3502, 1495));
    }

    #[test]
    fn a_lens_without_power_is_a_wedge_by_both_parts_of_its_prism() {
        let front = |order: &mut Order| order.front_curve = Some([Power::from_milli(6000); 2]);
        let body = body(&round("pl prism 3 in 4 up", front)).unwrap();
        // The base lies toward (3, 4); the edges are those of exact spheres, the back tilted (tests/reference/wedge.py).
        assert!((body.thickest.toward.milli() - 53_130).abs() <= 1000, "{body:?}");
        assert!((body.thinnest.toward.milli() - 233_130).abs() <= 1500, "{body:?}");
        assert!((1000..=1001).contains(&body.thinnest.thickness.milli()) && body.bound_by_edge);
        assert!((6257..=6260).contains(&body.thickest.thickness.milli()), "{body:?}");
    }

    #[test]
    fn a_groove_that_is_not_usual_is_warned_of() {
        let order = round("+4.00 DS", |order| order.frame.rim = Rim::Grooved);
        let mut settings = Settings::defaults().unwrap();
        settings.groove.width = mm(900);
        let [right, _] = Plan::of(&order, &settings, None, [None; 2]).unwrap().eyes;
        let right = right.unwrap();
        let body = right.body.unwrap();
        assert!(body.seat.bevel.is_none());
        assert!(
            matches!(body.seat.groove.as_slice(), [GrooveWarning::Width { .. }]),
            "{:?}",
            body.seat.groove
        );
    }

    #[test]
    fn a_lens_that_cannot_be_is_an_answer_and_no_failure() {
        let thin = round("+8.00 DS", |order| order.centre_thickness = Some([mm(1500); 2]));
        assert!(matches!(body(&thin), Err(NoBody::Meet { needed: Some(_), .. })), "{:?}", body(&thin));
        let steep = round("+4.00 DS", |order| order.front_curve = Some([Power::from_milli(24_000); 2]));
        assert!(matches!(body(&steep), Err(NoBody::Lens(LensError::Beyond { .. }))), "{:?}", body(&steep));
    }
}
