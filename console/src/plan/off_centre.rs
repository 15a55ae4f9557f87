//! The prism that the lenses give where the eyes look through beside the optical centres: at the distance PD, and where the
//! wearer reads.
//!
//! By Prentice's rule with the whole power; prescribed prism is not in it. At the distance PD it is that on the level of the
//! optical centre of the lens which is the stronger one upright, as a mounted pair is held to a focimeter (from memory,
//! unconfirmed). The reading level lies below the optical centre for distance (the shop's settings) and closer in by what near
//! is closer; there a segment adds its own, its addition about its own optical centre. A progressive is worked out by its
//! distance power below its prism reference point.

use super::LensLayout;
use super::segment::{PlacedSegment, near_inset};
use crate::desk::{Order, Viewing};
use crate::settings::Settings;
use bevelbook_core::frame::Decentration;
use bevelbook_core::prescription::{Eye, EyeOrder, LensPoint, PrismImbalance, SphereCylinder};
use bevelbook_core::units::{Angle, Length, Power, Prism, PrismPair};

/// What one lens does beside its optical centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OffCentre {
    /// At the distance PD; none where no segment puts the optical centre beside it, and of a lens that is not made.
    pub at_pd: Option<PrismPair>,
    /// Where the wearer reads; none of a lens for reading alone.
    pub reading: Option<ReadingPrism>,
}

/// What one lens does where the wearer reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadingPrism {
    /// Where that is, from the optical centre for distance.
    pub at: LensPoint,
    /// The prism of the distance power.
    pub of_distance: PrismPair,
    /// That of the segment alone; none where the wearer does not look through one there.
    pub of_segment: Option<PrismPair>,
}

impl ReadingPrism {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> PrismPair {
        self.of_distance + self.of_segment.unwrap_or_default()
    }

    /// None where a prism is beyond what can be said.
    fn of(
        lens: &EyeOrder,
        eye: Eye,
        centre: &Decentration,
        place: &Decentration,
        layout: &LensLayout,
    ) -> Option<Self> {
        let segment = layout.segment.and_then(|segment| segment.placed);
        let held = segment.filter(|segment| segment.holds(place)).zip(lens.add);
        let own = |(segment, add): (PlacedSegment, Power)| {
            SphereCylinder::sphere(add).prism_at(eye, from(&segment.own_centre, place))
        };
        let at = from(centre, place);
        let of_distance = lens.power.prism_at(eye, at).ok()?;
        Some(Self { at, of_distance, of_segment: held.map(own).transpose().ok()? })
    }
}

impl OffCentre {
    /// None of a lens whose power nobody knows, or whose prism is beyond what can be said.
    fn of(order: &Order, settings: &Settings, eye: Eye, layout: &LensLayout, level: Length) -> Option<Self> {
        let lens = order.expected(eye);
        if !lens.wanted.power_is_known() {
            return None;
        }
        let (pupil, centre) = (layout.at_pupil.inward, &layout.reference);
        let placed = layout.segment.and_then(|segment| segment.placed).filter(|_| lens.wanted.is_made());
        let at_pd = placed
            .map(|_| lens.power.prism_at(eye, from(centre, &Decentration { inward: pupil, up: level })));
        let (inset, _) = near_inset(order, settings, eye);
        let place = Decentration { inward: pupil + inset, up: centre.up - settings.reading.below };
        let reading = (order.lens.viewing != Viewing::Near)
            .then(|| ReadingPrism::of(&lens, eye, centre, &place, layout));
        Some(Self { at_pd: at_pd.transpose().ok()?, reading: reading.flatten() })
    }
}

/// How far the image jumps where an eye comes upon a segment: its addition times the way from its top to its own optical
/// centre (common practice, no source).
#[must_use]
pub fn segment_jump(segment: &PlacedSegment, add: Power) -> Option<Prism> {
    let top = LensPoint { inward: Length::ZERO, up: segment.top.up - segment.own_centre.up };
    let prism = SphereCylinder::sphere(add).prism_at(Eye::Right, top).ok()?;
    Some(prism.base_up.abs())
}

/// What the lenses of a pair do beside their optical centres, each and to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PairOffCentre {
    /// The right and the left lens; none where a power is not known.
    pub eyes: [Option<OffCentre>; 2],
    /// Both at the distance PD.
    pub at_pd: Option<PrismImbalance>,
    /// Whether that is to be asked about.
    pub asks_at_pd: bool,
    /// Both where the wearer reads.
    pub reading: Option<PrismImbalance>,
    /// Whether the vertical part of that is to be asked about.
    pub asks_reading: bool,
    /// Whether it is worth telling in words: of lenses with segments always, else where it is to be asked about.
    pub tells_reading: bool,
}

impl PairOffCentre {
    pub(super) fn of(order: &Order, settings: &Settings, layouts: &[LensLayout; 2]) -> Self {
        let level = level(order, layouts);
        let eyes = Eye::BOTH.map(|eye| OffCentre::of(order, settings, eye, &layouts[eye.index()], level));
        let both = |of: fn(OffCentre) -> Option<PrismPair>| {
            let [right, left] = eyes.map(|eye| eye.and_then(of));
            Some(PrismImbalance::from([right?, left?]))
        };
        let (at_pd, reading) = (both(|eye| eye.at_pd), both(|eye| Some(eye.reading?.total())));
        let most = settings.off_centre;
        let asks_at_pd = at_pd.is_some_and(|found| {
            found.base_in.abs() >= most.ask_in_out || found.right_up.abs() >= most.ask_up_down
        });
        let asks_reading = reading.is_some_and(|found| found.right_up.abs() >= settings.reading.ask);
        let tells_reading = asks_reading || layouts.iter().any(|layout| layout.segment.is_some());
        Self { eyes, at_pd, asks_at_pd, reading, asks_reading, tells_reading }
    }
}

/// The level of the optical centre of the lens that is the stronger one upright, of those whose power is known.
fn level(order: &Order, layouts: &[LensLayout; 2]) -> Length {
    let strength = |eye: &Eye| {
        let lens = order.expected(*eye);
        let known = lens.wanted.power_is_known();
        (known, lens.power.meridian(Angle::from_degrees(90)).abs())
    };
    let [right, left] = Eye::BOTH;
    let stronger = if strength(&left) > strength(&right) { left } else { right };
    layouts[stronger.index()].reference.up
}

fn from(centre: &Decentration, place: &Decentration) -> LensPoint {
    LensPoint { inward: place.inward - centre.inward, up: place.up - centre.up }
}
