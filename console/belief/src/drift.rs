//! What all models have in common that changes in time: the offset of each station.
//!
//! A wheel that wears, or a station out of true, moves every lens alike, more so with each, until the wheel is renewed or the
//! station recalibrated. A Kalman filter over the offset of each station, its growth, how it lies beside the others, and the
//! mean of every model at once: what is seen of a model alone is where it fits by the dial, so only models that come back
//! tell of an offset, and how well it is known comes out with it. Each pair is one observation; a stray one counts for less.
//!
//! Models are shared by all stations, offsets by none. All sizes are those of one station, that with the least number: of each
//! other one it is learned how its sizes lie beside them, which no new wheel changes.

mod filter;

use super::{Pair, Shop, Sized, Spread};
pub use filter::Offset;
use filter::{BESIDE, FRESH, Filter};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeBounds;

/// A station's wheel was renewed, or the station recalibrated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fresh {
    /// The number of the station.
    pub station: u64,
    /// When, in the order of pairs.
    pub at: i64,
}

/// A shop at its stations: what is believed of it when it has sized some pairs.
#[derive(Clone, Debug)]
pub struct Taught {
    /// What is believed of its models.
    pub shop: Shop,
    /// What the pairs told of its stations.
    pub drift: Drift,
}

impl Taught {
    /// Of a shop that believed so much before, and sized these pairs in their order; at the places in `fresh` a wheel was
    /// renewed or a station recalibrated.
    pub fn of(before: &Shop, sized: &[Sized], fresh: &[Fresh]) -> Self {
        let drift = Drift::of(before, sized, fresh);
        Self { shop: before.learned(&drift.sized), drift }
    }
}

/// What pairs told of the offsets of the stations alone: a small part of the work of learning all.
#[derive(Clone, Debug)]
pub struct Drift {
    /// The pairs, each moved by the offset of its station and its time, oldest first.
    pub sized: Vec<Sized>,
    wheels: BTreeMap<u64, Wheel>,
    /// What is known of a station at which none of them was tried.
    untried: Wheel,
}

/// What pairs told of one station.
#[derive(Clone, Debug)]
pub struct Wheel {
    /// Its offset before each of the pairs, whichever station those were tried at.
    pub offsets: Vec<Offset>,
    /// What of that came since it was fresh.
    pub wore: Vec<Offset>,
    /// Its offset now: what sizes there are off by in all.
    pub now: Offset,
    /// What of it came since it was fresh.
    pub worn: Offset,
    /// What of it the station always had beside the one with the least number; nothing, exactly, of that one.
    pub beside: Offset,
    /// How many pairs were sized there since it was fresh.
    pub pairs: usize,
}

impl Drift {
    /// As [`Taught::of`].
    pub fn of(before: &Shop, sized: &[Sized], fresh: &[Fresh]) -> Self {
        let stations: BTreeSet<u64> = sized.iter().flat_map(|one| one.pair.stations()).collect();
        let place = |station: &u64| stations.range(..station).count();
        let mut filter = Filter::new(before, stations.len());
        let mut moved = Vec::with_capacity(sized.len());
        let mut before_each = vec![[const { Vec::new() }; 2]; stations.len()];
        let mut pairs = vec![0; stations.len()];
        let mut last = i64::MIN;
        let newest: BTreeMap<usize, usize> =
            sized.iter().enumerate().map(|(at, one)| (one.model, at)).collect();
        for (at, one) in sized.iter().enumerate() {
            for station in renewed(fresh, last..one.at).filter(|station| stations.contains(station)) {
                filter.renew(place(station));
                pairs[place(station)] = 0;
            }
            last = one.at;
            for (place, [offsets, wore]) in before_each.iter_mut().enumerate() {
                offsets.push(filter.offset(place));
                wore.push(filter.worn(place));
            }
            if let Some(seen) = before.seen(&one.pair) {
                let shares: Vec<_> =
                    seen.of.iter().map(|(station, share)| (place(station), *share)).collect();
                filter.learn(one.model, &shares, (seen.at, seen.variance));
            }
            if newest.get(&one.model) == Some(&at) {
                filter.forget(one.model);
            }
            let off =
                |station| if stations.contains(&station) { filter.offset(place(&station)).mean } else { 0.0 };
            let pair = one.pair.moved_at(|station| -off(station));
            moved.push(Sized { pair, ..one.clone() });
            // What tells of no lens counts wherever it was.
            let at = one.pair.stations();
            let here = stations.iter().filter(|station| at.is_empty() || at.contains(station));
            here.for_each(|station| pairs[place(station)] += 1);
        }
        for station in renewed(fresh, last..).filter(|station| stations.contains(station)) {
            filter.renew(place(station));
            pairs[place(station)] = 0;
        }
        let wheels = before_each.into_iter().zip(pairs).enumerate();
        let wheels = wheels.map(|(place, ([offsets, wore], pairs))| Wheel {
            offsets,
            wore,
            now: filter.offset(place),
            worn: filter.worn(place),
            beside: filter.beside(place),
            pairs,
        });
        let untried = Wheel::untried(!stations.is_empty());
        Self { sized: moved, wheels: stations.iter().copied().zip(wheels).collect(), untried }
    }

    /// What they told of one station.
    pub fn at(&self, station: u64) -> &Wheel {
        self.wheels.get(&station).unwrap_or(&self.untried)
    }

