//! What all models have in common that changes in time: the station's offset.
//!
//! A wheel that wears, or a station out of true, moves every lens alike, more so with each, until the wheel is renewed or the
//! station recalibrated. A Kalman filter over the offset, its growth and the mean of every model at once: what is seen of a
//! model alone is where it fits by the dial, so only models that come back tell of the offset, and how well it is known
//! comes out with it. Each pair is one observation; a stray one counts for less.

use super::{Pair, Shop, Sized, Spread};
use std::collections::BTreeMap;

/// By how much the offset grows with a pair before anything was seen, and how unevenly: standard deviations in millimetres
/// (common practice, no source: a tenth in some fifty pairs is much).
const GROWTH: f64 = 0.002;
const UNEVEN: f64 = 0.001;
/// After a new wheel or a recalibration the offset is about 0: standard deviation (common practice, no source).
const FRESH: f64 = 0.02;
/// How models differ as far as the offset is concerned: so much that one which was never here tells little of it.
const MODELS: f64 = 0.5;
/// An observation that is off by more than so many standard deviations counts for less.
const STRAY: f64 = 3.0;

/// The offset of a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offset {
    /// How much larger than on a fresh station the sizes are at which lenses fit, in millimetres of diameter; negative
    /// where they have to be cut smaller.
    pub mean: f64,
    /// How well that is known: standard deviation.
    pub deviation: f64,
}

/// A shop at its station: what is believed of it when it has sized some pairs.
#[derive(Clone, Debug)]
pub struct Taught {
    /// What is believed of its models.
    pub shop: Shop,
    /// What the pairs told of its station.
    pub drift: Drift,
}

impl Taught {
    /// Of a shop that believed so much before, and sized these pairs in their order; at the places in `fresh` its wheel was
    /// renewed or it was recalibrated.
    pub fn of(before: &Shop, sized: &[Sized], fresh: &[i64]) -> Self {
        let drift = Drift::of(before, sized, fresh);
        Self { shop: before.learned(&drift.sized), drift }
    }
}

/// What pairs told of the offset of the station alone: a small part of the work of learning all.
#[derive(Clone, Debug)]
pub struct Drift {
    /// The pairs, each moved by the offset of its time, oldest first.
    pub sized: Vec<Sized>,
    /// The offset before each of them.
    pub offsets: Vec<Offset>,
    /// The offset now.
    pub now: Offset,
    /// How many pairs were sized since it was fresh.
    pub pairs: usize,
}

impl Drift {
    /// As [`Taught::of`].
    pub fn of(before: &Shop, sized: &[Sized], fresh: &[i64]) -> Self {
        let mut filter = Filter::new(before);
        let (mut moved, mut offsets) = (Vec::with_capacity(sized.len()), Vec::with_capacity(sized.len()));
        let (mut last, mut pairs) = (i64::MIN, 0);
        let newest: BTreeMap<usize, usize> =
            sized.iter().enumerate().map(|(at, one)| (one.model, at)).collect();
        for (at, one) in sized.iter().enumerate() {
            if fresh.iter().any(|fresh| (last..one.at).contains(fresh)) {
                filter.renew();
                pairs = 0;
            }
            last = one.at;
            let offset = filter.offset();
            if let Some(seen) = before.seen(&one.pair) {
                filter.learn(one.model, seen);
            }
            if newest.get(&one.model) == Some(&at) {
                filter.forget(one.model);
            }
            moved.push(Sized { pair: one.pair.moved(-filter.offset().mean), ..one.clone() });
            offsets.push(offset);
            pairs += 1;
        }
        if fresh.iter().any(|fresh| *fresh >= last) {
            filter.renew();
            pairs = 0;
        }
        Self { sized: moved, offsets, now: filter.offset(), pairs }
    }
}

impl Shop {
    /// Where a frame seems to fit by what its lenses showed, and the variance of that; none where they showed no end.
    fn seen(&self, pair: &Pair) -> Option<(f64, f64)> {
        let prior = self.prior();
        if self.hand.within(pair, &prior)[0] == 0 {
            return None;
        }
        let told = [0, 1].map(|rim| {
            pair.rims[rim].iter().any(|tried| tried.end.is_some()).then(|| {
                let mut likely = self.hand.likelihood(pair, rim, &prior);
                let most = likely.weights().iter().fold(0.0, |most: f64, weight| most.max(*weight));
                // What was recorded is believed here.
                likely.each(|_, weight| if weight > most / 4.0 { weight } else { 0.0 });
                likely.moments()
            })?
        });
        let (mut sum, mut variance, mut rims) = (0.0, 0.0, 0.0);
        let mean = |of: fn(&Spread) -> f64| -> f64 {
            self.spreads().map(|(spread, share)| share * of(&spread).powi(2)).sum()
        };
        let (frame, rim) = (mean(|spread| spread.frame), mean(|spread| spread.rim));
        for (at, within) in told.into_iter().flatten() {
            sum += at;
            variance += within + rim;
            rims += 1.0;
        }
        (rims > 0.0).then(|| (sum / rims, variance / (rims * rims) + frame))
    }
}

