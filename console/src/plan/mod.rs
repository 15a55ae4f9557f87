//! From an order to what is to be done at the bench.
//!
//! A plan is a value: the command prints it, the sheet draws it. It is made anew from the order, the shop's tables
//! and the station's dial whenever it is shown, and is never stored.

mod bevel_curve;
mod blank;
mod body;
mod error;
mod first_size;
mod handling;
mod layout;
mod off_centre;
mod place;
mod seat;
mod segment;
mod shape;
mod space_girth;
mod worn;

pub use bevel_curve::{BevelCurve, NoBevelCurve, RimCurve, RimFrom};
pub use blank::{BlankBy, BlankPlan};
pub use body::{Body, Edge, Given, NoBody};
pub use error::PlanError;
pub use first_size::FirstSize;
pub use handling::Handling;
pub use layout::{LaidOutBy, LensLayout};
pub use off_centre::{OffCentre, PairOffCentre, ReadingPrism, segment_jump};
pub use place::side;
pub use seat::Seat;
pub use segment::{PlacedSegment, SegmentPlan};
pub use shape::{Shape, ShapeFrom, millimetres};
pub use space_girth::{SpaceBy, SpaceGirth};
pub use worn::Worn;

use crate::desk::{FrameTrace, Order};
use crate::settings::{Material, Safety, Settings, SettingsError};
use crate::trace::{Note, Trace};
use bevelbook_core::frame::{OutlineError, Point};
use bevelbook_core::lens::Mass;
use bevelbook_core::prescription::{Eye, EyeOrder, LensPoint, WantedPrismError};
use bevelbook_core::sizing::{Dial, Habit};
use bevelbook_core::tolerance::{Design, Thinning};
use bevelbook_core::units::{Length, PrismPair};
use body::Thick;

/// What is to be done for one lens.
#[derive(Clone, Debug)]
pub struct EyePlan {
    /// Which eye.
    pub eye: Eye,
    /// What is ordered for it.
    pub ordered: EyeOrder,
    /// What a focimeter is to show of it: whatever is marked, read or drawn of its power goes by this.
    pub expected: EyeOrder,
    /// Base down beside that, to thin a progressive.
    pub thinning: Thinning,
    /// The prism that a focimeter is to show where prism is read: that expected, thinning included.
    pub prism: PrismPair,
    /// How much farther in than for distance it is looked through for near.
    pub near_inset: Length,
    /// Where it is laid out.
    pub layout: LensLayout,
    /// Its shape.
    pub shape: Shape,
    /// Where the optical centre lies from the dot before the pupil: on it without prism. An error where the lens has too
    /// little power for its prism: then it has no optical centre. None of a progressive, in which it means nothing.
    pub optical_centre: Option<Result<LensPoint, WantedPrismError>>,
    /// Which blank serves.
    pub blank: BlankPlan,
    /// The least blank without allowance when a lens without prism of its own is moved for the prescribed prism, so
    /// that its optical centre stays in its middle; none without prescribed prism.
    pub moved_blank: Option<Length>,
    /// The girth of the rim in space.
    pub girth_in_space: Option<SpaceGirth>,
    /// The lens as a body, or why it cannot be worked out.
    pub body: Result<Body, NoBody>,
    /// What the frame's tilt and wrap do to it.
    pub worn: Worn,
}

impl EyePlan {
    /// Whether nobody said how far its segment is set in for near.
    #[must_use]
    pub fn assumes_inset(&self) -> bool {
        self.layout.segment.is_some_and(|segment| segment.inset.1 == Given::Taken)
    }

    /// Whether the dot before the pupil is not the optical centre: with prism it is where the focimeter shows that prism,
    /// and the optical centre lies elsewhere. No question of a progressive.
    #[must_use]
    pub fn dot_is_off_optical_centre(&self) -> bool {
        self.optical_centre.is_some_and(|centre| centre != Ok(LensPoint::OPTICAL_CENTRE))
    }
}

/// A bench plan.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Right and left; none where no lens is made.
    pub eyes: [Option<EyePlan>; 2],
    /// What prism the pair gives beside its optical centres.
    pub off_centre: PairOffCentre,
    /// The lens material.
    pub material: Material,
    /// The safety rule that the order names, by its name.
    pub safety: Option<(String, Safety)>,
    /// What decides on pad and clamp.
    pub handling: Handling,
    /// The first size to dial.
    pub first_size: FirstSize,
    /// The station's dial, once it is stated.
    pub dial: Option<Dial>,
    /// How the shop sizes where nothing better is known.
    pub habit: Habit,
    /// Where the bevel stands, in words.
    pub bevel: String,
    /// The groove of a lens for a cord, in words.
    pub groove: String,
    /// What a person should know about the trace.
    pub trace_notes: Vec<Note>,
}

