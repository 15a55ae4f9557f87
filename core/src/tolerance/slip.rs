//! The likely mistake behind a reading that is out.
//!
//! Each slip is a question to the person at the instrument, not a verdict. None is raised for a reading that
//! fits, and each needs the quantity it speaks of to be out.

use super::{Deviation, Limits, deviation};
use crate::prescription::{Eye, EyeOrder, SphereCylinder};
use crate::units::words;
use heapless::Vec;

/// A mistake that a reading looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Slip {
    /// The reading fits the other eye's order in power, cylinder and axis, and not this one's.
    OtherEye,
    /// Power and cylinder fit; the axis does not, but 180 − axis would.
    AxisMirrored,
    /// Power and cylinder fit; the axis does not, but an axis 90° away would.
    AxisQuarterTurn,
    /// The cylinder fits, along its axis or 90° from it, but the sphere is off by just the cylinder: the sign of
    /// the cylinder was turned without the sphere, or the second line was taken for the sphere.
    SignNotTransposed,
    /// A cylinder is ordered, and what was read would pass for none.
    CylinderMissing,
}

words! { Slip {
    OtherEye => "R/L swapped? it fits the other eye's order: check which lens is on the focimeter",
    AxisMirrored => "axis is the mirror image (180 - axis) of the ordered one: check which way the lens faces",
    AxisQuarterTurn => "axis is 90° off: check which line was taken first, and the form of the order",
    SignNotTransposed => "sphere is off by the cylinder: check the cylinder sign; the sphere line is the sphere, \
                          the cylinder line less the sphere line the cylinder",
    CylinderMissing => "no cylinder read where one is ordered: look for the cylinder line",
} }

