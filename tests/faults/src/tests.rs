//! A few runs of each campaign, every single cut, and everything that was once found.

use super::every::every_cut;
use super::frames::damage;
use super::generate::{CAMPAIGNS, script};
use super::run::{play, shrink};
use super::script::Script;
use std::path::Path;

fn holds(script: &Script, real: bool) {
    if let Err(broken) = play(script, real, false).result {
        panic!("{broken}\nthe least of it:\n{}", shrink(script.clone(), real));
    }
}

#[test]
fn what_was_once_found_holds_now() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("regressions");
    let mut played = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let script = std::fs::read_to_string(&path).unwrap().parse::<Script>().unwrap();
        for real in [false, true] {
            if let Err(broken) = play(&script, real, false).result {
                panic!("{}: {broken}", path.display());
            }
        }
        played += 1;
    }
    assert!(played >= 4);
}

#[test]
fn a_few_days_of_each_sort_hold() {
    for campaign in CAMPAIGNS {
        (0..40).for_each(|seed| holds(&script(seed, Some(campaign)), false));
    }
}

#[test]
fn a_server_goes_and_loses_answers_in_its_campaign() {
    let server = CAMPAIGNS.iter().find(|campaign| campaign.name == "server");
    let played = (0..40).map(|seed| play(&script(seed, server), false, false).result.unwrap());
    let (went, unanswered) =
        played.fold((0, 0), |(went, not), tally| (went + tally.servers, not + tally.unanswered));
    assert!(went >= 30 && unanswered >= 8, "{went} {unanswered}");
}

#[test]
fn the_real_book_says_what_the_model_says() {
    for campaign in CAMPAIGNS {
        (0..2).for_each(|seed| holds(&script(seed, Some(campaign)), true));
    }
}

#[test]
fn the_same_seed_leaves_the_same_trace_and_the_same_words() {
    for seed in 0..20 {
        let [first, second] = [(); 2].map(|()| play(&script(seed, None), false, true));
        assert_eq!((first.hash, first.lines), (second.hash, second.lines), "seed {seed}");
    }
}

#[test]
fn a_script_is_read_as_it_is_written() {
    for seed in 0..50 {
        let script = script(seed, None);
        assert_eq!(script.to_string().parse::<Script>().as_ref(), Ok(&script));
    }
    assert!("start usual 1\nflood 3".parse::<Script>().is_err());
    assert!("start usual 1\npress".parse::<Script>().is_err());
}

#[test]
fn every_single_cut_of_two_short_days_holds() {
    match every_cut(false) {
        Ok(count) => assert!(count.single > 100, "{count}"),
        Err((script, broken)) => panic!("{broken}\n{script}"),
    }
}

#[test]
fn no_damaged_frame_passes() {
    let passed = damage(1, 20_000);
    assert!(passed.damaged >= 20_000 && passed.bad == 0, "{passed:?}");
}
