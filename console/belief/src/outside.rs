//! What is believed against vectors made by numpy and scipy (`tests/reference/belief.py`), and against a published fit;
//! each within a bound that stands here.

use super::grid::{CELL, Density};
use super::shop::Kind;
use super::{End, Hand, Model, Pair, Shop, Spread, TooBig, Tried};

const VECTORS: &str = include_str!("../tests/vectors/belief.txt");
const OPEN: f64 = 99.0;
const AT: [f64; 6] = [-0.2, 0.0, 0.1, 0.2, 0.3, 0.5];
/// Nothing but between which sizes a lens fits.
const SURE: Hand = Hand { touch: 3.0 * OPEN, touch_spread: 0.01, misrecorded: 0.0 };

/// Inputs and what is expected, of all cases of a kind.
pub(crate) fn cases(kind: &str) -> Vec<[Vec<f64>; 2]> {
    let numbers = |text: &str| text.split_whitespace().map(|number| number.parse().unwrap()).collect();
    let of_kind = VECTORS.lines().filter_map(|line| line.strip_prefix(kind)?.split_once(" = "));
    let cases: Vec<[Vec<f64>; 2]> =
        of_kind.map(|(inputs, expected)| [inputs, expected].map(numbers)).collect();
    assert!(!cases.is_empty());
    cases
}

/// A lens that fits between two sizes.
fn between(low: f64, high: f64) -> Vec<Tried> {
    let too_big = vec![TooBig { at: high, much: false }];
    vec![Tried { too_big, end: (low > -OPEN).then_some(End::Fits(low)), by_girth: None, station: 0 }]
}

/// The most probable mean and deviation of a normal distribution of which lenses are known to lie between sizes.
fn fitted(ends: &[f64], middle: f64, least: f64) -> (f64, f64) {
    let deviation = |at: usize| least * 1.02f64.powi(at as i32);
    let kinds = (0..80).map(|at| Kind::new(Spread { frame: 0.0, rim: deviation(at) }, 1.0)).collect();
    let shop = Shop { deviation: 1e3, hand: SURE, kinds, ..Shop::new(middle, 0.003) };
    let pairs: Vec<Pair> = ends
        .chunks(2)
        .map(|ends| Pair { rims: [between(ends[0], ends[1]), Vec::new()], ..Pair::untried(2.0 * OPEN) })
        .collect();
    let model = Model::of(&shop, &pairs);
    let weight = |kind: usize, cell: usize| model.means()[kind].weights()[cell];
    let all = (0..80).flat_map(|kind| (0..240).map(move |cell| (kind, cell)));
    let (kind, cell) =
        all.max_by(|one, other| weight(one.0, one.1).total_cmp(&weight(other.0, other.1))).unwrap();
    // Between cells by a parabola through the logarithms of three.
    let between = |of: &dyn Fn(usize) -> f64, at: usize| {
        let [before, here, after] = [at - 1, at, at + 1].map(|at| of(at).ln());
        0.5 * (before - after) / (before - 2.0 * here + after)
    };
    let cells = between(&|cell| weight(kind, cell), cell);
    let kinds = between(&|kind| weight(kind, cell), kind);
    (model.means()[0].size(cell) + cells * CELL, deviation(kind) * 1.02f64.powf(kinds))
}

#[track_caller]
fn near(ours: f64, exact: f64, bound: f64) {
    assert!((ours - exact).abs() <= bound, "{ours} is not {exact}");
}

#[test]
fn the_most_probable_normal_distribution_is_that_of_scipy() {
    for [inputs, expected] in cases("fit ") {
        let (mean, deviation) = fitted(&inputs[1..], 0.1, 0.03);
        near(mean, expected[0], 0.000_2);
        near(deviation, expected[1], 0.003 * expected[1]);
    }
}

