//! Invented shops of which the truth is known.

#![allow(dead_code, reason = "each test is a crate of its own, and none needs all of it")]

mod chance;

use bevelbook_belief::{End, Fresh, Pair, Sized, Steps, TooBig, Tried};
pub(crate) use chance::Chance;

pub(crate) const WINDOW: f64 = 0.15;
pub(crate) const STEPS: Steps = Steps { zero: 0.0, step: 0.05 };

/// What a shop's models and hands truly are; millimetres of diameter.
#[derive(Clone, Copy)]
pub(crate) struct Truth {
    pub(crate) mean: f64,
    pub(crate) deviation: f64,
    pub(crate) frame: f64,
    pub(crate) rim: f64,
    /// Deviation of the logarithm by which models' spreads differ.
    pub(crate) unequal: f64,
    pub(crate) touch: f64,
    pub(crate) touch_spread: f64,
    /// The share of lenses of which something is recorded wrongly.
    pub(crate) misrecorded: f64,
    /// How much smaller each pair fits than the one before it, until a new wheel after so many pairs.
    pub(crate) wear: f64,
    pub(crate) wheel: usize,
}

pub(crate) const PLAIN: Truth = Truth {
    mean: 0.1,
    deviation: 0.2,
    frame: 0.0,
    rim: 0.05,
    unequal: 0.0,
    touch: 0.15,
    touch_spread: 0.01,
    misrecorded: 0.0,
    wear: 0.0,
    wheel: usize::MAX,
};

/// A model as it truly is.
pub(crate) struct Rim {
    pub(crate) mean: f64,
    pub(crate) wider: f64,
}

/// A shop at work.
pub(crate) struct Bench {
    pub(crate) truth: Truth,
    pub(crate) chance: Chance,
    pub(crate) models: Vec<Rim>,
    pub(crate) sized: Vec<Sized>,
    /// The true offset of each pair.
    pub(crate) offsets: Vec<f64>,
    pub(crate) fresh: Vec<Fresh>,
    on_wheel: usize,
}

impl Bench {
    pub(crate) fn new(truth: Truth, seed: u64, models: usize) -> Self {
        let (chance, sized, offsets, fresh) = (Chance(seed), Vec::new(), Vec::new(), Vec::new());
        let mut new = Self { truth, chance, models: Vec::new(), sized, offsets, fresh, on_wheel: 0 };
        (0..models).for_each(|_| new.meet());
        new
    }

    /// A model that was never here.
    pub(crate) fn meet(&mut self) {
        let mean = self.truth.mean + self.truth.deviation * self.chance.normal();
        let wider = (self.truth.unequal * self.chance.normal()).exp();
        self.models.push(Rim { mean, wider });
    }

    /// How much larger lenses fit now than on a fresh wheel.
    pub(crate) fn offset(&self) -> f64 {
        -self.truth.wear * self.on_wheel as f64
    }

    /// Each model so many times, in an order as it happens.
    pub(crate) fn work(&mut self, times: usize) {
        let mut coming: Vec<usize> = (0..self.models.len()).flat_map(|model| vec![model; times]).collect();
        for at in (1..coming.len()).rev() {
            coming.swap(at, self.chance.below(at + 1));
        }
        coming.into_iter().for_each(|model| self.size(model));
    }

    /// Up to where the lenses of the next frame of a model fit, on a fresh wheel.
    pub(crate) fn fits(&mut self, model: usize) -> [f64; 2] {
        let Rim { mean, wider } = self.models[model];
        let frame = mean + wider * self.truth.frame * self.chance.normal();
        [0, 1].map(|_| frame + wider * self.truth.rim * self.chance.normal())
    }

    /// Sizes a pair by a careful habit: from 0.50 down by 0.15, and by 0.05 after a touch.
    pub(crate) fn size(&mut self, model: usize) {
        if self.on_wheel == self.truth.wheel {
            self.on_wheel = 0;
            self.fresh.push(Fresh { station: 0, at: self.sized.len() as i64 - 1 });
        }
        self.on_wheel += 1;
        let offset = self.offset();
        let fits = self.fits(model);
        let rims = fits.map(|fits| vec![self.tried(fits + offset, 0.5)]);
        let pair = Pair { window: WINDOW, rims };
        self.sized.push(Sized { model, at: self.sized.len() as i64, pair });
        self.offsets.push(offset);
    }

    pub(crate) fn tried(&mut self, fits: f64, first: f64) -> Tried {
        let threshold = self.truth.touch + self.truth.touch_spread * self.chance.normal();
        let mut tried = Tried::default();
        let mut at = first;
        while at > fits {
            let much = at - fits > threshold;
            tried.too_big.push(TooBig { at, much });
            at -= if much { 0.15 } else { 0.05 };
        }
        tried.end = Some(if fits > at + WINDOW { End::Loose(at) } else { End::Fits(at) });
        if self.chance.unit() < self.truth.misrecorded {
            self.slip(&mut tried);
        }
        tried
    }

    /// A key beside the right one, or a step off.
    fn slip(&mut self, tried: &mut Tried) {
        let which = self.chance.below(3);
        match (which, tried.end, tried.too_big.last_mut()) {
            (0, Some(End::Fits(at)), _) => tried.end = Some(End::Loose(at)),
            (1, _, Some(last)) => last.much = !last.much,
            (_, Some(End::Fits(at)), _) => tried.end = Some(End::Fits(at - 0.05)),
            _ => {}
        }
    }
}
