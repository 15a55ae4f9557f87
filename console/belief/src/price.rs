//! What a loose lens is to be reckoned at, so that the shop's limit is used up and not passed.
//!
//! One price for all lenses: passes are saved where they cost the least risk. It is that at which the lenses that the shop
//! sized lately, each by what was known before it, would have been loose as often as the limit says in the mean. No single
//! lens is let run a chance of more than three times the limit.
//!
//! Where more lenses became loose than was promised of the sizes that were tried, the promises are taken for too small by as
//! much: hands slip, and lenses differ in ways that nothing here knows of. They are never taken for too large.

use super::grid::Density;
use super::{Kept, Model, Pair, Shop, Sized, Sizes, Steps, Way};
use std::collections::BTreeMap;

/// By how many of the pairs the price is found, and from how many on.
const PAIRS: usize = 32;
const LEAST: usize = 8;
/// No single lens runs a chance of more than so many times the limit.
const MOST: f64 = 3.0;
/// That promises are kept weighs as much before as so many loose lenses (own choice).
const BEFORE: f64 = 1.0;

impl Shop {
    /// With the price that uses up the limit on pairs like the newer ones of these.
    #[must_use]
    pub fn priced(mut self, sized: &[Sized], steps: Steps) -> Self {
        let Replayed { kept, sizes } = self.replayed(sized, steps);
        if sizes.len() < 2 * LEAST {
            return self;
        }
        let limit = self.limit / broken(&kept);
        let loose = |price: f64| {
            let ways = sizes.iter().map(|sizes| sizes.way_within(price, MOST * self.limit));
            ways.map(|way| way.loose).sum::<f64>() / sizes.len() as f64
        };
        let (mut low, mut high) = (5.0f64, 2000.0f64);
        for _ in 0..8 {
            let middle = (low * high).sqrt();
            if loose(middle) > limit { low = middle } else { high = middle }
        }
        self.price = high;
        self
    }

    /// Each pair by what was known before it.
    fn replayed(&self, sized: &[Sized], steps: Steps) -> Replayed {
        // Of the older half the models were had before, and that is not told here.
        let (older, apart) = (sized.len() / 2, sized.len().div_ceil(2 * PAIRS).max(1));
        let mut models: BTreeMap<usize, Model<'_>> = BTreeMap::new();
        let mut all = Replayed { kept: Kept::default(), sizes: Vec::new() };
        for (at, Sized { model, pair, .. }) in sized.iter().enumerate() {
            let model = models.entry(*model).or_insert_with(|| Model::unknown(self));
            let foreseen = model.foreseen(pair);
            for (foreseen, tried) in foreseen.iter().flatten().zip(pair.rims.iter().flatten()) {
                foreseen.iter().for_each(|foreseen| all.kept.count(foreseen, tried));
            }
            if at >= older && (at - older).is_multiple_of(apart) {
                let first = Pair { rims: [pair.rims[0].clone(), Vec::new()], ..*pair };
                let both = [model.next(), model.next_in(&first, 1)];
                all.sizes.extend(both.map(|fits| Sizes::new(&fits, &self.hand, pair.window, steps)));
            }
            model.learn(pair);
        }
        all
    }

    /// The way to size a lens of which it is believed that it fits so, in a rim of this window.
    pub fn way(&self, fits: &Density, window: f64, steps: Steps) -> Way {
        Sizes::new(fits, &self.hand, window, steps).way_within(self.price, MOST * self.limit)
    }
}

/// What became of pairs, and the sizes that there were to choose from.
struct Replayed {
    kept: Kept,
    sizes: Vec<Sizes>,
}

/// How many times as many lenses became loose as was promised; at least 1.
fn broken(kept: &Kept) -> f64 {
    ((kept.happened as f64 + BEFORE) / (kept.promised + BEFORE)).max(1.0)
}

#[cfg(test)]
mod tests {
    use super::super::{End, TooBig, Tried};
    use super::*;

    const STEPS: Steps = Steps { zero: 0.0, step: 0.05 };

    /// A shop that sized forty pairs of ten models; of every so many lenses one became loose.
    fn sized(loose: usize) -> Vec<Sized> {
        let lens = |lens: usize| {
            let too_big = vec![TooBig { at: 0.2, much: false }];
            let fits = Tried { too_big, end: Some(End::Fits(0.1)), by_girth: None };
            // Begun at the size at which all others fitted.
            let lost = Tried { end: Some(End::Loose(0.1)), ..Tried::default() };
            vec![if lens % loose == loose - 1 { lost } else { fits }]
        };
        let pair = |at: usize| {
            let pair = Pair { rims: [lens(2 * at), lens(2 * at + 1)], ..Pair::untried(0.15) };
            Sized { model: at % 10, at: at as i64, pair }
        };
        (0..40).map(pair).collect()
    }

    #[test]
    fn who_loses_more_lenses_than_was_promised_is_told_to_be_more_careful() {
        let (kept, lost) = (sized(1000), sized(10));
        let shop = Shop::new(0.15, 0.003).learned(&kept);
        let many = |sized: &[Sized]| broken(&shop.replayed(sized, STEPS).kept);
        assert!(many(&kept) < 1.001);
        let many = many(&lost);
        assert!((2.0..9.0).contains(&many), "{many}");
        // The same models and hand, but for that.
        let (usual, careful) = (shop.clone().priced(&kept, STEPS), shop.priced(&lost, STEPS));
        assert!(careful.price > 1.3 * usual.price, "{} {}", careful.price, usual.price);
    }

    #[test]
    fn too_few_lenses_change_no_price() {
        let shop = Shop::new(0.15, 0.003);
        assert_eq!(
            shop.clone().priced(&sized(10)[..2 * LEAST - 2], STEPS).price.to_bits(),
            shop.price.to_bits()
        );
    }
}