/// 72-hour tolerance of salinity of river animals (Kefford, Nugegoda, Metzeling, Fields 2006, Can. J. Fish. Aquat. Sci. 63,
/// 1865-1877), in mS/cm, as `salinity` in the R package fitdistrplus; the manual of that package gives the normal
/// distribution of their logarithms by maximum likelihood: mean 1.4702582 (standard error 0.02817044), deviation 0.2154709.
#[test]
fn published_intervals_give_the_published_fit() {
    let lines = include_str!("../tests/vectors/salinity.txt").lines().filter(|line| !line.starts_with('#'));
    let number = |text: &str| text.parse().map_or(OPEN, f64::log10);
    let of_line = |line: &str| line.split_whitespace().map(number).collect::<Vec<f64>>();
    // What was read exactly lies within a cell of it.
    let apart = |ends: Vec<f64>| {
        if ends[0] == ends[1] { [ends[0] - 0.5 * CELL, ends[1] + 0.5 * CELL] } else { [ends[0], ends[1]] }
    };
    let ends: Vec<f64> = lines.flat_map(|line| apart(of_line(line))).collect();
    assert_eq!(ends.len(), 2 * 108);
    let (mean, deviation) = fitted(&ends, 1.47, 0.1);
    near(mean, 1.470_258_2, 0.000_5);
    near(deviation, 0.215_470_9, 0.000_5);
}

fn below(density: &Density) -> [f64; 6] {
    let below = density.below();
    AT.map(|at| below.at(at) / below.total())
}

/// Mean and deviation of a model, and how probable its next lens fits below each size.
#[track_caller]
fn is_believed(model: &Model<'_>, evidence: f64, expected: &[f64]) {
    let (mean, deviation) = model.mean().unwrap();
    near(mean, expected[0], 0.000_3);
    near(deviation, expected[1], 0.000_3);
    near(evidence, expected[2], 0.05);
    for (ours, exact) in below(&model.next()).into_iter().zip(&expected[3..]) {
        near(ours, *exact, 0.002);
    }
}

#[test]
fn what_pairs_tell_is_what_rectangles_of_the_normal_distribution_do() {
    for [inputs, expected] in cases("pairs ") {
        let shop = Shop { hand: SURE, ..Shop::new(inputs[0], 0.003) };
        let mut model = Model::unknown(&shop);
        let pairs = inputs[4..].chunks(4);
        let evidence = pairs
            .map(|ends| [between(ends[0], ends[1]), between(ends[2], ends[3])])
            .map(|rims| model.learn(&Pair { rims, ..Pair::untried(2.0 * OPEN) }))
            .sum();
        is_believed(&model, evidence, &expected[..9]);
        let begun = Pair { rims: [between(inputs[1], inputs[2]), Vec::new()], ..Pair::untried(2.0 * OPEN) };
        for (ours, exact) in below(&model.next_in(&begun, 1)).into_iter().zip(&expected[9..]) {
            near(ours, *exact, 0.002);
        }
    }
}

#[test]
fn a_hand_with_thresholds_and_slips_tells_what_fine_cells_do() {
    for [inputs, expected] in cases("hand ") {
        let hand = Hand { touch: inputs[0], touch_spread: inputs[1], misrecorded: inputs[2] };
        let shop = Shop { hand, ..Shop::new(inputs[3], 0.003) };
        let mut model = Model::unknown(&shop);
        let lens = |felt: &[f64]| {
            let [much, touch, low, high] = [felt[0], felt[1], felt[2], felt[3]];
            let touched = [touch, high].into_iter().filter(|at| touch > -OPEN && *at < low + 0.149);
            let all = touched.chain((touch > -OPEN).then_some(touch)).map(|at| TooBig { at, much: false });
            let much = (much < OPEN).then_some(TooBig { at: much, much: true });
            vec![Tried {
                too_big: much.into_iter().chain(all).collect(),
                end: Some(End::Fits(low)),
                by_girth: None,
                station: 0,
            }]
        };
        let pairs = inputs[5..].chunks(8).map(|felt| [lens(&felt[..4]), lens(&felt[4..])]);
        let evidence = pairs.map(|rims| model.learn(&Pair { rims, ..Pair::untried(0.15) })).sum();
        is_believed(&model, evidence, &expected);
    }
}
