//! What is believed of one model and size.

use super::grid::{Blur, Density};
use super::{Pair, Shop};

/// How probable each mean of a model is, for each of the shop's spreads.
#[derive(Clone, Debug)]
pub struct Model<'s> {
    pub(crate) shop: &'s Shop,
    means: Vec<Density>,
    /// How many of its lenses fit where models are reckoned with, and how many do not.
    within: [usize; 2],
    /// How well it is known by how much the next sizes are off.
    unsure: Option<Blur>,
}

impl<'s> Model<'s> {
    /// Of a model that the shop never had.
    pub fn unknown(shop: &'s Shop) -> Self {
        let mut means = vec![shop.prior(); shop.kinds.len()];
        means.iter_mut().zip(&shop.kinds).for_each(|(means, kind)| means.scale(kind.share));
        Self { shop, means, within: [0, 0], unsure: None }
    }

    /// Of a model of which these pairs were sized.
    pub fn of<'p>(shop: &'s Shop, pairs: impl IntoIterator<Item = &'p Pair>) -> Self {
        let mut model = Self::unknown(shop);
        for pair in pairs {
            model.learn(pair);
        }
        model
    }

    /// Where the next frame is sized at a station whose offset is known to so much (standard deviation): all its lenses share
    /// that.
    #[must_use]
    pub fn unsure(mut self, deviation: f64) -> Self {
        self.unsure = (deviation > 0.0).then(|| Blur::new(deviation));
        self
    }

    /// Takes one more pair into account, unless it could not be. The logarithm of how probable it was that it shows what it
    /// did.
    pub fn learn(&mut self, pair: &Pair) -> f64 {
        self.within = self.with(pair);
        let told = self.shop.told(pair, &self.means[0]);
        let mut means = self.means.clone();
        for ((means, told), kind) in means.iter_mut().zip(&told).zip(&self.shop.kinds) {
            means.times(&told.blurred(&kind.frame));
        }
        let total: f64 = means.iter().map(Density::total).sum();
        if total > 0.0 {
            means.iter_mut().for_each(|means| means.divide(total));
            self.means = means;
        }
        total.max(f64::MIN_POSITIVE).ln()
    }

    fn with(&self, pair: &Pair) -> [usize; 2] {
        let [within, not] = self.shop.hand.within(pair, &self.means[0]);
        [self.within[0] + within, self.within[1] + not]
    }

    /// Up to which size a lens of its next frame fits its rim; it sums to 1, or to 0 where nothing can be said: where most
    /// lenses fit so far from those of other models that they are not reckoned with.
    pub fn next(&self) -> Density {
        self.each(self.within, |means, at| self.off(means.blurred(&self.shop.kinds[at].both)))
    }

    /// The same of one rim of a frame of which lenses were tried already. What those showed is believed before the model where
    /// the two are far apart: a frame may be of another kind than its model says.
    pub fn next_in(&self, pair: &Pair, rim: usize) -> Density {
        let other = self.shop.hand.likelihood(pair, 1 - rim, &self.means[0]);
        let mut next = self.each(self.with(pair), |means, at| {
            let kind = &self.shop.kinds[at];
            let mut frame = self.off(means.blurred(&kind.frame));
            let (apart, share) = &self.shop.stray;
            let mut stray = means.blurred(apart);
            stray.scale(*share);
            frame.add(&stray);
            frame.times(&other.blurred(&kind.rim));
            frame.blurred(&kind.rim)
        });
        next.times(&self.shop.hand.likelihood(pair, rim, &next));
        next.normalise();
        next
    }

    fn off(&self, fits: Density) -> Density {
        match &self.unsure {
            Some(unsure) => fits.blurred(unsure),
            None => fits,
        }
    }

    /// Mean of the model, and how well it is known: standard deviation.
    pub fn mean(&self) -> Option<(f64, f64)> {
        let (mean, variance) = self.each(self.within, |means, _| means.clone()).moments()?;
        Some((mean, variance.sqrt()))
    }

    #[cfg(test)]
    pub(crate) fn means(&self) -> &[Density] {
        &self.means
    }

    /// What is made of the means under each spread, added up; it sums to 1, or to 0 where most lenses are not within.
    fn each(&self, [within, not]: [usize; 2], of: impl Fn(&Density, usize) -> Density) -> Density {
        let mut all = self.means[0].level(0.0);
        if not > 0 && not >= within {
            return all;
        }
        self.means.iter().enumerate().for_each(|(at, means)| all.add(&of(means, at)));
        all.normalise();
        all
    }
}

#[cfg(test)]
mod tests {
    use super::super::{End, TooBig, Tried};
    use super::*;

    /// A pair whose lenses were a touch too big a tenth above where they fit.
    fn pair(right: f64, left: f64) -> Pair {
        let lens = |fits: f64| {
            let too_big = vec![TooBig { at: fits + 0.1, much: false }];
            vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station: 0 }]
        };
        Pair { rims: [lens(right), lens(left)], ..Pair::untried(0.15) }
    }

    #[test]
    fn what_pairs_showed_moves_the_belief_and_narrows_it() {
        let shop = Shop::new(0.1, 0.003);
        let mut model = Model::unknown(&shop);
        let (mut mean, mut deviation) = model.mean().unwrap();
        assert!((mean - 0.1).abs() < 1e-3 && (deviation - 0.2).abs() < 2e-3);
        for _ in 0..8 {
            model.learn(&pair(0.3, 0.3));
            let (next, narrower) = model.mean().unwrap();
            assert!(next > mean - 1e-3 && narrower < deviation, "{mean} {narrower}");
            (mean, deviation) = (next, narrower);
        }
        // They fit up to between 0.30 and 0.40.
        assert!((mean - 0.35).abs() < 0.02, "{mean}");
    }

    #[test]
    fn the_first_eye_tells_of_the_second() {
        let shop = Shop::new(0.1, 0.003);
        let model = Model::unknown(&shop);
        let mut first = pair(0.4, 0.0);
        first.rims[1].clear();
        let (alone, together) =
            (model.next().moments().unwrap(), model.next_in(&first, 1).moments().unwrap());
        assert!(together.0 > 0.38 && together.1 < alone.1 / 3.0, "{together:?}");
    }

    #[test]
    fn a_frame_of_another_kind_is_seen_by_its_first_lens() {
        let shop = Shop::new(0.1, 0.003);
        let model = Model::of(&shop, &vec![pair(0.1, 0.1); 4]);
        let mut first = pair(0.4, 0.0);
        first.rims[1].clear();
        // Of eight lenses none fitted above 0.20, and this one does not fit below 0.40.
        let second = model.next_in(&first, 1);
        let way = shop.way(&second, 0.15, crate::Steps { zero: 0.0, step: 0.05 });
        assert!(way.first().unwrap() > 0.3, "{way:?}");
        assert!(second.moments().unwrap().0 > 0.35, "{:?}", second.moments());
    }

    #[test]
    fn one_slip_among_many_is_told_from_a_change() {
        let shop = Shop::new(0.1, 0.003);
        let mut model = Model::of(&shop, &vec![pair(0.1, 0.1); 8]);
        model.learn(&pair(0.7, 0.1));
        assert!((model.mean().unwrap().0 - 0.15).abs() < 0.03, "{:?}", model.mean());
    }
}