impl Limits {
    /// All slips that `read` looks like, as the lens of one eye of an order. Two may be raised together: with axes 10 and
    /// 170 a swapped pair is also mirrored.
    pub fn slips(&self, eye: Eye, ordered: &[EyeOrder; 2], read: SphereCylinder) -> Vec<Slip, 5> {
        let of = |eye: Eye| {
            let limits = &self.eyes[eye.index()];
            let this = ordered[eye.index()].power.minus_cylinder();
            (limits, this, deviation(this, read))
        };
        let ((limit, this, off), (other, _, from_other)) = (of(eye), of(eye.other()));
        if !ordered[eye.index()].wanted.is_judged() || limit.hold(&off) {
            return Vec::new();
        }
        let turned = |axis| deviation(this, SphereCylinder { axis, ..read.minus_cylinder() });
        // When the powers hold and the whole does not, it is the axis that is out.
        let axis_would_fit = |turned: &Deviation| limit.hold_powers(&off) && limit.hold_axis(turned);
        let axis = read.minus_cylinder().axis;
        let crossed = turned(axis.crossed());
        let sphere_off_by_cylinder = [this.cylinder, -this.cylinder].into_iter().any(|one_cylinder| {
            let rest =
                Deviation { power: off.power - one_cylinder, across: off.across - one_cylinder, ..off };
            limit.hold_powers(&rest)
        });
        let other_is_known = ordered[eye.other().index()].wanted.power_is_known();
        let none_holds = self.no_cylinder.is_none_or(|limit| limit.holds(read.cylinder.milli()));

        let raised = [
            (Slip::OtherEye, other_is_known && other.hold(&from_other)),
            (Slip::AxisMirrored, axis_would_fit(&turned(axis.mirrored()))),
            (Slip::AxisQuarterTurn, axis_would_fit(&crossed)),
            (
                Slip::SignNotTransposed,
                !limit.holds_power(&off)
                    && sphere_off_by_cylinder
                    && (limit.hold_axis(&off) || limit.hold_axis(&crossed)),
            ),
            (Slip::CylinderMissing, !limit.holds_cylinder(off.cylinder) && none_holds),
        ];
        raised.into_iter().filter_map(|(slip, is_raised)| is_raised.then_some(slip)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::PupillaryDistance;
    use crate::tolerance::{Design, PairOrder, Standard, Thinning};
    use crate::units::{Length, Notation};

    fn raised(this: &str, other: &str, read: &str) -> Vec<Slip, 5> {
        let [this, other, read] =
            [this, other, read].map(|text| SphereCylinder::parse(text, Notation::Reading).unwrap());
        let eyes = [this, other].map(EyeOrder::single_vision);
        let pd = PupillaryDistance::Binocular(Length::from_milli(62_000));
        let order = PairOrder { eyes, pd, segment_heights: None, thinning: Thinning::NONE };
        let limits = Limits::of(Standard::AnsiZ801_2015, Design::SingleVision, &order);
        limits.slips(Eye::Right, &eyes, read)
    }

    #[test]
    fn a_reading_that_fits_raises_nothing() {
        for read in ["-2.00 -1.00 x 10", "-3.00 +1.00 x 100", "-2.12 -1.12 x 13"] {
            assert!(raised("-2.00 -1.00 x 10", "-2.00 -1.00 x 170", read).is_empty(), "{read}");
        }
        // Both eyes alike: the other eye's order fits as well.
        assert!(raised("-2.00", "-2.00", "-2.00").is_empty());
    }

    #[test]
    fn a_lens_of_the_other_eye_is_known() {
        assert_eq!(raised("-2.00", "-3.00 -1.00 x 20", "-3.00 -1.00 x 21"), [Slip::OtherEye]);
        assert!(raised("-2.00", "-3.00 -1.00 x 20", "-3.00 -1.00 x 30").is_empty());
        let swapped = raised("-2.00 -1.00 x 10", "-2.00 -1.00 x 170", "-2.00 -1.00 x 170");
        assert_eq!(swapped, [Slip::OtherEye, Slip::AxisMirrored]);
        // A lens beside one that is ordered alike.
        assert!(raised("-2.00", "-2.00", "-3.00").is_empty());
    }

    #[test]
    fn a_mirrored_axis_is_known() {
        assert_eq!(raised("-2.00 -1.00 x 25", "pl", "-2.00 -1.00 x 156"), [Slip::AxisMirrored]);
        // 25 degrees off, but no mirror; and mirrored, but of another power.
        assert!(raised("-2.00 -1.00 x 25", "pl", "-2.00 -1.00 x 50").is_empty());
        assert!(raised("-2.00 -1.00 x 25", "pl", "-4.00 -1.00 x 155").is_empty());
        // So near the vertical that the mirror image is within: nothing is wrong.
        assert!(raised("-2.00 -1.00 x 89", "pl", "-2.00 -1.00 x 91").is_empty());
    }

    #[test]
    fn a_quarter_turn_is_known() {
        assert_eq!(raised("-2.00 -1.00 x 20", "pl", "-2.00 -1.00 x 110"), [Slip::AxisQuarterTurn]);
        // Written with the other sign and the axis left as it was: the same lens as above.
        assert_eq!(raised("-2.00 -1.00 x 20", "pl", "-3.00 +1.00 x 20"), [Slip::AxisQuarterTurn]);
        assert!(raised("-2.00 -1.00 x 20", "pl", "-2.00 -1.00 x 105").is_empty());
        // A sphere that is within is not called off by the cylinder, small as that is.
        assert_eq!(raised("-1.00 -0.25 x 20", "pl", "-1.12 -0.25 x 110"), [Slip::AxisQuarterTurn]);
        // At 45 the mirror image is a quarter turn too.
        let both = raised("-2.00 -1.00 x 45", "pl", "-2.00 -1.00 x 135");
        assert_eq!(both, [Slip::AxisMirrored, Slip::AxisQuarterTurn]);
    }

    #[test]
    fn a_turned_sign_is_known_in_all_its_forms() {
        // The sign alone; sign and axis without the sphere; the second line taken for the sphere.
        for read in ["-2.00 +1.00 x 20", "-2.00 +1.00 x 110", "-3.00 -1.00 x 20", "-3.00 -1.00 x 110"] {
            assert_eq!(raised("-2.00 -1.00 x 20", "pl", read), [Slip::SignNotTransposed], "{read}");
            assert_eq!(raised("-3.00 +1.00 x 110", "pl", read), [Slip::SignNotTransposed], "{read}");
        }
        // Off by half the cylinder, or by it with an axis that belongs to neither.
        assert!(raised("-2.00 -1.00 x 20", "pl", "-2.50 -1.00 x 20").is_empty());
        assert!(raised("-2.00 -1.00 x 20", "pl", "-3.00 -1.00 x 60").is_empty());
    }

    #[test]
    fn a_missing_cylinder_is_known() {
        assert_eq!(raised("-2.00 -1.00 x 20", "pl", "-2.00 DS"), [Slip::CylinderMissing]);
        assert_eq!(raised("-2.00 -1.00 x 20", "pl", "-3.00 +0.12 x 7"), [Slip::CylinderMissing]);
        // Some cylinder was read, if too little; or none was ordered.
        assert!(raised("-2.00 -1.00 x 20", "pl", "-2.00 -0.50 x 20").is_empty());
        assert!(raised("-2.00", "pl", "-3.00").is_empty());
        // The ordered cylinder is itself within the limit of none.
        assert!(raised("-2.00 -0.12 x 20", "pl", "-2.00 DS").is_empty());
    }
}
