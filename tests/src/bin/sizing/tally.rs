//! What many lenses come to: means with their standard errors.

use crate::bench::Done;
use std::collections::HashMap;

/// A mean and its standard error.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Mean {
    pub(crate) mean: f64,
    pub(crate) error: f64,
    pub(crate) count: usize,
}

impl Mean {
    /// Of a figure of each lens. Lenses of one model are alike, so the error is that of the models' sums.
    pub(crate) fn of(lenses: impl IntoIterator<Item = (usize, f64)>) -> Self {
        let mut rims: HashMap<usize, (f64, f64)> = HashMap::new();
        let (mut sum, mut count) = (0.0, 0);
        for (rim, figure) in lenses {
            let of = rims.entry(rim).or_default();
            *of = (of.0 + figure, of.1 + 1.0);
            sum += figure;
            count += 1;
        }
        let all = count as f64;
        let mean = sum / all.max(1.0);
        let squares: f64 = rims.values().map(|(sum, lenses)| (sum - mean * lenses).powi(2)).sum();
        Self { mean, error: squares.sqrt() / all.max(1.0), count }
    }
}

/// How one way did in one shop.
pub(crate) struct Tally {
    pub(crate) way: &'static str,
    /// Passes a lens by pair of its rim, from the first pair on.
    pub(crate) passes: Vec<Mean>,
    /// Passes of the second lens of the first pair.
    pub(crate) second: Mean,
    /// The share that ended loose.
    pub(crate) loose: Mean,
    /// The share that was promised to.
    pub(crate) promised: Option<f64>,
    /// The share that fits up to where nine in ten were to.
    pub(crate) central: Option<Mean>,
    /// What was promised and what happened, by tenths of the lenses from the least promise on.
    pub(crate) tenths: Vec<(f64, Mean)>,
}

impl Tally {
    pub(crate) fn new(way: &'static str, done: &[Done], pairs: usize) -> Self {
        let passes = |lens: &Done| (lens.rim, f64::from(lens.passes));
        let loose = |lens: &Done| (lens.rim, f64::from(u8::from(lens.loose)));
        let by_pair = |before| Mean::of(done.iter().filter(|lens| lens.before == before).map(passes));
        let mut promised: Vec<(f64, &Done)> =
            done.iter().filter_map(|lens| Some((lens.promised?, lens))).collect();
        promised.sort_by(|one, other| one.0.total_cmp(&other.0));
        let tenth = |part: &[(f64, &Done)]| (mean(part), Mean::of(part.iter().map(|(_, lens)| loose(lens))));
        let central: Vec<(usize, f64)> =
            done.iter().filter_map(|lens| Some((lens.rim, f64::from(u8::from(lens.central?))))).collect();
        Self {
            way,
            passes: (0..pairs).map(by_pair).collect(),
            second: Mean::of(done.iter().filter(|lens| lens.before == 0 && lens.second).map(passes)),
            loose: Mean::of(done.iter().map(loose)),
            promised: Some(mean(&promised)).filter(|_| !promised.is_empty()),
            central: Some(Mean::of(central)).filter(|central| central.count > 0),
            tenths: promised.chunks(promised.len().div_ceil(10).max(1)).map(tenth).collect(),
        }
    }
}

fn mean(promised: &[(f64, &Done)]) -> f64 {
    promised.iter().map(|(promise, _)| promise).sum::<f64>() / promised.len() as f64
}
