//! Where a bifocal or trifocal segment sits: in the frame, and in the blank that it comes in.
//!
//! A lens with a segment is laid out by the middle of the segment's top. Where that is put the rest of the blank follows:
//! its middle and its optical centre lie from the segment as its maker made them.

use super::{Decentration, FrameSize, PupillaryDistance};
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::prescription::{Eye, LensPoint};
use crate::units::Length;

/// How far the top of the segment lies above the middle line of the box, height − B/2; negative is below.
///
/// The height counts from the lower side of the box. Rounded to the micrometre, halves away from zero.
pub fn segment_drop(b: Length, height: Length) -> Length {
    let doubled = 2 * i64::from(height.milli()) - i64::from(b.milli());
    Length::from_milli(divide_nearest(doubled, 2) as i32)
}

/// How far the segment of one eye is set in from the distance centre: its far PD less its near PD.
///
/// Exact for monocular figures; for binocular ones within a micrometre of half their difference, see
/// [`PupillaryDistance::of`].
pub fn segment_inset(far: PupillaryDistance, near: PupillaryDistance, eye: Eye) -> Length {
    far.of(eye) - near.of(eye)
}

/// The way from the boxed centre to the middle of the segment's top: in by the decentration for distance and the inset
/// of the segment, up by its drop.
///
/// Rounded as [`Decentration::of`].
pub fn segment_place(frame: &FrameSize, monocular_pd: Length, inset: Length, height: Length) -> Decentration {
    Decentration::of(frame, monocular_pd - inset, Some(height))
}

/// How a maker puts a segment into a round blank.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct SegmentBlank {
    /// How far the segment's top lies below the blank's middle; negative is above.
    pub top_below: Length,
    /// How far the segment's middle lies from it toward the nose.
    pub inward: Length,
    /// Where the optical centre for distance lies from the blank's middle.
    pub optical_centre: LensPoint,
    /// How far the segment's own optical centre lies below its top.
    pub own_centre_below: Length,
}

impl SegmentBlank {
    /// Where the blank's middle comes to lie, from the boxed centre, with the middle of the segment's top at `top`. Exact.
    pub fn middle(&self, top: &Decentration) -> Decentration {
        Decentration { inward: top.inward - self.inward, up: top.up + self.top_below }
    }

    /// Where the optical centre for distance comes to lie. Exact.
    pub fn distance_centre(&self, top: &Decentration) -> Decentration {
        let middle = self.middle(top);
        Decentration {
            inward: middle.inward + self.optical_centre.inward,
            up: middle.up + self.optical_centre.up,
        }
    }

    /// Where the segment's own optical centre comes to lie. Exact.
    pub fn own_centre(&self, top: &Decentration) -> Decentration {
        Decentration { inward: top.inward, up: top.up - self.own_centre_below }
    }
}

/// The outline of a segment: a disc about its own optical centre, cut off level at its top; a round one is the whole disc.
///
/// The usual flat tops are made so (widths 25 and 28 are 17.5 and 19 high, their centres 5 below the top: from memory,
/// unconfirmed).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct SegmentOutline {
    /// Of the disc: half of the segment's width.
    pub radius: Length,
    /// From the top down to the disc's middle; no farther than the radius.
    pub centre_below: Length,
    /// Half of the level top, to the nearest micrometre; zero for a round segment.
    pub half_top: Length,
}

impl SegmentOutline {
    /// The outline of a segment so wide, with its optical centre so far below its top.
    pub fn of(width: Length, own_centre_below: Length) -> Self {
        let radius = Length::from_milli(width.milli().max(0) / 2);
        let centre_below = own_centre_below.clamp(Length::ZERO, radius);
        let square = |length: Length| u64::from(length.milli().unsigned_abs()).pow(2);
        let half_top = sqrt_nearest(square(radius) - square(centre_below));
        Self { radius, centre_below, half_top: Length::from_milli(half_top as i32) }
    }

    /// From its top to its lowest place.
    pub fn depth(&self) -> Length {
        self.centre_below + self.radius
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    #[test]
    fn the_total_inset_is_the_decentration_and_what_near_is_closer() {
        // 50 □ 18 with 31.5 mm: 2.5 in for distance; near 2 mm closer: 4.5. B 38, height 16: 3 below.
        let frame = FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: None };
        let top = segment_place(&frame, mm(31_500), mm(2000), mm(16_000));
        assert_eq!((top.inward.milli(), top.up.milli()), (4500, -3000));
    }

    #[test]
    fn a_blank_follows_its_segment() {
        let blank = SegmentBlank {
            top_below: mm(5000),
            inward: mm(1500),
            optical_centre: LensPoint { inward: mm(250), up: mm(-1000) },
            own_centre_below: mm(5000),
        };
        let top = Decentration { inward: mm(4500), up: mm(-3000) };
        let seen = [blank.middle(&top), blank.distance_centre(&top), blank.own_centre(&top)];
        assert_eq!(
            seen.map(|place| (place.inward.milli(), place.up.milli())),
            [(3000, 2000), (3250, 1000), (4500, -8000)]
        );
    }

    #[test]
    fn a_flat_top_is_a_disc_that_was_cut_and_a_round_one_a_whole_one() {
        // Width 26 with its centre 5 below the top: 12² = 13² − 5².
        let flat = SegmentOutline::of(mm(26_000), mm(5000));
        assert_eq!((flat.half_top.milli(), flat.depth().milli()), (12_000, 18_000));
        let round = SegmentOutline::of(mm(22_000), mm(11_000));
        assert_eq!((round.half_top.milli(), round.depth().milli()), (0, 22_000));
        // No narrower than it is deep to its centre.
        assert_eq!(SegmentOutline::of(mm(8000), mm(5000)), SegmentOutline::of(mm(8000), mm(4000)));
    }

    #[test]
    fn a_segment_stands_below_or_above_the_middle_line() {
        // Dispensing course notes: B 50, segment heights 22 and 28.
        let drop = |height| segment_drop(Length::from_milli(50_000), Length::from_milli(height)).milli();
        assert_eq!(drop(22_000), -3000);
        assert_eq!(drop(28_000), 3000);
    }

    #[test]
    fn a_segment_is_set_in_by_what_near_is_closer() {
        // (far − near)/2 of binocular figures, far − near of each eye of monocular ones.
        let inset = |far, near, eye| {
            let [far, near] = [far, near].map(|text| PupillaryDistance::parse(text).unwrap());
            segment_inset(far, near, eye).milli()
        };
        assert_eq!(inset("64", "60", Eye::Right), 2000);
        assert_eq!(inset("33/31", "31/29.5", Eye::Right), 2000);
        assert_eq!(inset("33/31", "31/29.5", Eye::Left), 1500);
    }
}
