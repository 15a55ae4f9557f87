//! How long it takes; in release: `cargo test --release -p bevelbook-belief --test speed -- --ignored --nocapture`.

mod common;

use bevelbook_belief::{Model, Pair, Shop, Steps, Taught};
use common::{Bench, PLAIN, STEPS, WINDOW};
use std::time::{Duration, Instant};

/// The mean of some times.
#[track_caller]
fn takes(what: &str, most: Duration, mut of: impl FnMut()) {
    const TIMES: u32 = 5;
    let start = Instant::now();
    (0..TIMES).for_each(|_| of());
    let each = start.elapsed() / TIMES;
    println!("{what}: {each:?}");
    // What else runs on this machine takes its share, and it may be a slow one.
    assert!(each < 5 * most, "{what}: {each:?}");
}

#[test]
#[ignore = "it measures time"]
fn beliefs_and_ways_are_there_while_nobody_waits() {
    let mut bench = Bench::new(PLAIN, 1, 75);
    bench.work(4);
    let before = Shop::new(0.15, 0.003);
    let shop = Taught::of(&before, &bench.sized, &[]).shop;
    let pairs: Vec<Pair> = bench.sized[..20].iter().map(|sized| sized.pair.clone()).collect();
    takes("a model of 20 pairs", Duration::from_millis(5), || drop(Model::of(&shop, &pairs)));
    let seldom = Model::of(&shop, &pairs[..1]);
    for (name, model) in [("of a new model", &Model::unknown(&before)), ("after a pair", &seldom)] {
        // A dial of hundredths, one of girths in twentieths, and one of radii.
        for step in [0.05, 0.01, 0.05 / std::f64::consts::PI, 0.1] {
            takes(&format!("both eyes {name} at {step:.3}"), Duration::from_millis(20), || {
                drop(shop.eyes(model, WINDOW, Steps { zero: 0.0, step }));
            });
        }
    }
}

#[test]
#[ignore = "it measures time"]
fn a_book_is_learned_from_within_a_second() {
    let before = Shop::new(0.15, 0.003);
    for (pairs, times) in [(300, 4), (5000, 1), (5000, 4), (5000, 20)] {
        let mut bench = Bench::new(PLAIN, 2, pairs / times);
        bench.work(times);
        takes(&format!("{pairs} pairs, each model {times} times"), Duration::from_secs(1), || {
            let Taught { shop, drift } = Taught::of(&before, &bench.sized, &[]);
            drop(shop.priced(&drift.sized, STEPS));
        });
    }
}
