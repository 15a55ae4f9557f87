//! What a shop's models have in common, learned from what they showed.
//!
//! Mean, deviation and shares of the spreads by expectation and maximisation over all models, with what is believed before
//! weighing as much as a few of them. The hand by trying: that by which what was recorded is most probable.

use super::grid::{CELLS, Density};
use super::{Hand, Model, Shop, Sized};
use std::collections::BTreeMap;

/// What is believed before weighs as much as so many models.
const BEFORE: f64 = 4.0;
/// How often expectations are taken; the change is below a thousandth of a millimetre then.
const ROUNDS: usize = 8;
/// From how many of the newest pairs the hand is learned.
const OF_HAND: usize = 150;

impl Hand {
    /// The logarithm of how probable it is before anything was seen, but for a constant: few hands call half as much, or
    /// twice as much, much (common practice, no source). Lenses that were never much too big say nothing against a hand that
    /// calls nothing much, and its ways would go down far.
    fn before(&self) -> f64 {
        -0.5 * ((self.touch / Shop::HAND.touch).ln() / 0.3).powi(2)
    }
}

impl Shop {
    /// What this shop believes when it has sized these.
    #[must_use]
    pub fn learned(&self, sized: &[Sized]) -> Self {
        let mut shop = self.clone();
        let newest = &sized[sized.len().saturating_sub(OF_HAND)..];
        shop.learn_models(self, newest);
        shop.learn_hand(newest);
        shop.learn_models(self, sized);
        shop
    }

    fn learn_models(&mut self, before: &Self, sized: &[Sized]) {
        let models = self.likelihoods(sized);
        for _ in 0..ROUNDS {
            self.expect(before, &models);
        }
    }

    /// For each model how probable what it showed is, by its mean, for each spread; scaled by what is the same for all.
    fn likelihoods(&self, sized: &[Sized]) -> Vec<Vec<Density>> {
        let level = self.prior().level(1.0);
        let mut models: BTreeMap<usize, Vec<Density>> = BTreeMap::new();
        for Sized { model, pair, .. } in sized {
            let all = models.entry(*model).or_insert_with(|| vec![level.clone(); self.kinds.len()]);
            for ((all, told), kind) in all.iter_mut().zip(self.told(pair, &level)).zip(&self.kinds) {
                all.times(&told.blurred(&kind.frame));
            }
            let most = all.iter().flat_map(Density::weights).fold(0.0, |most: f64, weight| most.max(*weight));
            if most > 0.0 {
                all.iter_mut().for_each(|all| all.divide(most));
            }
        }
        models.into_values().collect()
    }

    fn expect(&mut self, before: &Self, models: &[Vec<Density>]) {
        let Some(cells) = models.first().and_then(|of_one| of_one.first()) else { return };
        let prior = Density::normal(self.mean, self.deviation, cells.size(CELLS / 2));
        let mut shares: Vec<f64> = before.kinds.iter().map(|kind| BEFORE * kind.share).collect();
        let mut moments = Vec::with_capacity(models.len());
        for of_one in models {
            let mut all = cells.level(0.0);
            let mut totals = Vec::with_capacity(shares.len());
            for (likely, kind) in of_one.iter().zip(&self.kinds) {
                let mut joint = prior.clone();
                joint.times(likely);
                joint.scale(kind.share);
                totals.push(joint.total());
                all.add(&joint);
            }
            let Some((mean, variance)) = all.moments() else { continue };
            let total: f64 = totals.iter().sum();
            shares.iter_mut().zip(totals).for_each(|(share, of_kind)| *share += of_kind / total);
            moments.push((mean, variance));
        }
        let count = moments.len() as f64 + BEFORE;
        let means: f64 = moments.iter().map(|(mean, _)| mean).sum();
        self.mean = (BEFORE * before.mean + means) / count;
        let squares: f64 = moments.iter().map(|(mean, variance)| variance + (mean - self.mean).powi(2)).sum();
        self.deviation = ((BEFORE * before.deviation.powi(2) + squares) / count).sqrt();
        let kinds = self.kinds.iter_mut().zip(shares);
        kinds.for_each(|(kind, share)| kind.share = share / count);
    }

    fn learn_hand(&mut self, sized: &[Sized]) {
        if sized.is_empty() {
            return;
        }
        let touch = [0.05, 0.08, 0.1, 0.125, 0.15, 0.18, 0.22, 0.27, 0.33, 0.4];
        self.try_hands(sized, &touch, |hand, touch| Hand { touch, touch_spread: 0.03, ..hand });
        let spread = [0.01, 0.02, 0.03, 0.05, 0.08];
        self.try_hands(sized, &spread, |hand, touch_spread| Hand { touch_spread, ..hand });
        let wrong = [0.002, 0.005, 0.01, 0.02, 0.04];
        self.try_hands(sized, &wrong, |hand, misrecorded| Hand { misrecorded, ..hand });
    }

    fn try_hands(&mut self, sized: &[Sized], figures: &[f64], of: impl Fn(Hand, f64) -> Hand) {
        let hands = figures.iter().map(|figure| of(self.hand, *figure));
        let likely = hands.map(|hand| (Self { hand, ..self.clone() }.evidence(sized) + hand.before(), hand));
        if let Some((_, hand)) = likely.max_by(|one, other| one.0.total_cmp(&other.0)) {
            self.hand = hand;
        }
    }

    /// The logarithm of how probable it is that these pairs, each after those before it, show what they did.
    pub(crate) fn evidence(&self, sized: &[Sized]) -> f64 {
        let mut models: BTreeMap<usize, Model<'_>> = BTreeMap::new();
        let one = |sized: &Sized| {
            models.entry(sized.model).or_insert_with(|| Model::unknown(self)).learn(&sized.pair)
        };
        sized.iter().map(one).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::super::{End, Pair, TooBig, Tried};
    use super::*;

    /// Lenses of known models are hardly ever much too big: what says nothing of the hand must not make it one that calls
    /// nothing much, by whose ways a lens of the next model would be ground far past its fit.
    #[test]
    fn a_hand_that_was_never_asked_for_much_is_the_usual_one() {
        let lens = |fits: f64| {
            let too_big = vec![TooBig { at: fits + 0.1, much: false }];
            vec![Tried { too_big, end: Some(End::Fits(fits)), by_girth: None, station: 0 }]
        };
        let pair = |at: usize| {
            let fits = 0.05 * (at % 5) as f64;
            let pair = Pair { rims: [lens(fits), lens(fits)], ..Pair::untried(0.15) };
            Sized { model: at % 5, at: at as i64, pair }
        };
        let sized: Vec<Sized> = (0..200).map(pair).collect();
        let touch = Shop::new(0.1, 0.003).learned(&sized).hand.touch;
        assert!((0.1..=0.22).contains(&touch), "{touch}");
    }
}
