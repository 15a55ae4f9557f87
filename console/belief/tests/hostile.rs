//! Whatever was recorded, what is said is a size of the dial with its chances, or nothing.

mod common;

use bevelbook_belief::{
    Density, End, Fresh, Model, Pair, Shop, Sized, Sizes, Steps, Taught, TooBig, Tried, Way,
};
use common::{Chance, STEPS, WINDOW};

/// A size as it comes, one that is nowhere near, or none at all.
fn size(chance: &mut Chance) -> f64 {
    match chance.below(20) {
        0 => 100.0 * chance.normal(),
        1 => [0.0, 1e300, -1e300, f64::INFINITY, f64::NEG_INFINITY, f64::NAN][chance.below(6)],
        _ => ((0.1 + 0.4 * chance.normal()) / 0.05).round() * 0.05,
    }
}

fn pair(chance: &mut Chance) -> Pair {
    let windows = [WINDOW, 0.0, 0.05, 0.5, 1e9, -1.0, f64::NAN];
    let window = if chance.below(3) == 0 { windows[chance.below(7)] } else { WINDOW };
    let rims = [0, 1].map(|_| {
        let lenses = [1, 1, 1, 0, 2, 5, 1][chance.below(7)];
        let lens = |_| {
            let times = [0, 1, 2, 3, 40][chance.below(5)];
            let too_big =
                (0..times).map(|_| TooBig { at: size(chance), much: chance.below(2) == 0 }).collect();
            let ends = [None, Some(End::Fits(size(chance))), Some(End::Loose(size(chance)))];
            let by_girth = (chance.below(5) == 0).then(|| size(chance));
            Tried { too_big, end: ends[chance.below(3)], by_girth, station: chance.below(3) as u64 }
        };
        (0..lenses).map(lens).collect()
    });
    Pair { window, rims }
}

/// Weights that sum to 1, or to nothing: whether there are any.
#[track_caller]
fn says(density: &Density) -> bool {
    let sound = |weight: &&f64| !(0.0..=1.0 + 1e-9).contains(*weight);
    assert_eq!(density.weights().iter().find(sound), None);
    let total = density.total();
    assert!(total == 0.0 || (total - 1.0).abs() < 1e-9, "{total}");
    total > 0.0
}

/// Sizes of the dial, one smaller than the other, each followed by smaller ones.
#[track_caller]
fn is_sound(way: &Way, steps: Steps) {
    assert!(way.passes >= 0.0 && way.passes.is_finite(), "{way:?}");
    assert!((0.0..=1.0 + 1e-9).contains(&way.loose), "{way:?}");
    assert!(way.rungs.windows(2).all(|two| two[1].at < two[0].at), "{way:?}");
    for rung in &way.rungs {
        for at in [rung.at, rung.much, rung.touch] {
            let step = (at - steps.zero) / steps.step;
            assert!((step - step.round()).abs() < 1e-6, "{at} {steps:?}");
        }
        assert!(rung.much < rung.at && rung.touch < rung.at, "{way:?}");
    }
}

fn dials() -> [Steps; 5] {
    let girths = 0.05 / std::f64::consts::PI;
    [(0.0, 0.05), (-0.013, 0.01), (0.3, girths), (7.0, 0.1), (0.0, 3.0)]
        .map(|(zero, step)| Steps { zero, step })
}

#[test]
fn what_is_said_is_sound_or_nothing_whatever_was_recorded() {
    let mut chance = Chance(1);
    let shop = Shop::new(0.1, 0.003);
    let (mut said, mut silent) = (0, 0);
    for round in 0..150 {
        // Now and then all of a model are nowhere near.
        let far = if round % 8 == 0 { 50.0 } else { 0.0 };
        let pairs: Vec<Pair> = (0..chance.below(6)).map(|_| pair(&mut chance).moved(far)).collect();
        let model = Model::of(&shop, &pairs);
        let begun = pair(&mut chance);
        let dial = dials()[round % 5];
        let known = says(&model.next());
        assert_eq!(model.mean().is_some(), known);
        assert!(model.mean().is_none_or(|(mean, deviation)| mean.is_finite() && deviation.is_finite()));
        for fits in [model.next(), model.next_in(&begun, 0), model.next_in(&begun, 1)] {
            let way = shop.way(&fits, WINDOW, dial);
            is_sound(&way, dial);
            assert_eq!(way.first().is_some(), says(&fits), "nothing is said only where nothing can be");
        }
        let eyes = shop.eyes(&model, WINDOW, dial);
        is_sound(&eyes.first, dial);
        is_sound(&eyes.second, if eyes.from_fit { Steps { zero: 0.0, ..dial } } else { dial });
        assert_eq!([eyes.first.first().is_some(), eyes.second.first().is_some()], [known; 2]);
        if known { said += 1 } else { silent += 1 }
    }
    assert!(said > 50 && silent > 5, "{said} {silent}");
}

