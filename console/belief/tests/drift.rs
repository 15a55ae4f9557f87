//! The station's offset, where it is and where there is none.

mod common;

use bevelbook_belief::{Shop, Taught};
use common::{Bench, PLAIN, Truth};

/// From here on the models are known.
const SETTLED: usize = 90;

/// Thirty models that come eight times each.
fn taught(truth: Truth, seed: u64) -> (Bench, Taught) {
    let mut bench = Bench::new(truth, seed, 30);
    bench.work(8);
    let taught = Taught::of(&Shop::new(0.15, 0.003), &bench.sized, &bench.fresh);
    (bench, taught)
}

#[test]
fn a_wheel_that_wears_is_followed_to_some_hundredths() {
    // By 0.002 with each lens, renewed after 150 lenses; and half as fast.
    for wear in [0.004, 0.002] {
        let (mut squares, mut worst, mut beyond, mut all) = (0.0, 0.0f64, 0.0, 0.0);
        for seed in 1..=4 {
            let (bench, taught) = taught(Truth { wear, wheel: 75, ..PLAIN }, seed);
            assert_eq!(bench.fresh.len(), 3);
            for (offset, true_one) in taught.drift.at(0).offsets.iter().zip(&bench.offsets).skip(SETTLED) {
                // What is known before a pair is of the one before it.
                let off = offset.mean - (true_one + wear);
                squares += off * off;
                worst = worst.max(off.abs());
                beyond += f64::from(u8::from(off.abs() > 2.0 * offset.deviation));
                all += 1.0;
            }
            assert_eq!(taught.drift.at(0).pairs, 240 - 3 * 75);
        }
        let deviation = f64::sqrt(squares / all);
        println!("{wear}: {deviation:.4}, at most {worst:.4}, {:.3} beyond two deviations", beyond / all);
        assert!(deviation < 0.03 && worst < 0.08 && beyond / all < 0.1);
    }
}

#[test]
fn where_nothing_drifts_no_offset_is_seen() {
    let unequal = Truth { unequal: 0.4, misrecorded: 0.03, ..PLAIN };
    let (mut beyond, mut all) = (0, 0);
    for (truth, seeds) in
        [(PLAIN, 1..=7), (Truth { frame: 0.04, rim: 0.03, ..PLAIN }, 11..=17), (unequal, 21..=27)]
    {
        for seed in seeds {
            let now = taught(truth, seed).1.drift.at(0).now;
            beyond += u32::from(now.mean.abs() > 2.0 * now.deviation);
            all += 1;
            assert!(now.mean.abs() < 0.05 && now.deviation < 0.03, "{now:?}");
        }
    }
    println!("{beyond} of {all}");
    assert!(20 * beyond <= all);
}
