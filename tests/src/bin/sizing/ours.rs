//! As this program advises: what is believed of the shop and its station, of the model and of the other eye, and the way
//! by it. The steps are those of the console's advice, with pairs in place of records.

use crate::contest::LIMIT;
use crate::shop::{Shop, WINDOW};
use crate::way::{First, Lens, Way};
use bevelbook::belief::{self, Density, End, Fresh, Model, Pair, Sized, Steps, Taught, Tried};
use bevelbook_core::sizing::RUNGS;
use std::collections::HashMap;

/// Who looks the next size up.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Asked {
    /// The console, which knows the first lens of the pair when it advises on the second.
    Console,
    /// A keypad alone, by the card that it was given for the pair; the console where no fit of the first lens was written.
    Card,
}

/// What is common to all models is learned from so many pairs, the newest.
const NEWEST: usize = 300;
/// A console learns it anew for every pair. That takes most of the time, and it changes slowly.
const AFTER: usize = 100;
/// Where a wheel wears it changes fast.
const AFTER_WORN: usize = 5;
/// Where models fit in the mean, before anything was seen.
const MEAN: f64 = 0.15;

pub(crate) struct Ours<'s> {
    shop: &'s Shop,
    asked: Asked,
    steps: Steps,
    taught: Taught,
    /// All pairs in their order, and the station's offset when each was sized.
    sized: Vec<Sized>,
    offsets: Vec<f64>,
    of_model: HashMap<usize, Vec<usize>>,
    /// Before which pairs there was a new wheel.
    fresh: Vec<Fresh>,
    /// The pair in hand, and the way of the lens in hand.
    pair: Pair,
    way: Looked,
    /// The card's second way.
    second: Option<(belief::Way, bool)>,
}

/// A way as a card holds it.
struct Looked {
    rungs: Vec<belief::Rung>,
    /// The size on the dial from which its sizes count.
    from: f64,
}

impl<'s> Ours<'s> {
    pub(crate) fn new(shop: &'s Shop, asked: Asked) -> Self {
        Self {
            shop,
            asked,
            steps: Steps { zero: 0.0, step: shop.kind.step },
            taught: Taught::of(&belief::Shop::new(MEAN, LIMIT), &[], &[]),
            sized: Vec::new(),
            offsets: Vec::new(),
            of_model: HashMap::new(),
            fresh: Vec::new(),
            pair: Pair::untried(WINDOW),
            way: Looked { rungs: Vec::new(), from: 0.0 },
            second: None,
        }
    }

    /// All pairs that were sized, in their order.
    pub(crate) fn sized(&self) -> &[Sized] {
        &self.sized
    }

    /// Learns what is common to all models, where it is time to.
    fn learn_shop(&mut self, renewed: bool) {
        let many = self.sized.len();
        let after = if self.shop.kind.wears() { AFTER_WORN } else { AFTER };
        let soon = many < AFTER && many.is_power_of_two();
        if !(soon || renewed || many.is_multiple_of(after)) || many == 0 {
            return;
        }
        let from = many.saturating_sub(NEWEST);
        self.taught = Taught::of(&belief::Shop::new(MEAN, LIMIT), &self.sized[from..], &self.fresh);
        self.taught.shop = self.taught.shop.clone().priced(&self.taught.drift.sized, self.steps);
        let offsets = self.taught.drift.at(0).offsets.iter().map(|offset| offset.mean);
        self.offsets.splice(from.., offsets);
    }

    fn model(&self, lens: &Lens) -> Model<'_> {
        let pairs = self.of_model.get(&lens.rim).into_iter().flatten();
        let pairs: Vec<Pair> = pairs.map(|at| self.sized[*at].pair.moved(-self.offsets[*at])).collect();
        Model::of(&self.taught.shop, &pairs)
    }

    /// The dial's sizes as a fresh station would have them.
    fn fresh_steps(&self) -> Steps {
        Steps { zero: self.steps.zero - self.taught.drift.at(0).now.mean, ..self.steps }
    }

    /// Where the first lens of the pair fits, as far as it was written.
    fn first_fit(&self) -> Option<f64> {
        match self.pair.rims[0].last()?.end? {
            End::Fits(at) | End::Loose(at) => Some(at),
        }
    }

    /// The first size of a way whose sizes count from `from` on the dial.
    fn begin(&mut self, way: belief::Way, from: f64, fits: Option<&Density>) -> First {
        let first = self.shop.up(way.first().unwrap_or(0.0) + from);
        self.way = Looked { rungs: way.rungs.into_iter().take(RUNGS).collect(), from };
        let now = self.taught.drift.at(0).now.mean;
        let central = fits.map(|fits| [0.05, 0.95].map(|share| fits.below().quantile(share) + now));
        First { at: first, loose: Some(way.loose), central }
    }
}

impl Way for Ours<'_> {
    fn first(&mut self, lens: &Lens) -> First {
        if !lens.second {
            if lens.new_wheel {
                self.fresh.push(Fresh { station: 0, at: position(self.sized.len()) - 1 });
            }
            self.learn_shop(lens.new_wheel);
            self.pair = Pair::untried(WINDOW);
        }
        let now = self.taught.drift.at(0).now.mean;
        if let Some((way, from_fit)) = self.second.take().filter(|_| lens.second) {
            let from = if from_fit { self.first_fit() } else { Some(now) };
            if let Some(from) = from {
                return self.begin(way, from, None);
            }
        }
        let (model, shop, steps) = (self.model(lens), &self.taught.shop, self.fresh_steps());
        if self.asked == Asked::Card && !lens.second {
            let (eyes, fits) = (shop.eyes(&model, WINDOW, steps), model.next());
            self.second = Some((eyes.second, eyes.from_fit));
            return self.begin(eyes.first, now, Some(&fits));
        }
        let fits = if lens.second { model.next_in(&self.pair.moved(-now), 1) } else { model.next() };
        let way = shop.way(&fits, WINDOW, steps);
        self.begin(way, now, Some(&fits))
    }

    /// That of the lowest rung that is not below the size last tried; a step down where there is none.
    fn next(&mut self, _: &Lens, tried: &Tried) -> f64 {
        let Some(last) = tried.too_big.last() else { return 0.0 };
        let Looked { rungs, from } = &self.way;
        // A size that is on the dial but for the last bit is the same.
        let rung = rungs.iter().rfind(|rung| rung.at + from > last.at - 1e-6);
        let next = rung.map(|rung| from + if last.much { rung.much } else { rung.touch });
        self.shop.up(next.filter(|next| *next < last.at - 1e-6).unwrap_or(last.at - self.steps.step))
    }

    fn learn(&mut self, lens: &Lens, tried: &Tried) {
        self.pair.rims[usize::from(lens.second)].push(tried.clone());
        if lens.second {
            let at = self.sized.len();
            self.of_model.entry(lens.rim).or_default().push(at);
            self.sized.push(Sized { model: lens.rim, at: position(at), pair: self.pair.clone() });
            self.offsets.push(self.taught.drift.at(0).now.mean);
        }
    }
}

/// Where a pair's records stand, with room for an event before it.
fn position(pair: usize) -> i64 {
    2 * pair as i64
}
