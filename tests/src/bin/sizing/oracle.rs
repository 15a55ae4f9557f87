//! What could be had at best: whoever knows how a model's lenses are spread, how worn the wheel is, and how each is felt.

use crate::hand::felt;
use crate::policy::{Chances, Hand, Left, Policy};
use crate::shop::{Rim, Shop, Spread, Truth, WINDOW, scale};
use crate::way::{First, Lens, Way};
use bevelbook::belief::Tried;
use bevelbook_core::sizing::Outcome;
use std::collections::HashMap;
use std::rc::Rc;

/// What holds the chance of a loose lens down.
#[derive(Clone, Copy)]
pub(crate) enum Rule {
    /// Each lens by itself is loose at most so often.
    Limit(f64),
    /// A loose lens costs so many passes.
    Price(f64),
}

/// Which lenses are alike, so that their policy is worked out once: model, and what the first eye left open.
type Alike = (usize, Option<[u64; 2]>);

/// What is known before a lens is cut.
struct Foreseen {
    policy: Policy,
    central: [f64; 2],
}

pub(crate) struct Oracle<'s> {
    shop: &'s Shop,
    rule: Rule,
    foreseen: HashMap<Alike, Rc<Foreseen>>,
    /// The lens in hand: what was foreseen, what is left open, the size last tried.
    hand: Option<(Rc<Foreseen>, Left, f64)>,
    /// Where the first lens of the pair fits up to, as far as its passes show.
    first: [f64; 2],
}

impl<'s> Oracle<'s> {
    pub(crate) fn new(shop: &'s Shop, rule: Rule) -> Self {
        Self { shop, rule, foreseen: HashMap::new(), hand: None, first: OPEN }
    }

    fn truth(&self, lens: &Lens) -> &'s Truth {
        &self.shop.visits[lens.visit].lenses[usize::from(lens.second)]
    }

    fn foresee(&mut self, lens: &Lens) -> Rc<Foreseen> {
        let (rim, truth) = (&self.shop.rims[lens.rim], self.truth(lens));
        let first = Some(self.first).filter(|_| lens.second && rim.pair > 0.0);
        let alike = (lens.rim, first.map(|ends| ends.map(f64::to_bits)));
        // A worn wheel and a fuzzy hand are each lens's own.
        let own = self.shop.kind.differs_by_lens();
        if let Some(known) = self.foreseen.get(&alike).filter(|_| !own) {
            return Rc::clone(known);
        }
        let hand = Hand { step: self.shop.kind.step, window: WINDOW, touch: truth.touch };
        let spread = self.shop.kind.lenses;
        let below: Box<dyn Fn(f64) -> f64> = match first {
            Some(ends) => beside(rim, ends),
            None => Box::new(move |x| below((x - rim.mean + truth.worn) / rim.spread(), spread)),
        };
        let about = rim.mean - truth.worn;
        let central = [0.05, 0.95].map(|share| reached(&below, about, share));
        let chances = Chances::new(hand, about, below);
        let policy = match self.rule {
            Rule::Limit(limit) => Policy::within(chances, limit),
            Rule::Price(price) => Policy::at_price(chances, price),
        };
        let foreseen = Rc::new(Foreseen { policy, central });
        if !own {
            self.foreseen.insert(alike, Rc::clone(&foreseen));
        }
        foreseen
    }
}

impl Way for Oracle<'_> {
    fn first(&mut self, lens: &Lens) -> First {
        let foreseen = self.foresee(lens);
        let left = foreseen.policy.begin();
        let first = First {
            at: foreseen.policy.next(&left),
            loose: Some(foreseen.policy.cost.loose),
            central: Some(foreseen.central),
        };
        self.hand = Some((foreseen, left, first.at));
        if !lens.second {
            self.first = OPEN;
        }
        first
    }

    /// What was felt is known as it was, whatever was written.
    fn next(&mut self, lens: &Lens, _: &Tried) -> f64 {
        let truth = self.truth(lens);
        let Some((foreseen, left, at)) = &mut self.hand else { return 0.0 };
        let much = felt(truth, *at) == Outcome::FarTooBig;
        narrow(&mut self.first, truth, *at, lens.second);
        *left = foreseen.policy.after(left, much);
        *at = (*at - self.shop.kind.step).min(foreseen.policy.next(left));
        *at
    }

    fn learn(&mut self, lens: &Lens, _: &Tried) {
        let truth = self.truth(lens);
        if let Some((_, _, at)) = self.hand {
            narrow(&mut self.first, truth, at, lens.second);
        }
    }
}

const OPEN: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

/// What a pass of a first lens leaves open of where it fits.
fn narrow([low, high]: &mut [f64; 2], truth: &Truth, at: f64, second: bool) {
    if second {
        return;
    }
    let [least, most] = match felt(truth, at) {
        Outcome::FarTooBig => [f64::NEG_INFINITY, at - truth.touch],
        Outcome::JustTooBig => [at - truth.touch, at],
        Outcome::Fits => [at, at + WINDOW],
        _ => [at + WINDOW, f64::INFINITY],
    };
    (*low, *high) = (low.max(least), high.min(most));
}

/// Up to where a lens fits with the chance `share`, within five millimetres of `about`.
fn reached(below: &dyn Fn(f64) -> f64, about: f64, share: f64) -> f64 {
    let [mut low, mut high] = [about - 5.0, about + 5.0];
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        *(if below(middle) < share { &mut low } else { &mut high }) = middle;
    }
    high
}

/// The chance of less than `x`, of mean 0 and variance 1.
fn below(x: f64, spread: Spread) -> f64 {
    match spread {
        Spread::Student(4) => {
            let t = x / scale(4);
            let part = t / (4.0 + t * t).sqrt();
            0.5 + part * (0.75 - 0.25 * part * part)
        }
        _ => 0.5 * libm::erfc(-x / core::f64::consts::SQRT_2),
    }
}

/// How the second lens of a pair is spread where the first one fits up to somewhere between `ends`.
fn beside(rim: &Rim, ends: [f64; 2]) -> Box<dyn Fn(f64) -> f64> {
    const PARTS: usize = 64;
    let (mean, spread) = (rim.mean, rim.spread());
    let share = (rim.pair / spread).powi(2);
    let own = spread * (1.0 - share * share).sqrt();
    let [low, high] = ends.map(|end| end.clamp(mean - 8.0 * spread, mean + 8.0 * spread));
    let width = (high - low) / PARTS as f64;
    let parts: Vec<(f64, f64)> = (0..PARTS)
        .map(|part| low + (part as f64 + 0.5) * width - mean)
        .map(|off| (mean + share * off, (-0.5 * (off / spread).powi(2)).exp()))
        .collect();
    let all: f64 = parts.iter().map(|(_, weight)| weight).sum();
    Box::new(move |x| {
        let part = |(centre, weight): &(f64, f64)| weight * below((x - centre) / own, Spread::Normal);
        parts.iter().map(part).sum::<f64>() / all
    })
}
