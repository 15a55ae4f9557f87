//! What a loose lens is to be reckoned at, so that the shop's limit is used up and not passed.
//!
//! One price for all lenses: passes are saved where they cost the least risk. It is that at which the lenses that the shop
//! sized last, each by what was known before it, would have been loose as often as the limit says in the mean. No single
//! lens is let run a chance of more than three times the limit.

use super::grid::Density;
use super::{Model, Pair, Shop, Sized, Sizes, Steps, Way};

/// By how many of the newest pairs the price is found, and from how many on.
const PAIRS: usize = 32;
const LEAST: usize = 8;
/// No single lens runs a chance of more than so many times the limit.
const MOST: f64 = 3.0;

impl Shop {
    /// With the price that uses up the limit on pairs like the newest of these.
    #[must_use]
    pub fn priced(mut self, sized: &[Sized], steps: Steps) -> Self {
        let newest = sized.len().saturating_sub(PAIRS);
        if sized.len() - newest < LEAST {
            return self;
        }
        let mut sizes = Vec::with_capacity(2 * PAIRS);
        for (at, Sized { model, pair, .. }) in sized.iter().enumerate().skip(newest) {
            let before = sized[..at].iter().filter(|sized| sized.model == *model);
            let model = Model::of(&self, before.map(|sized| &sized.pair));
            let first = Pair { rims: [pair.rims[0].clone(), Vec::new()], ..*pair };
            for fits in [model.next(), model.next_in(&first, 1)] {
                sizes.push(Sizes::new(&fits, &self.hand, pair.window, steps));
            }
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

    /// The way to size a lens of which it is believed that it fits so, in a rim of this window.
    pub fn way(&self, fits: &Density, window: f64, steps: Steps) -> Way {
        Sizes::new(fits, &self.hand, window, steps).way_within(self.price, MOST * self.limit)
    }
}
