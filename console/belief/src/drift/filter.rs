//! The filter: offsets, their growth, and the means of models, one observation after the other.

use crate::Shop;

/// By how much the offset grows with a pair before anything was seen, and how unevenly: standard deviations in millimetres
/// (common practice, no source: a tenth in some fifty pairs is much).
const GROWTH: f64 = 0.002;
const UNEVEN: f64 = 0.001;
/// After a new wheel or a recalibration the offset is about 0: standard deviation (common practice, no source).
pub(super) const FRESH: f64 = 0.02;
/// How two stations lie beside each other before anything was seen: standard deviation (common practice, no source).
pub(super) const BESIDE: f64 = 0.1;
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

/// Offset and growth of each station, how each but the first lies beside that one, and the mean of each model, with their
/// covariances. Offset and growth of the first stand at 0 and 1; of the others offset, growth and what is beside, one after
/// the other; then the models.
pub(super) struct Filter {
    prior: (f64, f64),
    means: Vec<f64>,
    /// `[n][m]` for m up to n; it is the same the other way round.
    covariances: Vec<Vec<f64>>,
    /// How many of them are of stations.
    front: usize,
    /// Which of the others is which model.
    models: Vec<usize>,
}

/// Where the offset of a station stands; its growth is behind it.
const fn offset_of(station: usize) -> usize {
    (3 * station).saturating_sub(1)
}

/// Where stands how it lies beside the first.
fn beside_of(station: usize) -> Option<usize> {
    (station > 0).then(|| offset_of(station) + 2)
}

impl Filter {
    pub(super) fn new(shop: &Shop, stations: usize) -> Self {
        let front = 3 * stations.max(1) - 1;
        let covariances = (1..=front).map(|many| vec![0.0; many]).collect();
        let prior = (shop.mean, MODELS.powi(2));
        let mut new = Self { prior, means: vec![0.0; front], covariances, front, models: Vec::new() };
        for station in 0..stations.max(1) {
            new.renew(station);
            if let Some(beside) = beside_of(station) {
                new.covariances[beside][beside] = BESIDE.powi(2);
            }
        }
        new
    }

    /// Offset and growth of a station are not known any more from what was before.
    pub(super) fn renew(&mut self, station: usize) {
        for (at, deviation) in [(offset_of(station), FRESH), (offset_of(station) + 1, GROWTH)] {
            self.means[at] = 0.0;
            self.covariances[at].fill(0.0);
            self.covariances[at + 1..].iter_mut().for_each(|row| row[at] = 0.0);
            self.covariances[at][at] = deviation.powi(2);
        }
    }

    fn covariance(&self, n: usize, m: usize) -> f64 {
        self.covariances[n.max(m)][n.min(m)]
    }

    /// What came since it was fresh.
    pub(super) fn worn(&self, station: usize) -> Offset {
        self.alone(offset_of(station))
    }

    /// What its sizes are off by in all.
    pub(super) fn offset(&self, station: usize) -> Offset {
        let (worn, Some(beside)) = (offset_of(station), beside_of(station)) else {
            return self.worn(station);
        };
        let variance = self.covariance(worn, worn)
            + 2.0 * self.covariance(beside, worn)
            + self.covariance(beside, beside);
        Offset { mean: self.means[worn] + self.means[beside], deviation: variance.max(0.0).sqrt() }
    }

    /// What it has beside the first.
    pub(super) fn beside(&self, station: usize) -> Offset {
        beside_of(station).map_or(Offset { mean: 0.0, deviation: 0.0 }, |at| self.alone(at))
    }

    fn alone(&self, at: usize) -> Offset {
        Offset { mean: self.means[at], deviation: self.covariance(at, at).max(0.0).sqrt() }
    }

