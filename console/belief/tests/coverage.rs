//! What is believed comes true as often as it says: over shops that are as is assumed, learned from a book of theirs.

mod common;

use bevelbook_belief::{Model, Pair, Shop, Taught};
use common::{Bench, PLAIN, Truth, WINDOW};

/// A book: so many models, each of which came so often.
const MODELS: usize = 150;
const PAIRS: usize = 3;
const BOOKS: u64 = 4;
/// Of how many models that come then, and of the last of them how often.
const NEW: usize = 150;
const OFTEN: usize = 60;
const TIMES: usize = 10;

/// How many lenses lie in the middle 90 % of what was believed of them, and how many lenses there were.
struct Count {
    inside: usize,
    all: usize,
}

impl Count {
    /// The next pair of a model, whose lenses fit at sizes that are all off by so much.
    fn pair(&mut self, bench: &mut Bench, at: usize, model: &Model<'_>, off: f64) -> Pair {
        let mut pair = Pair::untried(WINDOW);
        for (eye, fits) in bench.fits(at).into_iter().enumerate() {
            let share = model.next_in(&pair, eye).below().at(fits + off);
            self.inside += usize::from(share > 0.05 && share < 0.95);
            self.all += 1;
            pair.rims[eye].push(bench.tried(fits + off, 0.5));
        }
        pair
    }

    #[track_caller]
    fn is_nine_of_ten(&self) {
        let share = self.inside as f64 / self.all as f64;
        println!("{share:.3} of {}", self.all);
        // By chance alone it has a standard deviation of 0.4 to 0.9 %; somewhat more, since all lenses of a book are judged
        // by what that book taught.
        assert!((share - 0.9).abs() <= 0.02, "{share}");
    }
}

/// Lenses of the models in the book and of new ones; and those of models that come often. First eyes and second ones.
#[track_caller]
fn comes_true(truth: Truth) {
    let [mut next, mut often] = [const { Count { inside: 0, all: 0 } }; 2];
    for seed in 1..=BOOKS {
        let mut bench = Bench::new(truth, seed, MODELS);
        bench.work(PAIRS);
        let Taught { shop, drift } = Taught::of(&Shop::new(0.15, 0.003), &bench.sized, &bench.fresh);
        let off = bench.offset() - drift.at(0).now.mean;
        (0..NEW).for_each(|_| bench.meet());
        for at in 0..MODELS + NEW {
            let before = drift.sized.iter().filter(|sized| sized.model == at);
            let mut model = Model::of(&shop, before.map(|sized| &sized.pair));
            model.learn(&next.pair(&mut bench, at, &model, off));
            if at >= MODELS + NEW - OFTEN {
                (1..PAIRS).for_each(|_| {
                    model.learn(&Count { inside: 0, all: 0 }.pair(&mut bench, at, &model, off));
                });
                (PAIRS..TIMES).for_each(|_| {
                    model.learn(&often.pair(&mut bench, at, &model, off));
                });
            }
        }
    }
    [next, often].iter().for_each(Count::is_nine_of_ten);
}

#[test]
fn nine_of_ten_lenses_fit_where_nine_of_ten_were_expected() {
    comes_true(PLAIN);
}

#[test]
fn also_where_both_rims_of_a_frame_share_much() {
    comes_true(Truth { frame: 0.04, rim: 0.03, ..PLAIN });
}

#[test]
fn also_where_models_spread_unequally() {
    comes_true(Truth { unequal: 0.4, ..PLAIN });
}

#[test]
fn also_where_three_in_a_hundred_are_misrecorded() {
    comes_true(Truth { misrecorded: 0.03, ..PLAIN });
}

#[test]
fn also_where_the_hand_tells_sizes_apart_otherwise() {
    comes_true(Truth { touch: 0.11, touch_spread: 0.03, ..PLAIN });
}

#[test]
fn also_where_the_wheel_wears() {
    comes_true(Truth { wear: 0.002, wheel: 75, ..PLAIN });
}