impl Plan {
    /// The plan for `order` on a station with `dial`, of lenses whose centre thickness may have been measured, right and
    /// left.
    ///
    /// # Errors
    /// The order's material or safety rule is no longer in the settings, its trace cannot be read, or its sizes make no
    /// shape.
    pub fn of(
        order: &Order,
        settings: &Settings,
        dial: Option<&Dial>,
        measured: [Option<Length>; 2],
    ) -> Result<Self, PlanError> {
        let material = settings.material(&order.lens.material)?.clone();
        let trace = order.trace.as_ref().map(FrameTrace::read).transpose()?;
        let safety = order.lens.safety.as_deref();
        let least = settings.thickness.least(&material, order.frame.rim, safety)?;
        let thick = Thick { least, measured };
        let eye = |eye| {
            let made = order.eye(eye).wanted.is_made();
            made.then(|| eye_plan(order, settings, &material, trace.as_ref(), &thick, eye)).transpose()
        };
        let eyes = [eye(Eye::Right)?, eye(Eye::Left)?];
        // A lens that stays in the frame is taken to lie in it as ordered.
        let old = |eye| LensLayout::of(order, settings, &order.frame.size, eye);
        let layouts =
            Eye::BOTH.map(|eye| eyes[eye.index()].as_ref().map_or_else(|| old(eye), |plan| plan.layout));
        Ok(Self {
            off_centre: PairOffCentre::of(order, settings, &layouts),
            handling: Handling::of(
                order,
                settings,
                eyes.iter().flatten().filter_map(|eye| Some((eye.eye, eye.body.as_ref().ok()?))),
            ),
            eyes,
            first_size: FirstSize::of(order.frame.rim, &settings.sizing, dial),
            dial: dial.copied(),
            habit: settings.sizing,
            bevel: settings.bevel.words(),
            groove: settings.groove.words(),
            safety: safety
                .map(|name| Ok::<_, SettingsError>((name.into(), settings.thickness.safety(name)?.clone())))
                .transpose()?,
            trace_notes: trace.map(|trace| trace.notes().to_vec()).unwrap_or_default(),
            material,
        })
    }

    /// The lenses that are made, right before left.
    pub fn made(&self) -> impl Iterator<Item = &EyePlan> {
        self.eyes.iter().flatten()
    }

    /// The mass of the cut pair in milligrams, where both lenses are made and could be worked out.
    #[must_use]
    pub fn milligrams(&self) -> Option<i64> {
        let of = |eye: &Option<EyePlan>| eye.as_ref()?.body.as_ref().ok()?.mass.map(Mass::milligrams);
        Some(of(&self.eyes[0])? + of(&self.eyes[1])?)
    }
}

fn eye_plan(
    order: &Order,
    settings: &Settings,
    material: &Material,
    trace: Option<&Trace>,
    thick: &Thick,
    eye: Eye,
) -> Result<EyePlan, PlanError> {
    let shape = Shape::of(order, trace, eye)?;
    let no_outline = |error: OutlineError| PlanError::Shape { eye, why: error.to_string() };
    let layout = LensLayout::of(order, settings, &shape.size, eye);
    let outline = shape.outline().map_err(no_outline)?;
    let dot = outline.optical_centre(eye, &layout.reference);
    let ground = order.ground(eye);
    let wanted = optical_centre(&ground, eye);
    let optical_centre = (order.lens.design != Design::Progressive).then_some(wanted);
    let moved_blank = optical_centre
        .and_then(Result::ok)
        .filter(|_| !ground.prism.is_none())
        .map(|way| outline.least_blank(moved(dot, eye, way), Length::ZERO));
    let body = match ground.wanted.power_is_known() {
        true => Body::of(order, settings, material, thick, eye, (&shape, dot)),
        false => Err(NoBody::Untold),
    };
    let front = body.as_ref().ok().map(|body| (&body.front, dot));
    Ok(EyePlan {
        eye,
        ordered: *order.eye(eye),
        expected: order.expected(eye),
        thinning: order.thinning_of(eye, &settings.progressive),
        prism: order.prism_to_show(eye, &settings.progressive),
        near_inset: segment::near_inset(order, settings, eye).0,
        blank: BlankPlan::of(&shape, eye, &layout.middle, &settings.blank).map_err(no_outline)?,
        layout,
        optical_centre,
        moved_blank,
        girth_in_space: SpaceGirth::of(order, &shape, front),
        body,
        worn: Worn::of(order, material, eye),
        shape,
    })
}

