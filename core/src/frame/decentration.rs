//! Where the optical centre must sit, from the boxed centre.

use super::FrameSize;
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::units::Length;

/// The way from the boxed centre to the optical centre.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Decentration {
    /// Toward the nose; negative is out.
    pub inward: Length,
    /// Up; negative is down.
    pub up: Length,
}

impl Decentration {
    /// In by (A + DBL)/2 − PD of that eye, up by height − B/2, the height counted from the lower side of the
    /// box; without a height the optical centre stays on the middle line.
    ///
    /// Each part is rounded once to the micrometre, halves away from zero: exact when A + DBL and B are even
    /// numbers of micrometres.
    pub fn of(frame: &FrameSize, monocular_pd: Length, height: Option<Length>) -> Self {
        let half = |doubled: i64| Length::from_milli(divide_nearest(doubled, 2) as i32);
        let micro = |length: Length| i64::from(length.milli());
        let inward = half(micro(frame.a) + micro(frame.dbl) - 2 * micro(monocular_pd));
        let up = height.map_or(Length::ZERO, |height| half(2 * micro(height) - micro(frame.b)));
        Self { inward, up }
    }

    /// How far the optical centre lies from the boxed centre, to the nearest micrometre.
    pub fn distance(self) -> Length {
        Length::from_milli(sqrt_nearest(self.square()) as i32)
    }

    /// The square of the distance, in µm². Exact.
    pub(super) fn square(self) -> u64 {
        let square = |length: Length| u64::from(length.milli().unsigned_abs()).pow(2);
        square(self.inward) + square(self.up)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::PupillaryDistance;
    use crate::prescription::Eye;

    fn frame(a: i32, b: i32, dbl: i32) -> FrameSize {
        let [a, b, dbl] = [a, b, dbl].map(Length::from_milli);
        FrameSize { a, b, dbl, ed: None }
    }

    fn inward(frame: &FrameSize, pd: &str) -> [i32; 2] {
        let pd = PupillaryDistance::parse(pd).unwrap();
        Eye::BOTH.map(|eye| Decentration::of(frame, pd.of(eye), None).inward.milli())
    }

    #[test]
    fn each_eye_is_decentred_by_its_own_half() {
        let frame_pd_70 = frame(50_000, 40_000, 20_000);
        // perret-optic course: frame PD 70, PD 64.
        assert_eq!(inward(&frame_pd_70, "64"), [3000, 3000]);
        // The same frame with 33/31, computed by the same rule.
        assert_eq!(inward(&frame_pd_70, "33/31"), [2000, 4000]);
        // Dispensing course notes: 50 □ 20, PD 68.
        assert_eq!(inward(&frame_pd_70, "68"), [1000, 1000]);
        // A wearer wider than the frame: out.
        assert_eq!(inward(&frame_pd_70, "36/36"), [-1000, -1000]);
    }

    #[test]
    fn height_counts_from_the_lower_side_of_the_box() {
        // A public sample record of the frame data interchange standard: A 51, B 44.01, DBL 20, monocular PD
        // 31, height 16 give 4.50 in and 6.005 down.
        let place = Decentration::of(
            &frame(51_000, 44_010, 20_000),
            Length::from_milli(31_000),
            Some(Length::from_milli(16_000)),
        );
        assert_eq!((place.inward.milli(), place.up.milli()), (4500, -6005));
    }

    #[test]
    fn half_a_micrometre_goes_away_from_zero() {
        let place = Decentration::of(&frame(50_001, 40_001, 20_000), Length::from_milli(32_000), None);
        assert_eq!(place.inward.milli(), 3001);
        let low = Some(Length::from_milli(15_000));
        let place = Decentration::of(&frame(50_001, 40_001, 20_000), Length::from_milli(36_000), low);
        assert_eq!((place.inward.milli(), place.up.milli()), (-1000, -5001));
    }

    #[test]
    fn the_distance_is_the_diagonal() {
        let [inward, up] = [3000, -4000].map(Length::from_milli);
        assert_eq!(Decentration { inward, up }.distance().milli(), 5000);
        let [inward, up] = [1, 1].map(Length::from_milli);
        assert_eq!(Decentration { inward, up }.distance().milli(), 1);
    }
}
