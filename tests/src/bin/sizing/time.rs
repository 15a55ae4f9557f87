//! What advice costs: microseconds of one processor, the least of several runs.

use crate::contest::LIMIT;
use crate::shop::{KINDS, Shop, WINDOW};
use crate::{bench, ours};
use bevelbook::belief::{self, Model, Steps, Taught};
use std::hint::black_box;
use std::time::Instant;

/// The least of so many runs, in microseconds.
fn least<T>(runs: usize, of: impl Fn() -> T) -> f64 {
    let run = |_| {
        let begun = Instant::now();
        black_box(of());
        begun.elapsed().as_secs_f64() * 1e6
    };
    (0..runs).map(run).fold(f64::INFINITY, f64::min)
}

/// A line for each step from what a shop's passes showed to a way.
pub(crate) fn text(seed: u64) -> String {
    let shop = Shop::new(KINDS[0], seed, 25, 12);
    let mut ours = ours::Ours::new(&shop, ours::Asked::Console);
    bench::size(&shop, &mut ours);
    let sized = ours.sized();
    let steps = Steps { zero: 0.0, step: shop.kind.step };
    let before = belief::Shop::new(0.0, LIMIT);
    let believed = before.learned(sized).priced(sized, steps);
    let pairs: Vec<_> = sized.iter().filter(|sized| sized.model == 0).map(|sized| &sized.pair).collect();
    let model = Model::of(&believed, pairs.iter().copied());
    let learned = || {
        let mut model = model.clone();
        model.learn(pairs[0]);
    };
    let rows = [
        (
            "what is believed of a model, of 12 pairs",
            least(20, || Model::of(&believed, pairs.iter().copied())),
        ),
        ("one pair more", least(50, learned)),
        ("where its next lens fits", least(50, || model.next())),
        ("the way of a lens", least(20, || believed.way(&model.next(), WINDOW, steps))),
        ("both ways of a card", least(20, || believed.eyes(&model, WINDOW, steps))),
        ("a shop's models, of 300 pairs", least(3, || before.learned(sized))),
        ("its price", least(3, || believed.clone().priced(sized, steps))),
        ("its station", least(3, || Taught::of(&before, sized, &[]))),
        (
            "10,000 lenses of 417 models, without the shop's own",
            least(1, || {
                for _ in 0..417 {
                    black_box(Model::of(&believed, pairs.iter().copied()));
                }
            }),
        ),
    ];
    rows.map(|(what, took)| format!("{what:<56}{took:>12.0} us\n")).concat()
}
