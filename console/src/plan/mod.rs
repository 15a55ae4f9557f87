//! From an order to what is to be done at the bench.
//!
//! A plan is a value: the command prints it, the sheet draws it. It is made anew from the order, the shop's tables
//! and the station's dial whenever it is shown, and is never stored.

mod blank;
mod first_size;
mod handling;

pub use blank::{BlankPlan, tenth_up};
pub use first_size::FirstSize;
pub use handling::Handling;

use crate::desk::Order;
use crate::settings::{Material, Settings, SettingsError};
use bevelbook_core::frame::{Decentration, segment_drop, segment_inset};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::sizing::Dial;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Angle, Length, Power};

/// What is to be done for one lens.
#[derive(Clone, Debug)]
pub struct EyePlan {
    /// Which eye.
    pub eye: Eye,
    /// What is ordered for it.
    pub ordered: EyeOrder,
    /// The power with a minus cylinder.
    pub minus: SphereCylinder,
    /// The power with a plus cylinder.
    pub plus: SphereCylinder,
    /// Power in the vertical meridian.
    pub at_90: Power,
    /// Power in the horizontal meridian.
    pub at_180: Power,
    /// Where the centre dot sits, from the boxed centre.
    pub centre_dot: Decentration,
    /// Whether a height was ordered; else the dot sits on the horizontal through the boxed centre.
    pub height: Option<Length>,
    /// Which blank serves.
    pub blank: BlankPlan,
    /// Where a segment's top sits from the horizontal through the boxed centre, negative below, and how far the
    /// segment is set in; only for a multifocal.
    pub segment: Option<(Option<Length>, Option<Length>)>,
}

impl EyePlan {
    /// Whether the centre dot is not the optical centre: with prescribed prism the dot sits where the focimeter
    /// shows that prism, and the optical centre lies elsewhere.
    #[must_use]
    pub fn dot_is_off_optical_centre(&self) -> bool {
        !self.ordered.prism.is_none()
    }
}

/// A bench plan.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Right and left.
    pub eyes: [EyePlan; 2],
    /// The lens material.
    pub material: Material,
    /// How the material is roughed and held.
    pub handling: Handling,
    /// The first size to dial.
    pub first_size: FirstSize,
}

impl Plan {
    /// The plan for `order` on a station with `dial`.
    ///
    /// # Errors
    /// The order's material is no longer in the settings.
    pub fn of(order: &Order, settings: &Settings, dial: Option<&Dial>) -> Result<Self, SettingsError> {
        let material = settings.material(&order.lens.material)?.clone();
        Ok(Self {
            eyes: Eye::BOTH.map(|eye| eye_plan(order, settings, eye)),
            handling: Handling::of(&material, &order.lens.treatments, &settings.grip),
            material,
            first_size: FirstSize::of(order.frame.rim, &settings.sizing, dial),
        })
    }
}

fn eye_plan(order: &Order, settings: &Settings, eye: Eye) -> EyePlan {
    let ordered = *order.eye(eye);
    let power = ordered.power;
    let centre_dot = order.decentration(eye);
    let segment = (order.lens.design == Design::Multifocal).then(|| {
        let drop = order.height(eye).map(|height| segment_drop(order.frame.size.b, height));
        let inset = order.near_pd.map(|near| segment_inset(order.far_pd, near, eye));
        (drop, inset)
    });
    EyePlan {
        eye,
        ordered,
        minus: power.minus_cylinder(),
        plus: power.plus_cylinder(),
        at_90: power.meridian(Angle::from_degrees(90)),
        at_180: power.meridian(Angle::from_degrees(180)),
        centre_dot,
        height: match order.lens.design {
            Design::Multifocal => None,
            _ => order.height(eye),
        },
        blank: BlankPlan::of(&order.frame.size, &centre_dot, &settings.blank),
        segment,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::sample;
    use bevelbook_core::frame::PupillaryDistance;

    fn plan(change: impl FnOnce(&mut Order)) -> Plan {
        let mut order = sample();
        change(&mut order);
        Plan::of(&order, &Settings::defaults().unwrap(), None).unwrap()
    }

    #[test]
    fn powers_in_the_main_meridians() {
        // Opticianstudy, oblique meridians: -4.00 -0.75 x 48 has -4.41 D at 180.
        let plan = plan(|order| order.right = EyeOrder::parse("-4.00 -0.75 x 48").unwrap());
        let [right, left] = plan.eyes;
        assert_eq!(format!("{:.2}", right.at_180), "-4.41");
        assert_eq!(
            right.plus,
            SphereCylinder::parse("-4.75 +0.75 x 138", bevelbook_core::units::Notation::Order).unwrap()
        );
        assert_eq!(left.eye, Eye::Left);
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
        let dots = plan.eyes.map(|eye| (eye.centre_dot.inward.milli(), eye.centre_dot.up.milli()));
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
        let right = &plan.eyes[0];
        let (drop, inset) = right.segment.unwrap();
        assert_eq!((drop.unwrap().milli(), inset.unwrap().milli()), (-3000, 1500));
        assert_eq!(right.centre_dot.up, Length::ZERO);
    }

    #[test]
    fn prescribed_prism_moves_the_optical_centre_off_the_dot() {
        let plan = plan(|order| order.right = EyeOrder::parse("-4.00 DS prism 2 in").unwrap());
        let off = plan.eyes.map(|eye| eye.dot_is_off_optical_centre());
        assert_eq!(off, [true, false]);
    }
}
