//! What is believed of any model of a shop.

use super::grid::{Blur, Density};
use super::{Hand, Pair};

/// How frames of one model and size differ: standard deviations in millimetres of diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Of a frame from its model: both its rims share it.
    pub frame: f64,
    /// Of a rim from its frame, what a lens differs from its size included.
    pub rim: f64,
}

/// One of the spreads that a model may have.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    pub(crate) spread: Spread,
    /// How many of the shop's models have it.
    pub(crate) share: f64,
    pub(crate) frame: Blur,
    pub(crate) rim: Blur,
    pub(crate) both: Blur,
}

impl Kind {
    pub(crate) fn new(spread: Spread, share: f64) -> Self {
        let [frame, rim, both] = [spread.frame, spread.rim, spread.frame.hypot(spread.rim)].map(Blur::new);
        Self { spread, share, frame, rim, both }
    }
}

/// What a shop believes of a model before it has had one, and who tries its lenses.
#[derive(Clone, Debug)]
pub struct Shop {
    /// Where models fit in the mean.
    pub mean: f64,
    /// How they differ from it: standard deviation.
    pub deviation: f64,
    /// The hand.
    pub hand: Hand,
    /// The chance that a lens becomes loose, in the mean of all lenses, which the shop takes.
    pub limit: f64,
    /// What a loose lens is reckoned at, in passes, for that limit to be used up.
    pub price: f64,
    pub(crate) kinds: Vec<Kind>,
    /// How far frames of another kind lie from their models, and how many are.
    pub(crate) stray: (Blur, f64),
}

/// A pair that was sized.
#[derive(Clone, Debug)]
pub struct Sized {
    /// Its model and size: numbers from 0 without a gap, one for each.
    pub model: usize,
    /// Its place in the order of the station.
    pub at: i64,
    /// What it showed.
    pub pair: Pair,
}

/// The spreads that a model may have, and how probable each is before anything was seen (common practice, no source).
const SPREADS: [(f64, f64, f64); 10] = [
    (0.0, 0.02, 0.08),
    (0.0, 0.03, 0.15),
    (0.0, 0.045, 0.2),
    (0.0, 0.065, 0.15),
    (0.0, 0.1, 0.07),
    (0.05, 0.02, 0.05),
    (0.05, 0.03, 0.1),
    (0.05, 0.045, 0.1),
    (0.05, 0.065, 0.06),
    (0.05, 0.1, 0.04),
];

impl Shop {
    /// How models differ before anything was seen: standard deviation (common practice, no source).
    const DEVIATION: f64 = 0.2;
    /// How far frames of another kind than their model's lie from it (bent, of another batch, mistaken): standard deviation, and
    /// how many are (own estimate, no source).
    const STRAY: (f64, f64) = (0.25, 0.01);
    /// The hand before anything was seen (common practice, no source).
    pub(crate) const HAND: Hand = Hand { touch: 0.15, touch_spread: 0.02, misrecorded: 0.01 };
    /// About what uses up a limit of 0.3 % where models differ by 0.2 and their lenses by 0.05, by simulation.
    pub(crate) const PRICE: f64 = 60.0;

    /// Of a shop that has sized nothing: models fit at `mean` in the mean, and it takes a chance of `limit`.
    pub fn new(mean: f64, limit: f64) -> Self {
        let kinds = SPREADS.map(|(frame, rim, share)| Kind::new(Spread { frame, rim }, share));
        let (deviation, hand, price) = (Self::DEVIATION, Self::HAND, Self::PRICE);
        let stray = (Blur::new(Self::STRAY.0), Self::STRAY.1);
        Self { mean, deviation, hand, limit, price, kinds: kinds.into(), stray }
    }

    /// Of a shop whose every model has this mean and this spread: where that is known, as of a simulated one.
    pub fn known(mean: f64, spread: Spread, hand: Hand, limit: f64) -> Self {
        let kinds = vec![Kind::new(spread, 1.0)];
        // Narrower than a cell it would fall between two.
        let new = Self::new(mean, limit);
        Self { deviation: 0.01, hand, kinds, stray: (new.stray.0, 0.0), ..new }
    }

    /// How often each spread is believed to occur.
    pub fn spreads(&self) -> impl Iterator<Item = (Spread, f64)> {
        self.kinds.iter().map(|kind| (kind.spread, kind.share))
    }

    /// The mean of any model.
    pub(crate) fn prior(&self) -> Density {
        Density::normal(self.mean, self.deviation, self.mean)
    }

    /// How probable it is what the rims of a pair showed, by where its frame lies, for each of the shop's spreads.
    pub(crate) fn told(&self, pair: &Pair, level: &Density) -> Vec<Density> {
        let tried = [0, 1].into_iter().filter(|rim| !pair.rims[*rim].is_empty());
        let rims: Vec<Density> = tried.map(|rim| self.hand.likelihood(pair, rim, level)).collect();
        let mut told: Vec<Density> = Vec::with_capacity(self.kinds.len());
        for (at, kind) in self.kinds.iter().enumerate() {
            // Many of them spread from their frame alike.
            let same = self.kinds[..at].iter().position(|other| other.rim == kind.rim);
            let both = same.map(|same| told[same].clone()).unwrap_or_else(|| {
                let mut both = level.level(1.0);
                rims.iter().for_each(|rim| both.times(&rim.blurred(&kind.rim)));
                both
            });
            told.push(both);
        }
        told
    }
}
