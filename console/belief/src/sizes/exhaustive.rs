//! Ways against all policies, each of which may go by all that was tried and felt before: a tree without the states by which
//! the way is worked out, and the threshold of a lens taken for all its passes at once.

use super::super::grid::normal_below;
use super::super::{End, Model, Pair, Shop, TooBig, Tried};
use super::*;

/// Densities of some five to seven sizes: normal, skewed, of two humps, level with a gap.
fn densities() -> Vec<Density> {
    let hump = |at: f64, wide: f64| move |size: f64| (-0.5 * ((size - at) / wide).powi(2)).exp();
    let within = |size: f64, low: f64, high: f64| if (low..high).contains(&size) { 1.0 } else { 0.0 };
    let mut all = vec![
        Density::new(0.1, |size| hump(0.1, 0.03)(size)),
        Density::new(0.1, move |size| within(size, -0.05, 0.3) * (-(size + 0.05) / 0.08).exp()),
        Density::new(0.1, move |size| within(size, -0.05, 0.25) * ((size - 0.25) / 0.08).exp()),
        Density::new(0.1, |size| hump(0.02, 0.015)(size) + 0.5 * hump(0.2, 0.015)(size)),
        Density::new(0.1, |size| hump(0.02, 0.01)(size) + 0.03 * hump(0.25, 0.01)(size)),
        Density::new(0.1, |size| within(size, -0.04, 0.06) + 2.0 * within(size, 0.16, 0.2)),
    ];
    all.iter_mut().for_each(|density| {
        density.normalise();
    });
    all
}

fn hands() -> Vec<Hand> {
    let hand = |(touch, touch_spread, misrecorded)| Hand { touch, touch_spread, misrecorded };
    [(0.15, 0.01, 0.0), (0.15, 0.05, 0.02), (0.08, 0.02, 0.0), (0.25, 0.03, 0.1)].map(hand).into()
}

/// A pass: its size, and whether it was much.
type Pass = (f64, bool);

/// A lens on its way: all that was tried of it, and how probable that is for each size up to which it could fit.
struct Course<'a> {
    fits: &'a Density,
    hand: &'a Hand,
    window: f64,
}

impl Course<'_> {
    /// How probable it is that all these passes happen, and the lens fits below one more size and from another on.
    fn chance(&self, passes: &[Pass], from: f64, below: f64) -> f64 {
        let below = passes.iter().fold(below, |below, (at, _)| below.min(*at));
        let part = self.fits.between(from, below);
        let cells = self.fits.weights().iter().zip(part.weights()).enumerate();
        let one = |(cell, (weight, part)): (usize, (&f64, &f64))| {
            if weight * part == 0.0 {
                return 0.0;
            }
            // The threshold of this lens lies below every overlap felt as much and not below any felt as a touch.
            let over = |at: f64| (at - self.fits.size(cell) - self.hand.touch) / self.hand.touch_spread;
            let share =
                |much: bool| passes.iter().filter(move |pass| pass.1 == much).map(move |pass| over(pass.0));
            let (high, low) =
                (share(true).fold(f64::INFINITY, f64::min), share(false).fold(f64::NEG_INFINITY, f64::max));
            // Of lenses of which something is recorded wrongly half are always much, and half never.
            let wrong = self.hand.misrecorded;
            let below = |over: f64| {
                if over.is_finite() {
                    0.5 * wrong + (1.0 - wrong) * normal_below(over)
                } else {
                    normal_below(over)
                }
            };
            weight * part * (below(high) - below(low)).max(0.0)
        };
        cells.map(one).sum()
    }

    fn loose(&self, passes: &[Pass], at: f64) -> f64 {
        self.chance(passes, at + self.window, f64::INFINITY)
    }

    /// The least that any policy costs from here, whatever it makes of all that was tried.
    fn least(&self, passes: &[Pass], sizes: &[f64], price: f64) -> f64 {
        let open = self.chance(passes, f64::NEG_INFINITY, f64::INFINITY);
        if sizes.is_empty() || open == 0.0 {
            return open;
        }
        let cost = |next: usize| {
            let at = sizes[next];
            let then = |much: bool| self.least(&[passes, &[(at, much)]].concat(), &sizes[next + 1..], price);
            open + price * self.loose(passes, at) + then(true) + then(false)
        };
        (0..sizes.len()).map(cost).fold(f64::INFINITY, f64::min)
    }

    /// What a way costs to whoever follows it: passes, and the chance of a loose lens.
    fn followed(&self, way: &Way, passes: &[Pass], at: f64, step: f64) -> (f64, f64) {
        let open = self.chance(passes, f64::NEG_INFINITY, f64::INFINITY);
        if open < 1e-12 {
            return (0.0, 0.0);
        }
        let rung = way.rungs.iter().find(|rung| rung.at == at);
        let next = |much: bool| rung.map_or(at - step, |rung| if much { rung.much } else { rung.touch });
        let then = [true, false].map(|much| {
            assert!(next(much) < at);
            self.followed(way, &[passes, &[(at, much)]].concat(), next(much), step)
        });
        (open + then[0].0 + then[1].0, self.loose(passes, at) + then[0].1 + then[1].1)
    }
}

