//! What a frame's tilt and wrap do to a lens: told, and applied to no power.
//!
//! A lens is decentred along its wrapped front. For each 2 degrees of pantoscopic tilt the optical centre belongs 1 mm below
//! the pupil's centre (common practice, no source): told, since only the fitter knows what the ordered height is. A tilted
//! lens acts like another power (core's `tilt`, Martin's formulas); whether a lens is made for that is the prescriber's and
//! the supplier's, and is asked.

use crate::desk::{Frame, Order};
use crate::settings::Material;
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::tolerance::{Design, deviation};
use bevelbook_core::units::{Angle, Axis, Length};

/// Tilt and wrap of one lens.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Worn {
    /// The PD straight across, and along the front, by which the lens is decentred; none without wrap.
    pub pd: Option<[Length; 2]>,
    /// How far below the pupil's centre the optical centre belongs by the rule of tilt; none where no height of a
    /// single-vision lens is ordered.
    pub below_pupil: Option<Length>,
    /// What the ordered power acts like along the line of sight; none where it hardly differs, and where the supplier said
    /// what the lens is to read as.
    pub acts_like: Option<SphereCylinder>,
}

/// The least difference in a principal meridian that is told. Own choice: half a step of prescriptions.
const TOLD_MILLI: i32 = 125;

impl Worn {
    pub(super) fn of(order: &Order, material: &Material, eye: Eye) -> Self {
        let Frame { tilt, wrap, .. } = order.frame;
        let pd = order.pd().of(eye);
        let along = order.frame.along_front(pd);
        let single = order.lens.design == Design::SingleVision;
        let tilt = tilt.filter(|tilt| !tilt.is_zero());
        let tilted = tilt.filter(|_| single && order.height(eye).is_some());
        let wrapped = wrap.filter(|wrap| !wrap.is_zero());
        let untold = order.eye(eye).wanted.is_judged() && order.verify(eye).is_none();
        Self {
            pd: (along != pd).then_some([pd, along]),
            below_pupil: tilted.map(|tilt| Length::from_milli(tilt.milli() / 2)),
            acts_like: untold.then(|| acts_like(order.eye(eye).power, tilt, wrapped, material)).flatten(),
        }
    }
}

/// The power tilted about the horizontal, then about the vertical, where that tells.
fn acts_like(
    power: SphereCylinder,
    tilt: Option<Angle>,
    wrap: Option<Angle>,
    material: &Material,
) -> Option<SphereCylinder> {
    let turned = |power: SphereCylinder, by: Option<Angle>, about| match by {
        Some(by) => power.tilted(by, about, material.index).ok(),
        None => Some(power),
    };
    let worn = turned(turned(power, tilt, Axis::HORIZONTAL)?, wrap, Axis::VERTICAL)?.minus_cylinder();
    let off = deviation(power, worn);
    (off.power.abs().max(off.across.abs()).milli() >= TOLD_MILLI).then_some(worn)
}

#[cfg(test)]
mod tests {
    use super::super::Plan;
    use super::*;
    use crate::desk::{LabPower, sample};
    use crate::settings::Settings;
    use bevelbook_core::frame::PupillaryDistance;
    use bevelbook_core::prescription::EyeOrder;

    fn right(change: impl FnOnce(&mut Order)) -> (Worn, i32) {
        let mut order = sample();
        order.far_pd = PupillaryDistance::parse("34/34").unwrap();
        order.frame.size.a = Length::from_milli(52_000);
        change(&mut order);
        let [right, _] = Plan::of(&order, &Settings::defaults().unwrap(), None, [None; 2]).unwrap().eyes;
        let right = right.unwrap();
        (right.worn, right.layout.at_pupil.inward.milli())
    }

    #[test]
    fn a_wrapped_front_is_decentred_along_itself() {
        // (52 + 18)/2 − 34 are 1 mm in. ISO 8624: 7 degrees at 34 mm shift the centre by 0.25 mm; 34/cos 7° = 34.2553.
        let wrap = |degrees| right(|order| order.frame.wrap = Some(Angle::from_degrees(degrees)));
        assert_eq!(wrap(0), (Worn::default(), 1000));
        let (worn, inward) = wrap(7);
        assert_eq!((worn.pd.map(|pd| pd.map(Length::milli)), inward), (Some([34_000, 34_255]), 745));
    }

    #[test]
    fn the_rule_of_tilt_is_told_of_a_height_and_moves_nothing() {
        let tilted = |order: &mut Order| order.frame.tilt = Some(Angle::from_degrees(8));
        assert_eq!(right(tilted), (Worn::default(), 1000));
        let (worn, _) = right(|order| {
            tilted(order);
            order.heights = Some([Length::from_milli(22_000); 2]);
        });
        assert_eq!(worn.below_pupil.map(Length::milli), Some(4000));
    }

    #[test]
    fn a_strong_lens_tilted_is_told_and_one_that_is_compensated_is_not() {
        // Durham Tech opticianry course, lens tilt: +15.00 tilted by 10 degrees acts like +15.15 +0.47 x 180.
        let strong = |order: &mut Order| {
            order.right = EyeOrder::parse("+15.00 DS").unwrap();
            order.frame.tilt = Some(Angle::from_degrees(10));
        };
        let worn = right(strong).0.acts_like.unwrap().plus_cylinder();
        let [sphere, cylinder] = [worn.sphere, worn.cylinder].map(|power| f64::from(power.milli()) / 1000.0);
        assert!((sphere - 15.15).abs() < 0.006 && (cylinder - 0.47).abs() < 0.006, "{worn}");
        let lab = LabPower { power: EyeOrder::parse("+14.37 DS").unwrap().power, prism: None, add: None };
        let told = |order: &mut Order| {
            strong(order);
            order.right_verify = Some(lab);
        };
        assert_eq!(right(told).0.acts_like, None);
        let weak = |order: &mut Order| order.frame.tilt = Some(Angle::from_degrees(10));
        assert_eq!(right(weak).0.acts_like, None);
    }
}
