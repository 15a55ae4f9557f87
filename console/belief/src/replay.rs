//! What was believed of a lens before it was cut, beside what became of it: whether promises are kept.
//!
//! Before each pass it is said how probable it is that the lens becomes loose by it, from what all lenses before and its own
//! passes so far showed. In the sum over passes that is how many loose lenses are to be expected, whoever chose the sizes and
//! for whatever reason.

use super::{End, Model, Pair, Tried};

/// What was believed of one lens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foreseen {
    /// Up to where it was to fit, in the mean.
    pub mean: f64,
    /// From where to where, nine times in ten.
    pub band: [f64; 2],
    /// How probable it was that the sizes which were tried leave it loose.
    pub loose: f64,
    /// How much of where it can fit, by all that it showed in the end, lies in that band.
    pub inside: f64,
}

impl Model<'_> {
    /// What is believed of each lens of a pair before it is cut, in the order of the pair: the right rim's lenses, then the left
    /// one's. None of a lens of which no pass tells, or where nothing can be said.
    pub fn foreseen(&self, pair: &Pair) -> [Vec<Option<Foreseen>>; 2] {
        let of = |rim: usize| {
            let lenses = pair.rims[rim].iter().enumerate();
            lenses.map(|(at, tried)| self.foresees(pair, rim, at, tried)).collect()
        };
        [of(0), of(1)]
    }

    /// None of a lens that was not cut, or where nothing can be said.
    fn foresees(&self, pair: &Pair, rim: usize, at: usize, tried: &Tried) -> Option<Foreseen> {
        let mut before = Pair::untried(pair.window);
        before.rims[..rim].clone_from_slice(&pair.rims[..rim]);
        before.rims[rim] = pair.rims[rim][..at].to_vec();
        let fits = if before.is_untried() { self.next() } else { self.next_in(&before, rim) };
        let (mean, _) = fits.moments().filter(|_| tried.is_cut())?;
        let given = |tried: Tried, slips: f64| {
            let mut so = Pair::untried(pair.window);
            so.rims[rim] = vec![tried];
            let mut given = fits.clone();
            given.times(&self.shop.hand.likelihood_with(&so, rim, &fits, slips));
            given.normalise();
            given.below()
        };
        let sizes = tried.too_big.iter().map(|big| big.at).chain(tried.end.map(End::at));
        let loose = |(passes, size): (usize, f64)| {
            let too_big = tried.too_big[..passes].to_vec();
            // As a way promises it: what was felt before is believed.
            let below = given(Tried { too_big, ..Tried::default() }, 0.0);
            (below.total() - below.at(size + pair.window)).max(0.0)
        };
        let below = fits.below();
        let band = [0.05, 0.95].map(|share| below.quantile(share));
        let after = given(tried.clone(), self.shop.hand.misrecorded);
        Some(Foreseen {
            mean,
            band,
            loose: sizes.enumerate().map(loose).sum::<f64>().min(1.0),
            inside: after.at(band[1]) - after.at(band[0]),
        })
    }
}

/// Promised against happened, over many lenses.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Kept {
    /// How many lenses.
    pub lenses: usize,
    /// How many of them were to become loose.
    pub promised: f64,
    /// How many did.
    pub happened: usize,
    /// How many fitted where they were to fit nine times in ten, each lens by its share.
    pub inside: f64,
}

impl Kept {
    /// With those of another.
    pub fn join(&mut self, other: Self) {
        self.lenses += other.lenses;
        self.promised += other.promised;
        self.happened += other.happened;
        self.inside += other.inside;
    }

    /// With one lens more.
    pub fn count(&mut self, foreseen: &Foreseen, tried: &Tried) {
        self.lenses += 1;
        self.promised += foreseen.loose;
        self.happened += usize::from(tried.is_loose());
        self.inside += foreseen.inside;
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Hand, Shop, Spread, TooBig};
    use super::*;

    /// Numbers between 0 and 1.
    fn chance(seed: &mut u64) -> f64 {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(seed: &mut u64) -> f64 {
        (0..12).map(|_| chance(seed)).sum::<f64>() - 6.0
    }

    /// A lens that fits up to `fits`, cut from 0.15 above the mean on in steps of 0.2: hasty.
    fn cut(fits: f64, mean: f64) -> Tried {
        let (mut tried, mut at) = (Tried::default(), mean + 0.15);
        while at > fits {
            tried.too_big.push(TooBig { at, much: fits < at - 0.15 });
            at -= 0.2;
        }
        tried.end = Some(if fits > at + 0.15 { End::Loose(at) } else { End::Fits(at) });
        tried
    }

    #[test]
    fn where_the_belief_is_true_what_is_promised_happens() {
        let hand = Hand { touch: 0.15, touch_spread: 0.001, misrecorded: 0.0 };
        let shop = Shop::known(0.1, Spread { frame: 0.03, rim: 0.05 }, hand, 0.003);
        let (mut seed, mut kept) = (7, Kept::default());
        for _ in 0..800 {
            let model = Model::unknown(&shop);
            let frame = 0.1 + 0.01 * normal(&mut seed) + 0.03 * normal(&mut seed);
            let lens = |seed: &mut u64| vec![cut(frame + 0.05 * normal(seed), 0.1)];
            let pair = Pair { rims: [lens(&mut seed), lens(&mut seed)], ..Pair::untried(0.15) };
            let foreseen = model.foreseen(&pair);
            for (foreseen, tried) in foreseen.iter().flatten().zip(pair.rims.iter().flatten()) {
                kept.count(&foreseen.unwrap(), tried);
            }
        }
        // Of 1600 lenses some 10 % become loose; three standard deviations.
        let (promised, happened) = (kept.promised, kept.happened as f64);
        assert!(promised > 80.0 && (promised - happened).abs() < 3.0 * promised.sqrt(), "{kept:?}");
        assert!((kept.inside / 1600.0 - 0.9).abs() < 0.02, "{kept:?}");
    }

    #[test]
    fn of_a_lens_that_was_not_cut_nothing_is_said() {
        let shop = Shop::new(0.1, 0.003);
        let pair = Pair { rims: [vec![Tried::default()], Vec::new()], ..Pair::untried(0.15) };
        assert_eq!(Model::unknown(&shop).foreseen(&pair), [vec![None], Vec::new()]);
    }
}
