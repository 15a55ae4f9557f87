//! What the book tells of a frame: how big to cut, and why.
//!
//! Lenses of one model and size end near one another. From the passes that were logged of them the console works out a
//! ladder for each eye; the bench looks it up. Why it says so goes with it, in figures that a person can weigh.

use super::{Basis, Dial, Ladder, Size};
use crate::bytes::coded;
use crate::units::Length;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What the book tells of one frame for its two eyes.
    ///
    /// Whoever makes it sees to it that each next size of a ladder is one of its own further down, or lies below its last one, from
    /// where the shop's steps go on; and that where two ways down come by one size, no lens of either can become loose by the next. On another
    /// dial than that it was made for its sizes are rounded up, never down.
    #[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Advice {
        /// What its sizes are measured on.
        pub basis: Basis,
        /// For the eye that is sized first: offsets from the traced shape. Without a rung nothing is told of it.
        pub first: Ladder,
        /// For the other eye, once the first one fits. Without a rung nothing is told of it.
        pub second: Ladder,
        /// Whether `second` counts from the size at which the first eye fitted, and not from the traced shape.
        pub second_from_fit: bool,
        /// How many lenses of this model and size fitted; 255 is as many or more.
        pub lenses: u8,
        /// The least and the largest size at which they did.
        pub fitted: Option<[Length; 2]>,
        /// Passes to expect of the first eye and of the second, in tenths.
        pub tenths: [u8; 2],
    }
}

impl Advice {
    /// Between which sizes lenses of this frame fitted, on another basis.
    pub fn fitted_on(&self, basis: Basis) -> Option<[Length; 2]> {
        let on = |offset| Size { basis: self.basis, offset }.on(basis);
        self.fitted.map(|fitted| fitted.map(on))
    }

    /// The ladder of the eye that is sized first, or of the other one.
    pub const fn ladder(&self, other_fits: bool) -> &Ladder {
        if other_fits { &self.second } else { &self.first }
    }