    /// One pair of a model more, which seems to fit at `at` by the dial, with a variance; by how much each station is in it.
    pub(super) fn learn(&mut self, model: usize, stations: &[(usize, f64)], (at, variance): (f64, f64)) {
        stations.iter().for_each(|(station, _)| self.grow(offset_of(*station)));
        // What is seen is the sum of these.
        let mut of: Vec<(usize, f64)> = Vec::with_capacity(3);
        for (station, share) in stations {
            of.push((offset_of(*station), *share));
            of.extend(beside_of(*station).map(|beside| (beside, *share)));
        }
        of.push((self.place(model), 1.0));
        let toward: Vec<f64> = (0..self.means.len())
            .map(|n| of.iter().map(|(m, share)| share * self.covariance(n, *m)).sum())
            .collect();
        let sum = |values: &[f64]| of.iter().map(|(m, share)| share * values[*m]).sum::<f64>();
        let (apart, known) = (at - sum(&self.means), sum(&toward));
        let stray = apart * apart / ((known + variance) * STRAY * STRAY);
        let all = known + variance * stray.max(1.0);
        for (row, gain) in toward.iter().map(|toward| toward / all).enumerate() {
            self.means[row] += gain * apart;
            self.covariances[row].iter_mut().zip(&toward).for_each(|(cell, toward)| *cell -= gain * toward);
        }
    }

    /// An offset grows by its growth.
    fn grow(&mut self, at: usize) {
        let growth = self.covariances[at + 1].clone();
        self.means[at] += self.means[at + 1];
        self.covariances[at][at] += 2.0 * growth[at] + growth[at + 1] + UNEVEN.powi(2);
        self.covariances[at].iter_mut().zip(&growth).take(at).for_each(|(cell, growth)| *cell += growth);
        self.covariances[at + 1..].iter_mut().for_each(|row| row[at] += row[at + 1]);
    }

    /// A model that is not seen again tells nothing more; what it told of the others stays.
    pub(super) fn forget(&mut self, model: usize) {
        if let Some(place) = self.models.iter().position(|known| *known == model) {
            self.models.remove(place);
            let at = self.front + place;
            self.means.remove(at);
            self.covariances.remove(at);
            self.covariances[at..].iter_mut().for_each(|row| {
                row.remove(at);
            });
        }
    }

    fn place(&mut self, model: usize) -> usize {
        let known = self.models.iter().position(|known| *known == model);
        self.front
            + known.unwrap_or_else(|| {
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
    use super::*;
    use crate::outside::cases;

    #[test]
    fn the_offset_is_that_of_a_kalman_filter_written_out_as_matrices() {
        for [inputs, expected] in cases("drift ") {
            let mut filter = Filter::new(&Shop::new(0.1, 0.003), 1);
            let all: Vec<&[f64]> = inputs[1..].chunks(4).collect();
            for (at, (seen, expected)) in all.iter().zip(expected.chunks(2)).enumerate() {
                if seen[1] > 0.0 {
                    filter.renew(0);
                }
                filter.learn(seen[0] as usize, &[(0, 1.0)], (seen[2], seen[3]));
                if all[at + 1..].iter().all(|later| later[0] != seen[0]) {
                    filter.forget(seen[0] as usize);
                }
                let offset = filter.offset(0);
                assert!((offset.mean - expected[0]).abs() < 1e-9, "{offset:?} {expected:?}");
                assert!((offset.deviation - expected[1]).abs() < 1e-9, "{offset:?} {expected:?}");
            }
        }
    }

    #[test]
    fn the_offsets_of_several_stations_are_those_of_a_kalman_filter_written_out_as_matrices() {
        for [inputs, expected] in cases("stations ") {
            let many = inputs[0] as usize;
            let mut filter = Filter::new(&Shop::new(0.1, 0.003), many);
            let all: Vec<&[f64]> = inputs[2..].chunks(6).collect();
            for (at, (seen, expected)) in all.iter().zip(expected.chunks(2 * many)).enumerate() {
                let [model, one, other, fresh] = [0, 1, 2, 3].map(|at| seen[at] as usize);
                if fresh > 0 {
                    filter.renew(fresh - 1);
                }
                let shares = if one == other { vec![(one, 1.0)] } else { vec![(one, 0.5), (other, 0.5)] };
                filter.learn(model, &shares, (seen[4], seen[5]));
                if all[at + 1..].iter().all(|later| later[0] != seen[0]) {
                    filter.forget(model);
                }
                for (station, expected) in expected.chunks(2).enumerate() {
                    let offset = filter.offset(station);
                    assert!(
                        (offset.mean - expected[0]).abs() < 1e-9,
                        "{at} {station} {offset:?} {expected:?}"
                    );
                    assert!((offset.deviation - expected[1]).abs() < 1e-9, "{offset:?} {expected:?}");
                }
            }
        }
    }
}
