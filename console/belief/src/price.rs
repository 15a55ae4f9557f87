//! What a loose lens is to be reckoned at, so that the shop's limit is used up and not passed.
//!
//! One price for all lenses: passes are saved where they cost the least risk. It is that at which the lenses that the shop
//! sized lately, each by what was known before it, would have been loose as often as the limit says in the mean. No single
//! lens is let run a chance of more than three times the limit, where the dial's steps allow that.

use super::grid::Density;
use super::{Model, Pair, Shop, Sized, Sizes, Steps, Way};
use std::collections::BTreeMap;

/// By how many of the pairs the price is found, and from how many on.
const PAIRS: usize = 32;
const LEAST: usize = 8;
/// No single lens runs a chance of more than so many times the limit.
const MOST: f64 = 3.0;

impl Shop {
    /// With the price that uses up the limit on pairs like the newer ones of these.
    #[must_use]
    pub fn priced(mut self, sized: &[Sized], steps: Steps) -> Self {
        let sizes = self.replayed(sized, steps);
        if sizes.len() < 2 * LEAST {
            return self;
        }
        let loose = |price: f64| {
            let ways = sizes.iter().map(|sizes| sizes.way_within(price, MOST * self.limit));
            ways.map(|way| way.loose).sum::<f64>() / sizes.len() as f64
        };
        let (mut low, mut high) = (5.0f64, 2000.0f64);
        for _ in 0..8 {
            let middle = (low * high).sqrt();
            if loose(middle) > self.limit { low = middle } else { high = middle }
        }
        self.price = high;
        self
    }

    /// The sizes that there were to choose from for pairs of the newer half, by what was known before each.
    fn replayed(&self, sized: &[Sized], steps: Steps) -> Vec<Sizes> {
        // Of the older half the models were had before, and that is not told here.
        let (older, apart) = (sized.len() / 2, sized.len().div_ceil(2 * PAIRS).max(1));
        let mut models: BTreeMap<usize, Model<'_>> = BTreeMap::new();
        let mut sizes = Vec::with_capacity(2 * PAIRS);
        for (at, Sized { model, pair, .. }) in sized.iter().enumerate() {
            let model = models.entry(*model).or_insert_with(|| Model::unknown(self));
            if at >= older && (at - older).is_multiple_of(apart) {
                let first = Pair { rims: [pair.rims[0].clone(), Vec::new()], ..*pair };
                let both = [model.next(), model.next_in(&first, 1)];
                sizes.extend(both.map(|fits| Sizes::new(&fits, &self.hand, pair.window, steps)));
            }
            model.learn(pair);
        }
        sizes
    }

    /// The way to size a lens of which it is believed that it fits so, in a rim of this window.
    pub fn way(&self, fits: &Density, window: f64, steps: Steps) -> Way {
        Sizes::new(fits, &self.hand, window, steps).way_within(self.price, MOST * self.limit)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{End, TooBig, Tried};
    use super::*;

    const STEPS: Steps = Steps { zero: 0.0, step: 0.05 };

    /// A shop that sized forty pairs of ten models, which fit now here, now there.
    fn sized() -> Vec<Sized> {
        let lens = |model: usize, lens: usize| {
            let fits = 0.05 * (model % 7) as f64 + [0.0, 0.05, 0.1][lens % 3];
            let too_big = vec![TooBig { at: fits + 0.1, much: false }];
            vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station: 0 }]
        };
        let pair = |at: usize| {
            let rims = [0, 1].map(|rim| lens(at % 10, 2 * at + rim));
            Sized { model: at % 10, at: at as i64, pair: Pair { rims, ..Pair::untried(0.15) } }
        };
        (0..40).map(pair).collect()
    }

    #[test]
    fn at_the_price_the_limit_is_used_up_in_the_mean() {
        let sized = sized();
        let shop = Shop::new(0.15, 0.003).learned(&sized).priced(&sized, STEPS);
        let ways = shop.replayed(&sized, STEPS);
        let ways = ways.iter().map(|sizes| sizes.way_within(shop.price, MOST * shop.limit).loose);
        let mean = ways.clone().sum::<f64>() / ways.len() as f64;
        assert!(mean <= shop.limit && mean > 0.3 * shop.limit, "{mean} at {}", shop.price);
    }

    #[test]
    fn too_few_lenses_change_no_price() {
        let shop = Shop::new(0.15, 0.003);
        assert_eq!(
            shop.clone().priced(&sized()[..2 * LEAST - 2], STEPS).price.to_bits(),
            shop.price.to_bits()
        );
    }
}