    /// The station beside which the others lie, if any was tried at.
    pub fn first(&self) -> Option<u64> {
        self.wheels.keys().next().copied()
    }
}

/// The stations that became fresh at these places.
fn renewed(fresh: &[Fresh], places: impl RangeBounds<i64>) -> impl Iterator<Item = &u64> {
    fresh.iter().filter(move |fresh| places.contains(&fresh.at)).map(|fresh| &fresh.station)
}

impl Wheel {
    /// Of a station at which no pair was tried, beside others or alone.
    const fn untried(beside_others: bool) -> Self {
        let beside = Offset { mean: 0.0, deviation: if beside_others { BESIDE } else { 0.0 } };
        let worn = Offset { mean: 0.0, deviation: FRESH };
        let now = if beside_others { beside } else { worn };
        Self { offsets: Vec::new(), wore: Vec::new(), now, worn, beside, pairs: 0 }
    }
}

/// Where a frame seems to fit by what its lenses showed.
struct Seen {
    at: f64,
    variance: f64,
    /// By how much each station's offset is in that.
    of: Vec<(u64, f64)>,
}

impl Shop {
    /// Where a frame seems to fit; none where its lenses showed no end.
    fn seen(&self, pair: &Pair) -> Option<Seen> {
        let prior = self.prior();
        if self.hand.within(pair, &prior)[0] == 0 {
            return None;
        }
        let told = [0, 1].map(|rim| {
            // Where more than one was tried in a rim, the last one that came to an end says at which station.
            pair.rims[rim].iter().rfind(|tried| tried.end.is_some()).and_then(|tried| {
                let mut likely = self.hand.likelihood(pair, rim, &prior);
                let most = likely.weights().iter().fold(0.0, |most: f64, weight| most.max(*weight));
                // What was recorded is believed here.
                likely.each(|_, weight| if weight > most / 4.0 { weight } else { 0.0 });
                Some((tried.station, likely.moments()?))
            })
        });
        let (mut sum, mut variance, mut rims) = (0.0, 0.0, 0.0);
        let mut of: Vec<(u64, f64)> = Vec::new();
        let mean = |of: fn(&Spread) -> f64| -> f64 {
            self.spreads().map(|(spread, share)| share * of(&spread).powi(2)).sum()
        };
        let (frame, rim) = (mean(|spread| spread.frame), mean(|spread| spread.rim));
        for (station, (at, within)) in told.into_iter().flatten() {
            sum += at;
            variance += within + rim;
            rims += 1.0;
            match of.iter_mut().find(|(known, _)| *known == station) {
                Some((_, share)) => *share += 1.0,
                None => of.push((station, 1.0)),
            }
        }
        of.iter_mut().for_each(|(_, share)| *share /= rims);
        (rims > 0.0).then(|| Seen { at: sum / rims, variance: variance / (rims * rims) + frame, of })
    }
}

#[cfg(test)]
mod tests {
    use super::super::{End, TooBig, Tried};
    use super::filter::{BESIDE, FRESH};
    use super::*;

    /// A pair of a model whose lenses were a touch too big a step above where they fit, at a station.
    fn pair(model: usize, at: i64, fits: f64, station: u64) -> Sized {
        let lens = || {
            let too_big = vec![TooBig { at: fits + 0.05, much: false }];
            vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station }]
        };
        Sized { model, at, pair: Pair { rims: [lens(), lens()], ..Pair::untried(0.15) } }
    }

    #[test]
    fn where_all_was_tried_at_one_station_its_number_says_nothing() {
        let told = |station: u64| {
            let all = (0..60).map(|at| pair(at % 7, at as i64, 0.05 * (at % 7) as f64, station));
            Drift::of(&Shop::new(0.1, 0.003), &all.collect::<Vec<_>>(), &[Fresh { station, at: 30 }])
        };
        let (one, other) = (told(0), told(u64::MAX));
        assert_eq!(one.at(0).offsets, other.at(u64::MAX).offsets);
        assert_eq!((one.at(0).now, one.at(0).pairs), (other.at(u64::MAX).now, 29));
        assert_eq!(one.at(0).beside, Offset { mean: 0.0, deviation: 0.0 });
        // What is known of a station that has cut nothing is that it lies somewhere beside.
        assert_eq!(one.at(5).now, Offset { mean: 0.0, deviation: BESIDE });
    }

    #[test]
    fn a_new_wheel_takes_nothing_of_how_a_station_lies_beside_another() {
        let at_both = |at: i64| {
            let (model, second) = ((at / 2) as usize % 4, at % 2 == 1);
            pair(model, at, 0.05 * model as f64 - if second { 0.1 } else { 0.0 }, u64::from(second))
        };
        let all: Vec<Sized> = (0..80).map(at_both).collect();
        let of = |fresh: &[Fresh]| Drift::of(&Shop::new(0.1, 0.003), &all, fresh).at(1).clone();
        let (before, renewed) = (of(&[]), of(&[Fresh { station: 1, at: 80 }]));
        assert!((before.now.mean + 0.1).abs() < 0.02 && before.now.deviation < 0.04, "{before:?}");
        assert!((renewed.beside.mean + 0.1).abs() < 0.04, "{renewed:?}");
        assert_eq!((renewed.worn, renewed.pairs), (Offset { mean: 0.0, deviation: FRESH }, 0));
        assert_eq!(of(&[Fresh { station: 0, at: 80 }]).pairs, 40, "it is the other one's wheel");
    }
}