/// Where the optical centre lies from the dot: the dot is looked through for the prism, so it lies the other way.
fn optical_centre(ground: &EyeOrder, eye: Eye) -> Result<LensPoint, WantedPrismError> {
    let dot = ground.power.point_for(eye, ground.prism)?;
    Ok(LensPoint { inward: -dot.inward, up: -dot.up })
}

/// A point so far from `from`.
fn moved(from: Point, eye: Eye, way: LensPoint) -> Point {
    let inward = if eye == Eye::Right { way.inward } else { -way.inward };
    Point::new(from.x() + inward, from.y() + way.up)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::sample;
    use bevelbook_core::frame::PupillaryDistance;

    fn plan(change: impl FnOnce(&mut Order)) -> Plan {
        let mut order = sample();
        change(&mut order);
        Plan::of(&order, &Settings::defaults().unwrap(), None, [None; 2]).unwrap()
    }

    #[test]
    fn the_centre_dot_follows_pd_and_height() {
        // Dispensing course notes: frame PD 70, monocular PDs 33 and 31 give 2 and 4 mm in.
        let plan = plan(|order| {
            order.frame.size.a = Length::from_milli(50_000);
            order.frame.size.dbl = Length::from_milli(20_000);
            order.far_pd = PupillaryDistance::parse("33/31").unwrap();
            order.heights = Some([21_000, 18_000].map(Length::from_milli));
        });
        let dots = plan
            .eyes
            .map(Option::unwrap)
            .map(|eye| (eye.layout.at_pupil.inward.milli(), eye.layout.at_pupil.up.milli()));
        assert_eq!(dots, [(2000, 2000), (4000, -1000)]);
    }

    #[test]
    fn a_segment_is_placed_from_the_datum_and_the_optical_centre_on_it() {
        // Dispensing course notes: B 50, segment height 22 is 3 mm below the datum.
        let plan = plan(|order| {
            order.lens.design = Design::Multifocal;
            order.frame.size.b = Length::from_milli(50_000);
            order.heights = Some([Length::from_milli(22_000); 2]);
            order.near_pd = Some(PupillaryDistance::parse("60").unwrap());
        });
        let right = plan.eyes[0].as_ref().unwrap();
        let SegmentPlan { drop, inset, .. } = right.layout.segment.unwrap();
        assert_eq!((drop.unwrap().milli(), inset.0.milli()), (-3000, 1500));
        assert_eq!(right.layout.at_pupil.up, Length::ZERO);
    }

    #[test]
    fn the_optical_centre_lies_where_the_prism_says() {
        // Course worked example: +4.00 with 2 Δ out each, 5 mm out.
        let plan = plan(|order| {
            order.right = EyeOrder::parse("+4.00 DS prism 2 out").unwrap();
            order.left = EyeOrder::parse("+4.00 DS prism 2 out").unwrap();
        });
        for eye in plan.made() {
            let way = eye.optical_centre.unwrap().unwrap();
            assert_eq!((way.inward.milli(), way.up.milli()), (-5000, 0));
            // Moved 5 mm out of a dot that is a few mm in: the blank may be smaller.
            assert!(eye.moved_blank.unwrap() < eye.blank.theoretical);
        }
    }

    #[test]
    fn a_lens_without_power_for_its_prism_has_no_optical_centre() {
        let plan = plan(|order| order.right = EyeOrder::parse("pl prism 2 in").unwrap());
        let [right, left] = plan.eyes.map(Option::unwrap);
        assert!(matches!(right.optical_centre, Some(Err(_))) && right.moved_blank.is_none());
        assert_eq!(left.optical_centre, Some(Ok(LensPoint::OPTICAL_CENTRE)));
    }

    #[test]
    fn prescribed_prism_moves_the_optical_centre_off_the_dot() {
        let plan = plan(|order| order.right = EyeOrder::parse("-4.00 DS prism 2 in").unwrap());
        let by = plan.eyes.map(|eye| eye.unwrap().layout.by);
        assert_eq!(by, [LaidOutBy::PrismDot, LaidOutBy::OpticalCentre]);
    }
}