    /// The ladder to follow where the other eye fits at `other_fits`, or does not yet, as sizes that a dial can leave, rounded up.
    pub fn on(&self, dial: &Dial, other_fits: Option<Size>) -> Ladder {
        let from =
            other_fits.filter(|_| self.second_from_fit).map_or(Length::ZERO, |fits| fits.on(dial.basis));
        let on = |offset| dial.up(from + Size { basis: self.basis, offset }.on(dial.basis));
        self.ladder(other_fits.is_some()).map(&on)
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_passes::absolute;
    use super::super::{Counting, Evidence, Habit, Outcome, Rim, RimShown, Rung, Sizing};
    use super::*;

    use Outcome::{FarTooBig, Fits, JustTooBig, Loose};

    const fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    const fn dial(basis: Basis, step: i32) -> Dial {
        Dial { basis, counting: Counting::Absolute, step: mm(step) }
    }

    const DIAL: Dial = dial(Basis::Diameter, 50);

    /// Size, next when much too big, next when a touch.
    fn ladder(rungs: &[[i32; 3]]) -> Ladder {
        Ladder::new(rungs.iter().map(|[at, far, just]| Rung { at: mm(*at), far: mm(*far), just: mm(*just) }))
    }

    fn advice(second_from_fit: bool) -> Advice {
        Advice {
            basis: Basis::Diameter,
            first: ladder(&[[250, 50, 150], [150, 0, 50], [50, -100, 0]]),
            second: ladder(&[[100, -50, 50], [50, -50, 0]]),
            second_from_fit,
            lenses: 9,
            fitted: Some([mm(50), mm(150)]),
            tenths: [17, 15],
        }
    }

    fn sized(basis: Basis, passes: &[(i32, Outcome)]) -> Sizing {
        let mut sizing = Sizing::new();
        passes.iter().for_each(|(at, felt)| sizing.apply(&absolute(basis, *at), *felt));
        sizing
    }

    struct Bench {
        sizing: Sizing,
        shown: RimShown,
        other: Option<i32>,
        over_rim: Option<i32>,
        dial: Dial,
    }

    fn lens(passes: &[(i32, Outcome)]) -> Bench {
        let sizing = sized(Basis::Diameter, passes);
        Bench { sizing, shown: RimShown::new(), other: None, over_rim: None, dial: DIAL }
    }

    impl Bench {
        fn advised(&self, advice: &Advice) -> i32 {
            let other_fits = self.other.map(|at| Size { basis: Basis::Diameter, offset: mm(at) });
            let known = Evidence {
                sizing: &self.sizing,
                shown: &self.shown,
                other_fits,
                over_rim: self.over_rim.map(mm),
                advice: Some(advice),
            };
            Habit::COMMON.advised(Rim::Metal, &self.dial, &known).milli()
        }
    }

    #[test]
    fn the_first_eye_goes_down_the_ladder_by_what_was_felt_and_stays_where_it_fits() {
        let at = |passes: &[_]| lens(passes).advised(&advice(true));
        assert_eq!(at(&[]), 250);
        assert_eq!([at(&[(250, JustTooBig)]), at(&[(250, FarTooBig)])], [150, 50]);
        assert_eq!([at(&[(150, JustTooBig)]), at(&[(50, FarTooBig)])], [50, -100]);
        // A size of one's own between two takes the next of the one above.
        assert_eq!(at(&[(200, JustTooBig)]), 150);
        assert_eq!(at(&[(150, Fits)]), 150);
        // Below the ladder the shop's steps go on: 0.20 and 0.10.
        assert_eq!([at(&[(0, JustTooBig)]), at(&[(-100, FarTooBig)])], [-100, -300]);
    }

    #[test]
    fn whoever_began_larger_comes_to_the_ladder_and_after_a_touch_not_faster_than_the_shop() {
        let at = |passes: &[_]| lens(passes).advised(&advice(true));
        assert_eq!([at(&[(500, FarTooBig)]), at(&[(500, JustTooBig)])], [250, 400]);
        assert_eq!(at(&[(300, JustTooBig)]), 250);
    }

    #[test]
    fn the_second_eye_has_its_own_from_the_fit_or_from_the_shape() {
        let at = |fit: i32, passes: &[_], advice: &Advice| {
            Bench { other: Some(fit), ..lens(passes) }.advised(advice)
        };
        let (from_fit, from_shape) = (advice(true), advice(false));
        assert_eq!([at(150, &[], &from_fit), at(150, &[], &from_shape)], [250, 100]);
        assert_eq!(at(150, &[(250, JustTooBig)], &from_fit), 200);
        assert_eq!(at(150, &[(250, FarTooBig)], &from_fit), 100);
        assert_eq!(at(150, &[(100, JustTooBig)], &from_shape), 50);
        // Nothing is told of it: the shop's 0.10 above the fit, and its steps.
        let alone = Advice { second: Ladder::default(), ..from_fit };
        assert_eq!([at(150, &[], &alone), at(150, &[(250, JustTooBig)], &alone)], [250, 150]);
        let other = Advice { first: Ladder::default(), ..alone };
        assert_eq!(lens(&[]).advised(&other), 400);
    }

    #[test]
    fn on_another_dial_each_size_is_rounded_up_and_it_goes_on_down() {
        let radius = dial(Basis::Radius, 50);
        let at = |passes: &[_], dial: Dial| {
            Bench { dial, sizing: sized(dial.basis, passes), ..lens(&[]) }.advised(&advice(true))
        };
        // +0.25, +0.15, +0.05 and 0 across are +0.125, +0.075, +0.025 and 0 from the centre.
        assert_eq!(at(&[], radius), 150);
        assert_eq!([at(&[(150, JustTooBig)], radius), at(&[(150, FarTooBig)], radius)], [100, 50]);
        assert_eq!([at(&[(100, JustTooBig)], radius), at(&[(50, JustTooBig)], radius)], [50, 0]);
        // So coarse that two of its sizes are one: the larger next one counts.
        let coarse = dial(Basis::Diameter, 200);
        assert_eq!([at(&[], coarse), at(&[(400, JustTooBig)], coarse)], [400, 200]);
        assert_eq!(at(&[(200, JustTooBig)], coarse), 0);
        // From a fit that is on no step of the dial, too.
        let second =
            Bench { other: Some(130), dial: dial(Basis::Diameter, 50), ..lens(&[(250, JustTooBig)]) };
        assert_eq!(second.advised(&advice(true)), 200);
    }

    #[test]
    fn what_was_measured_and_what_the_rim_has_shown_go_first() {
        let book = advice(true);
        let over_rim = Some(600);
        assert_eq!(Bench { over_rim, ..lens(&[(250, JustTooBig)]) }.advised(&book), 100);
        let shown = |passes: &[_]| {
            let mut shown = RimShown::new();
            shown.take(&sized(Basis::Diameter, passes));
            shown
        };
        let anew = |passes: &[_], own: &[_]| Bench { shown: shown(passes), ..lens(own) }.advised(&book);
        assert_eq!(anew(&[(100, Fits)], &[]), 200);
        assert_eq!(anew(&[(100, Fits)], &[(250, FarTooBig)]), 100);
        // It goes by itself where it was too big at that fit, and by the book then.
        assert_eq!(anew(&[(100, Fits)], &[(100, JustTooBig)]), 50);
        // A first size at which the lens before was too big is a pass for nothing.
        assert_eq!(anew(&[(250, JustTooBig), (50, Loose)], &[]), 150);
        // Nothing is advised at which the one before was loose already, as long as there is a size between.
        let loose: &[_] = &[(300, JustTooBig), (50, Loose)];
        assert_eq!([anew(loose, &[]), anew(loose, &[(250, FarTooBig)])], [250, 100]);
        assert_eq!(anew(&[(300, JustTooBig), (250, Loose)], &[]), 300);
        assert_eq!(anew(loose, &[(100, JustTooBig)]), 50);
    }

    /// As random as it needs to be.
    fn drawn(seed: &mut u64, range: core::ops::RangeInclusive<i32>) -> i32 {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let among = (range.end() - range.start()) as u64 + 1;
        range.start() + ((*seed >> 33) % among) as i32
    }

    fn any_ladder(seed: &mut u64) -> Ladder {
        let rungs = drawn(seed, 0..=8);
        ladder(&(0..rungs).map(|_| [0; 3].map(|_| drawn(seed, -400..=600))).collect::<std::vec::Vec<_>>())
    }

    /// Whatever a ladder says, sorted or not: what is advised can be left by the dial, is less than what was too big, and not
    /// below a fit.
    #[test]
    fn no_ladder_leads_up_off_the_dial_or_past_a_fit() {
        let mut seed = 7;
        let (mut followed, mut fitted) = (0, 0);
        for _ in 0..20_000 {
            let seed = &mut seed;
            let (first, second) = (any_ladder(seed), any_ladder(seed));
            let basis = Basis::ALL[drawn(seed, 0..=2) as usize];
            let book =
                Advice { basis, first, second, second_from_fit: drawn(seed, 0..=1) == 1, ..advice(true) };
            let counting = [Counting::Absolute, Counting::TakeOff { from: mm(drawn(seed, 300..=900)) }];
            let counting = counting[drawn(seed, 0..=1) as usize];
            let step = mm([10, 25, 50, 100, 250][drawn(seed, 0..=4) as usize]);
            let dial = Dial { basis: Basis::ALL[drawn(seed, 0..=2) as usize], counting, step };
            let fit = drawn(seed, -300..=500);
            let other = (drawn(seed, 0..=1) == 1).then(|| drawn(seed, -300..=500));
            let mut bench = Bench { other, dial, ..lens(&[]) };
            for _ in 0..12 {
                let before = bench.sizing.at_most(dial.basis);
                let next = mm(bench.advised(&book));
                assert_eq!(dial.up(next), next, "{dial:?} {book:?}");
                if let Some(before) = before {
                    assert!(next < before, "{next} {:?} {book:?}", bench.sizing);
                    followed += 1;
                }
                let dialled = dial.leaving(next, before);
                // A first cut may leave less, where a dial takes off from less.
                let left = bench.sizing.after(&dialled, false).low;
                let size = Size { basis: dial.basis, offset: left };
                let felt = match fit - size.on(Basis::Diameter).milli() {
                    0.. => Fits,
                    -150..0 => JustTooBig,
                    _ => FarTooBig,
                };
                bench.sizing.apply(&dialled, felt);
                if felt == Fits {
                    assert_eq!(bench.advised(&book), left.milli());
                    fitted += 1;
                    break;
                }
            }
        }
        assert!(followed > 20_000 && fitted > 15_000, "{followed} {fitted}");
    }
}