/// Offset, growth, and the mean of each model, with their covariances.
struct Filter {
    prior: (f64, f64),
    means: Vec<f64>,
    /// `[n][m]` for m up to n; it is the same the other way round.
    covariances: Vec<Vec<f64>>,
    /// Which of them is which model.
    models: Vec<usize>,
}

impl Filter {
    fn new(shop: &Shop) -> Self {
        let prior = (shop.mean, MODELS.powi(2));
        let covariances = vec![vec![0.0], vec![0.0, 0.0]];
        let mut new = Self { prior, means: vec![0.0; 2], covariances, models: Vec::new() };
        new.renew();
        new
    }

    /// Offset and growth are not known any more from what was before.
    fn renew(&mut self) {
        self.means[..2].fill(0.0);
        self.covariances.iter_mut().for_each(|row| row.iter_mut().take(2).for_each(|cell| *cell = 0.0));
        self.covariances[0][0] = FRESH.powi(2);
        self.covariances[1][1] = GROWTH.powi(2);
    }

    fn offset(&self) -> Offset {
        Offset { mean: self.means[0], deviation: self.covariances[0][0].max(0.0).sqrt() }
    }

    /// One pair of a model more, which seems to fit at `at` by the dial, with a variance.
    fn learn(&mut self, model: usize, (at, variance): (f64, f64)) {
        self.grow();
        let place = self.place(model);
        // What is seen is the sum of the offset and the model.
        let with = |n: usize, m: usize| self.covariances[n.max(m)][n.min(m)];
        let toward: Vec<f64> = (0..self.means.len()).map(|n| with(n, 0) + with(n, place)).collect();
        let apart = at - self.means[0] - self.means[place];
        let known = toward[0] + toward[place];
        let stray = apart * apart / ((known + variance) * STRAY * STRAY);
        let all = known + variance * stray.max(1.0);
        for (row, gain) in toward.iter().map(|toward| toward / all).enumerate() {
            self.means[row] += gain * apart;
            self.covariances[row].iter_mut().zip(&toward).for_each(|(cell, toward)| *cell -= gain * toward);
        }
    }

    /// The offset grows by its growth.
    fn grow(&mut self) {
        self.means[0] += self.means[1];
        self.covariances[0][0] += 2.0 * self.covariances[1][0] + self.covariances[1][1] + UNEVEN.powi(2);
        self.covariances[1..].iter_mut().for_each(|row| row[0] += row[1]);
    }

    /// A model that is not seen again tells nothing more; what it told of the others stays.
    fn forget(&mut self, model: usize) {
        if let Some(place) = self.models.iter().position(|known| *known == model) {
            self.models.remove(place);
            self.means.remove(2 + place);
            self.covariances.remove(2 + place);
            self.covariances[2 + place..].iter_mut().for_each(|row| {
                row.remove(2 + place);
            });
        }
    }

    fn place(&mut self, model: usize) -> usize {
        let known = self.models.iter().position(|known| *known == model);
        2 + known.unwrap_or_else(|| {
            self.models.push(model);
            self.means.push(self.prior.0);
            let mut row = vec![0.0; self.means.len()];
            row[self.means.len() - 1] = self.prior.1;
            self.covariances.push(row);
            self.models.len() - 1
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::outside::cases;
    use super::*;

    #[test]
    fn the_offset_is_that_of_a_kalman_filter_written_out_as_matrices() {
        for [inputs, expected] in cases("drift ") {
            let mut filter = Filter::new(&Shop::new(0.1, 0.003));
            let all: Vec<&[f64]> = inputs[1..].chunks(4).collect();
            for (at, (seen, expected)) in all.iter().zip(expected.chunks(2)).enumerate() {
                if seen[1] > 0.0 {
                    filter.renew();
                }
                filter.learn(seen[0] as usize, (seen[2], seen[3]));
                if all[at + 1..].iter().all(|later| later[0] != seen[0]) {
                    filter.forget(seen[0] as usize);
                }
                let offset = filter.offset();
                assert!((offset.mean - expected[0]).abs() < 1e-9, "{offset:?} {expected:?}");
                assert!((offset.deviation - expected[1]).abs() < 1e-9, "{offset:?} {expected:?}");
            }
        }
    }
}