/// Dials whose sizes lie between cells, and those that lie inside of them.
const DIALS: [Steps; 2] = [Steps { zero: 0.0, step: 0.05 }, Steps { zero: 0.013, step: 0.0571 }];

#[test]
fn no_policy_over_all_that_was_tried_is_better() {
    let hands = hands();
    let cases = densities().into_iter().enumerate();
    let cases = cases.flat_map(|(at, fits)| hands.iter().map(move |hand| (at, fits.clone(), hand)));
    for (at, fits, hand) in cases {
        for (window, steps) in [(0.05, DIALS[0]), (0.15, DIALS[at % 2])] {
            let sizes = Sizes::new(&fits, hand, window, steps);
            assert!((4..=9).contains(&sizes.sizes.len()));
            let course = Course { fits: &fits, hand, window };
            for price in [5.0, 60.0, 1000.0] {
                let way = sizes.way(price);
                // What is less probable than 1e-7 is not planned for.
                let apart = way.passes + price * way.loose - course.least(&[], &sizes.sizes, price);
                assert!(apart.abs() < 1e-6, "{at} {hand:?} {window} {price} {apart}");
            }
        }
    }
}

/// Two states can share a size, and a rung goes on in one way from there.
#[test]
fn following_the_rungs_costs_at_most_a_twelfth_more_and_makes_no_more_lenses_loose() {
    let lens = |fits: f64| {
        let too_big = vec![TooBig { at: fits + 0.1, much: false }];
        vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station: 0 }]
    };
    for (touch, touch_spread) in [(0.15, 0.01), (0.15, 0.03), (0.15, 0.08), (0.08, 0.02), (0.3, 0.05)] {
        let mut shop = Shop::new(0.1, 0.003);
        shop.hand = Hand { touch, touch_spread, misrecorded: 0.01 };
        for (pairs, window) in
            [0, 1, 4].into_iter().flat_map(|n| [0.06, 0.1, 0.15, 0.3].map(|window| (n, window)))
        {
            let pair = Pair { window, rims: [lens(0.2), lens(0.1)] };
            let fits = Model::of(&shop, &vec![pair; pairs]).next();
            let course = Course { fits: &fits, hand: &shop.hand, window };
            for steps in DIALS {
                let sizes = Sizes::new(&fits, &shop.hand, window, steps);
                for price in [5.0, 60.0, 500.0] {
                    let way = sizes.way(price);
                    let (passes, loose) = course.followed(&way, &[], way.first().unwrap(), sizes.step);
                    let case = format!(
                        "{pairs} {:?} {window} {steps:?} {price}: {passes} {loose} {way:?}",
                        shop.hand
                    );
                    let more = passes - way.passes + price * (loose - way.loose);
                    let most = 0.08 * (way.passes + price * way.loose);
                    assert!((-1e-3..=most).contains(&more) && loose - way.loose < 1e-6, "{more} {case}");
                }
            }
        }
    }
}
