//! What records, typed or logged, show of rims. What is expected was worked out by hand.

mod alike;
mod shop;

use bevelbook_core::prescription::Eye::{self, Left, Right};
use bevelbook_core::record::*;
use bevelbook_core::sizing::Outcome::{Abandoned, FarTooBig, Fits, JustTooBig, Loose};
use bevelbook_core::sizing::{Basis, Counting, Rim};
use bevelbook_core::units::Length;
use shop::{shop, um};

#[test]
fn a_pair_is_what_was_tried_of_each_lens_down_to_its_fit() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, FarTooBig), (300, JustTooBig), (200, Fits)]);
    shop.passes(job, Left, &[(250, JustTooBig), (150, Fits)]);
    assert_eq!(
        shop.told(job),
        ["much +0.500, touch +0.300, fits +0.200", "touch +0.250, fits +0.150"].map(String::from)
    );
    let sized = shop.sized(job);
    assert_eq!((sized.id, sized.number, sized.frame.rim), (job, 1, Rim::Metal));
    assert_eq!(
        (sized.frame.model.as_str(), sized.frame.a, sized.frame.dbl),
        ("Lindgren 7", um(50_000), um(18_000))
    );
    let last = shop.work.job(job).unwrap().lines.last().map(|line| (line.position, line.at)).unwrap();
    assert_eq!((sized.position, sized.at), last);
}

#[test]
fn a_strained_fit_is_a_touch_too_big_until_the_strain_is_undone() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(300, JustTooBig), (200, Fits)]);
    let strained = shop.strained(job, Right);
    assert_eq!(shop.told(job)[0], "touch +0.300, touch +0.200");
    shop.passes(job, Right, &[(150, Fits)]);
    assert_eq!(shop.told(job)[0], "touch +0.300, touch +0.200, fits +0.150");
    shop.work.void(strained).unwrap();
    // It fitted at both: the last one is how it ended.
    assert_eq!(shop.told(job)[0], "touch +0.300, fits +0.150");
}

#[test]
fn a_voided_pass_is_not_there() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, JustTooBig)]);
    let wrong = shop.passes(job, Right, &[(300, Loose)]);
    let before = shop.sized(job).position;
    shop.work.void(wrong).unwrap();
    assert_eq!(shop.told(job), ["touch +0.500", ""].map(String::from));
    assert!(shop.sized(job).position < before);
    let only = shop.sized(job).lenses[0][0].lens;
    let first = shop.work.job(job).unwrap().course(only)[0].0;
    shop.work.void(first).unwrap();
    assert_eq!(shop.work.job(job).unwrap().sized(), None);
    assert_eq!(shop.lately(9), []);
}

#[test]
fn a_loose_lens_that_is_made_anew_is_kept_beside_the_next() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(300, JustTooBig), (100, Loose)]);
    // Nothing is learned of a lens that is loose already.
    shop.passes(job, Right, &[(50, Loose)]);
    shop.remade(job, Right);
    shop.passes(job, Right, &[(250, JustTooBig), (200, Fits)]);
    assert_eq!(shop.told(job)[0], "touch +0.300, loose +0.100; touch +0.250, fits +0.200");
    let [lost, next] = &shop.sized(job).lenses[0][..] else { panic!("two lenses") };
    assert!(lost.sizing.is_scrap() && next.sizing.is_done());
    assert_eq!((lost.lens.number, lost.sizing.passes, next.lens.number), (1, 3, 2));
}

#[test]
fn who_insists_past_the_guard_is_told_and_the_last_that_was_felt_ends_it() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(200, Fits), (150, Fits), (50, Loose)]);
    assert_eq!(shop.told(job)[0], "loose +0.050");
    let past: Vec<bool> = shop.sized(job).lenses[0][0].passes.iter().map(|pass| pass.past).collect();
    assert_eq!(past, [false, true, true]);
    shop.passes(job, Left, &[(200, Fits), (200, JustTooBig)]);
    assert_eq!(shop.told(job)[1], "touch +0.200", "it is too big after all");
}

#[test]
fn a_size_that_is_not_known_exactly_is_left_out() {
    let mut shop = shop();
    let job = shop.job();
    shop.states(Basis::Diameter, Counting::TakeOff { from: um(600) });
    shop.passes(job, Right, &[(100, FarTooBig), (200, Abandoned), (50, JustTooBig)]);
    // Somewhere between 0.25 and 0.45.
    assert_eq!(shop.told(job)[0], "much +0.500");
    assert_eq!(shop.sized(job).lenses[0][0].sizing.passes, 3);
    // An end that is below all of that is known again.
    shop.states(Basis::Diameter, Counting::Absolute);
    shop.passes(job, Right, &[(200, Fits)]);
    assert_eq!(shop.told(job)[0], "much +0.500, fits +0.200");
}

#[test]
fn what_is_taken_off_a_radius_is_told_on_the_diameter() {
    let mut shop = shop();
    let job = shop.job();
    shop.states(Basis::Radius, Counting::TakeOff { from: um(400) });
    shop.passes(job, Right, &[(150, FarTooBig), (100, JustTooBig), (50, Fits)]);
    assert_eq!(shop.told(job)[0], "much +0.500, touch +0.300, fits +0.200");
}

#[test]
fn what_was_advised_is_told_as_the_size_that_it_would_have_left() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, JustTooBig), (400, Fits)]);
    shop.states(Basis::Radius, Counting::TakeOff { from: um(350) });
    shop.passes(job, Left, &[(0, JustTooBig), (50, Fits)]);
    let advised = |eye: Eye| -> Vec<(i32, Option<i32>)> {
        let lens = &shop.sized(job).lenses[eye.index()][0];
        lens.passes.iter().map(|pass| (pass.size.milli(), pass.advised.map(Length::milli))).collect()
    };
    // The defaults: 0.40 first and 0.10 down from a touch; beside a fit that step above it.
    assert_eq!(advised(Right), [(500, Some(400)), (400, Some(400))]);
    assert_eq!(advised(Left), [(700, Some(500)), (600, Some(600))]);
}

#[test]
fn girths_tell_the_size_at_which_a_lens_is_as_long_round_as_its_rim() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, JustTooBig)]);
    shop.girth(job, Right, GirthOf::Lens, 141_942);
    assert_eq!(shop.told(job)[0], "touch +0.500", "nobody measured the rim");
    shop.girth(job, Right, GirthOf::Rim, 141_000);
    // 0.942 mm round is 0.942 / 3.14159 = 0.300 mm across.
    assert_eq!(shop.told(job)[0], "touch +0.500, girth +0.200");
    // What was measured at 0.50 tells as much of the rim when the lens has been ground on, and of the next lens too.
    shop.passes(job, Right, &[(100, Loose)]);
    shop.remade(job, Right);
    shop.passes(job, Right, &[(450, JustTooBig)]);
    shop.girth(job, Right, GirthOf::Lens, 141_785);
    assert_eq!(shop.told(job)[0], "touch +0.500, loose +0.100, girth +0.200; touch +0.450, girth +0.200");
}