#[test]
fn a_book_of_anything_teaches_figures() {
    let mut chance = Chance(2);
    for pairs in [0, 1, 7, 60, 200] {
        let model = |chance: &mut Chance| {
            [chance.below(8), 1_000_000, usize::MAX][chance.below(20).saturating_sub(17)]
        };
        let one = |at: i64| Sized { model: model(&mut chance), at: at * 3 % 7, pair: pair(&mut chance) };
        let sized: Vec<Sized> = (0..pairs).map(one).collect();
        let taught = Taught::of(
            &Shop::new(0.15, 0.003),
            &sized,
            &[-1, 3, i64::MAX].map(|at| Fresh { station: 0, at }),
        );
        let shop = taught.shop.priced(&taught.drift.sized, STEPS);
        let hand = [shop.hand.touch, shop.hand.touch_spread, shop.hand.misrecorded];
        let wheels = (0..4).map(|station| taught.drift.at(station));
        let offsets = wheels
            .flat_map(|wheel| wheel.offsets.iter().chain([&wheel.now, &wheel.worn, &wheel.beside]))
            .flat_map(|offset| [offset.mean, offset.deviation]);
        let figures = [shop.mean, shop.deviation, shop.price].into_iter().chain(hand).chain(offsets);
        assert!(figures.into_iter().all(f64::is_finite));
        assert!((shop.spreads().map(|(_, share)| share).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(says(&Model::unknown(&shop).next()));
    }
}

#[test]
fn windows_dials_and_densities_of_nothing_or_without_end_are_survived() {
    let shop = Shop::new(0.1, 0.003);
    let fits = Model::unknown(&shop).next();
    let of = |window: f64, zero: f64, step: f64| {
        Sizes::new(&fits, &shop.hand, window, Steps { zero, step }).way(60.0)
    };
    for window in [0.0, -1.0, 1e-12, 1e12, f64::INFINITY, f64::NAN] {
        is_sound(&of(window, 0.0, 0.05), STEPS);
    }
    for step in [1e-12, 1e-3, 1e3, 1e12] {
        assert!(of(WINDOW, 0.0, step).first().is_some());
    }
    for step in [0.0, -0.05, f64::NAN] {
        assert_eq!(of(WINDOW, 0.0, step).first(), None);
    }
    let nothing = Density::new(0.1, |_| 0.0);
    assert_eq!(shop.way(&nothing, WINDOW, STEPS).first(), None);
    let one_cell = Density::new(0.1, |size| f64::from(u8::from((0.1..0.112).contains(&size))));
    assert!(shop.way(&one_cell, WINDOW, STEPS).first().is_some());
}

#[test]
fn of_a_model_that_fits_nowhere_near_the_others_nothing_is_said() {
    let shop = Shop::new(0.1, 0.003);
    let lens = |fits: f64| {
        let too_big = vec![TooBig { at: fits + 0.1, much: false }];
        vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station: 0 }]
    };
    let pair = |right: f64, left: f64| Pair { rims: [lens(right), lens(left)], ..Pair::untried(WINDOW) };
    for far in [1.5, 3.0, -2.0, 40.0] {
        let mut model = Model::of(&shop, &[pair(far, far)]);
        assert!(!says(&model.next()) && model.mean().is_none());
        assert_eq!(shop.eyes(&model, WINDOW, STEPS).first.first(), None);
        // One that was begun there, and one slip among others.
        let begun = Pair { rims: [lens(far), Vec::new()], ..Pair::untried(WINDOW) };
        assert!(!says(&Model::unknown(&shop).next_in(&begun, 1)));
        model.learn(&pair(0.2, 0.2));
        model.learn(&pair(0.2, 0.2));
        let (mean, _) = model.mean().unwrap();
        assert!((mean - 0.25).abs() < 0.03, "{mean}");
    }
    // Far off, but reckoned with.
    let (mean, _) = Model::of(&shop, &vec![pair(0.9, 0.9); 3]).mean().unwrap();
    assert!((mean - 0.95).abs() < 0.03, "{mean}");
}

#[test]
fn ten_thousand_lenses_of_one_model_are_no_more_than_a_model_that_is_well_known() {
    let shop = Shop::new(0.1, 0.003);
    let mut chance = Chance(3);
    let lens = |chance: &mut Chance| {
        let fits = ((0.2 + 0.05 * chance.normal()) / 0.05).floor() * 0.05;
        let too_big = vec![TooBig { at: fits + 0.05, much: false }];
        vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station: 0 }]
    };
    let mut model = Model::unknown(&shop);
    for _ in 0..5000 {
        model.learn(&Pair { rims: [lens(&mut chance), lens(&mut chance)], ..Pair::untried(WINDOW) });
    }
    let (mean, deviation) = model.mean().unwrap();
    assert!((mean - 0.2).abs() < 0.007 && deviation < 0.005, "{mean} {deviation}");
    assert!(says(&model.next()));
}
