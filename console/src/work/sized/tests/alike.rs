//! Frames alike, and in which order the station cut their lenses.

use super::shop::{KEYPAD, Shop, shop, um};
use crate::desk::sample;
use crate::work::Epoch;
use bevelbook_core::prescription::Eye::{Left, Right};
use bevelbook_core::record::*;
use bevelbook_core::sizing::Outcome::{Fits, JustTooBig, Loose};
use bevelbook_core::sizing::{Basis, Counting, Dialled, Rim};

#[test]
fn a_walk_in_counts_for_the_order_under_which_it_is_filed() {
    let mut shop = shop();
    let job = shop.job();
    let own = JobId::opened_by(RecordId { journal: KEYPAD, seq: 1 });
    shop.sends(Bench::Opened(Opened { job: own, rim: Rim::Metal }));
    for (at, outcome) in [(400, JustTooBig), (300, Fits)] {
        let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount: um(at) };
        let lens = PairId::first(own).lens(Left);
        shop.sends(Bench::Pass(Pass { advised: None, lens, dialled, outcome, past: false }));
    }
    assert!(shop.alike(job).is_empty());
    shop.work.file(own, job).unwrap();
    assert_eq!(shop.alike(job), [job]);
    assert_eq!(shop.told(job), ["", "touch +0.400, fits +0.300"].map(String::from));
    assert_eq!(shop.sized(job).lenses[1][0].lens.job, job);
}

#[test]
fn frames_are_alike_by_model_size_and_rim_and_stand_in_the_order_of_the_station() {
    let mut shop = shop();
    let first = shop.ordered(|order| order.frame.model = "LINDGREN 7".into());
    // A trace measures a little beside what is printed.
    let traced = shop.ordered(|order| order.frame.size.a = um(50_400));
    let wide = shop.ordered(|order| order.frame.size.a = um(52_000));
    let plastic = shop.ordered(|order| order.frame.rim = Rim::Plastic);
    let rimless = shop.ordered(|order| order.frame.rim = Rim::Rimless);
    let untouched = shop.job();
    for job in [traced, wide, plastic, rimless, first] {
        shop.passes(job, Right, &[(300, JustTooBig), (200, Fits)]);
    }
    assert_eq!(shop.alike(untouched), [traced, first]);
    assert_eq!(shop.alike(wide), [wide]);
    assert_eq!(shop.alike(plastic), [plastic]);
    assert!(shop.alike(rimless).is_empty());
    assert_eq!(shop.work.job(rimless).unwrap().sized(), None);
    shop.passes(traced, Left, &[(200, Fits)]);
    assert_eq!(shop.alike(untouched), [first, traced], "by the last pass");
    let newest = [(50_400, Rim::Metal), (50_000, Rim::Metal), (50_000, Rim::Plastic), (52_000, Rim::Metal)];
    let lately = shop.lately(9);
    assert_eq!(lately.iter().map(|(_, a, rim)| (a.milli(), *rim)).collect::<Vec<_>>(), newest);
    assert_eq!(shop.lately(2), lately[..2]);
}

#[test]
fn an_amendment_of_the_model_takes_what_was_shown_with_it() {
    let mut shop = shop();
    let (job, other) = (shop.job(), shop.ordered(|order| order.frame.model = "Two".into()));
    shop.passes(job, Right, &[(200, Fits)]);
    assert_eq!((shop.alike(job), shop.alike(other)), (vec![job], vec![]));
    shop.work.amend(job, "misread", None, |order| order.frame.model = "two".into()).unwrap();
    assert_eq!(shop.alike(other), [job]);
    assert_eq!(shop.lately(9), [("two".to_owned(), um(50_000), Rim::Metal)]);
    let frame = sample().frame;
    assert!(shop.work.sized_of(&frame).unwrap().is_empty());
}

#[test]
fn what_happened_to_the_station_stands_between_what_it_cut_until_it_is_undone() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(200, Fits)]);
    let wheel = shop.work.log_station(StationEvent::NewWheel).unwrap();
    let before = shop.sized(job).position;
    shop.passes(job, Left, &[(200, Fits)]);
    let after = shop.sized(job).position;
    shop.sends(Bench::Station(StationEvent::Recalibrated));
    let events = |shop: &Shop| -> Vec<(StationEvent, i64)> {
        let epochs = shop.work.station_epochs().unwrap().into_iter();
        epochs.map(|Epoch { event, position, .. }| (event, position)).collect()
    };
    let all = events(&shop);
    let [
        (StationEvent::Dial(_), stated),
        (StationEvent::NewWheel, renewed),
        (StationEvent::Recalibrated, last),
    ] = all[..]
    else {
        panic!("{all:?}")
    };
    assert!(stated < before && before < renewed && renewed < after && after < last, "{all:?}");
    shop.work.void(wheel).unwrap();
    assert_eq!(events(&shop), [all[0], all[2]]);
}

#[test]
fn a_model_may_be_called_anything_and_a_word_that_cannot_be_read_tells_nothing() {
    let mut shop = shop();
    let job = shop.ordered(|order| order.frame.model = "7|;,f200 sized 000000000001".into());
    shop.passes(job, Right, &[(-50, Loose)]);
    assert_eq!(shop.told(job), ["loose -0.050", ""].map(String::from));
    let path = shop.work.place().as_file().unwrap().to_owned();
    let by_hand = rusqlite::Connection::open(path).unwrap();
    by_hand
        .execute("UPDATE found_by SET word = replace(word, 'l-50', 'q') WHERE word LIKE 'sized%'", [])
        .unwrap();
    assert_eq!(shop.lately(9), []);
    let astray = shop.work.astray().unwrap();
    assert_eq!(astray.len(), 2, "{astray:?}");
    shop.work.renew().unwrap();
    assert_eq!(shop.told(job)[0], "loose -0.050");
}
