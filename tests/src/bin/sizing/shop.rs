//! Invented shops: how their rims and lenses truly are. Nothing here has a source but the benchmark's own purpose.

use crate::chance::Chance;

impl Chance {
    /// Student's t with `degrees` of freedom, not scaled.
    fn student(&mut self, degrees: u32) -> f64 {
        let squares: f64 = (0..degrees).map(|_| self.normal().powi(2)).sum();
        self.normal() / (squares / f64::from(degrees)).sqrt()
    }
}

/// How something is spread about its mean, scaled to a variance of 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Spread {
    Normal,
    /// A few far above, none far below: an exponential.
    Skewed,
    /// Student's t with three or four degrees of freedom: now and then something far off.
    Student(u32),
}

/// What a shop is like. Millimetres of diameter over the trace.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Kind {
    pub(crate) name: &'static str,
    /// Of the models' means about 0.10, with a deviation of 0.20.
    means: Spread,
    /// Of a lens about its model, or about its pair.
    pub(crate) lenses: Spread,
    /// The deviation that both eyes of a pair share, and each eye's own.
    pair: f64,
    eye: f64,
    /// The deviation of the logarithm of a model's spread.
    unequal: f64,
    /// How much less every lens fits at than the one before it, and after how many a new wheel comes.
    wear: f64,
    wheel_lasts: usize,
    /// The share of passes that are recorded wrongly.
    pub(crate) slips: f64,
    /// Sizes a model comes in, and how far they differ from it.
    sizes: usize,
    apart: f64,
    /// Whether most models come once or twice only.
    few: bool,
    /// The deviation of a lens's own border between a touch and much too big.
    fuzzy: f64,
    /// One step of the dial.
    pub(crate) step: f64,
}

/// How far below its largest fit a lens still fits.
pub(crate) const WINDOW: f64 = 0.15;
/// Up to how far it is a touch too big.
pub(crate) const TOUCH: f64 = 0.15;

/// So many models are sold at a time, and then others.
const SEASON: usize = 50;

const PLAIN: Kind = Kind {
    name: "plain",
    means: Spread::Normal,
    lenses: Spread::Normal,
    pair: 0.0,
    eye: 0.05,
    unequal: 0.0,
    wear: 0.0,
    wheel_lasts: usize::MAX,
    slips: 0.0,
    sizes: 1,
    apart: 0.0,
    few: false,
    fuzzy: 0.0,
    step: 0.05,
};

pub(crate) const KINDS: [Kind; 13] = [
    PLAIN,
    Kind { name: "paired", pair: 0.04, eye: 0.03, ..PLAIN },
    Kind { name: "drift", wear: 0.002, wheel_lasts: 150, ..PLAIN },
    Kind { name: "misrecorded", slips: 0.03, ..PLAIN },
    Kind { name: "two-sizes", sizes: 2, apart: 0.10, ..PLAIN },
    Kind { name: "few", few: true, ..PLAIN },
    Kind { name: "skewed", means: Spread::Skewed, ..PLAIN },
    Kind { name: "heavy", means: Spread::Student(3), ..PLAIN },
    Kind { name: "unequal", unequal: 0.4, ..PLAIN },
    Kind { name: "heavy-lenses", lenses: Spread::Student(4), ..PLAIN },
    Kind { name: "fuzzy-hand", fuzzy: 0.04, ..PLAIN },
    Kind { name: "fine-dial", step: 0.01, ..PLAIN },
    // Steps of 0.05 on the radius.
    Kind { name: "radius-dial", step: 0.10, ..PLAIN },
];

impl Kind {
    /// Whether its wheel wears.
    pub(crate) fn wears(&self) -> bool {
        self.wear > 0.0
    }

    /// Of how many pairs of a model there are enough to tell about, of `pairs`.
    pub(crate) fn telling(&self, pairs: usize) -> usize {
        if self.few { pairs.min(3) } else { pairs }
    }

    /// Whether two lenses of one model are not spread or felt alike.
    pub(crate) fn differs_by_lens(&self) -> bool {
        self.wear > 0.0 || self.fuzzy > 0.0
    }
}

/// A size of a model, which has its own history.
pub(crate) struct Rim {
    pub(crate) mean: f64,
    pub(crate) pair: f64,
    pub(crate) eye: f64,
}

impl Rim {
    /// The deviation of any one lens.
    pub(crate) fn spread(&self) -> f64 {
        self.pair.hypot(self.eye)
    }
}

/// A lens as it truly is.
pub(crate) struct Truth {
    /// The largest size at which it fits.
    pub(crate) largest: f64,
    /// How much less that is by the wheel's wear.
    pub(crate) worn: f64,
    /// Up to how far it is felt as a touch too big.
    pub(crate) touch: f64,
    /// What its slips of the pen are drawn from.
    pub(crate) slips: u64,
}

/// A pair that comes in.
pub(crate) struct Visit {
    /// Of which rims it is.
    pub(crate) rim: usize,
    /// How many of those came before.
    pub(crate) before: usize,
    /// Whether a new wheel was put on before it.
    pub(crate) new_wheel: bool,
    /// The right lens, which is sized first, and the left one.
    pub(crate) lenses: [Truth; 2],
}

/// All that comes into a shop.
pub(crate) struct Shop {
    pub(crate) kind: Kind,
    pub(crate) rims: Vec<Rim>,
    pub(crate) visits: Vec<Visit>,
}

impl Shop {
    /// A shop of `models` sizes of models, each of which comes `pairs` times, in an order as it happens.
    pub(crate) fn new(kind: Kind, seed: u64, models: usize, pairs: usize) -> Self {
        let mut chance = Chance(seed);
        let rims = rims(&kind, &mut chance, models);
        let mut coming: Vec<usize> = Vec::new();
        for season in (0..rims.len()).collect::<Vec<_>>().chunks(SEASON) {
            let from = coming.len();
            season.iter().for_each(|rim| coming.extend(vec![*rim; how_often(&kind, &mut chance, pairs)]));
            for at in (from + 1..coming.len()).rev() {
                coming.swap(at, from + chance.below(at + 1 - from));
            }
        }
        let mut before = vec![0; rims.len()];
        let mut visits = Vec::new();
        let mut on_this_wheel = 0;
        for rim in coming {
            let of_pair = rims[rim].pair * chance.normal();
            let new_wheel = on_this_wheel >= kind.wheel_lasts;
            on_this_wheel = if new_wheel { 0 } else { on_this_wheel };
            let lenses = [0, 1].map(|eye| {
                let worn = kind.wear * (on_this_wheel + eye) as f64;
                let own = rims[rim].eye * draw(kind.lenses, &mut chance);
                Truth {
                    largest: rims[rim].mean + of_pair + own - worn,
                    worn,
                    touch: (TOUCH + kind.fuzzy * chance.normal()).max(0.0),
                    slips: chance.bits(),
                }
            });
            on_this_wheel += 2;
            visits.push(Visit { rim, before: before[rim], new_wheel, lenses });
            before[rim] += 1;
        }
        Self { kind, rims, visits }
    }

    /// The least size on the dial that is not below `size`.
    pub(crate) fn up(&self, size: f64) -> f64 {
        // A size that is on the dial but for the last bit stays.
        (size / self.kind.step - 1e-6).ceil() * self.kind.step
    }
}

fn rims(kind: &Kind, chance: &mut Chance, models: usize) -> Vec<Rim> {
    let mut rims = Vec::new();
    while rims.len() < models {
        let mean = 0.10 + 0.20 * draw(kind.means, chance);
        let wider = (kind.unequal * chance.normal()).exp();
        for _ in 0..kind.sizes {
            let apart = kind.apart * chance.normal();
            rims.push(Rim { mean: mean + apart, pair: kind.pair * wider, eye: kind.eye * wider });
        }
    }
    rims
}

/// How often a model comes: `pairs` times, or half of them once, a quarter twice and so on.
fn how_often(kind: &Kind, chance: &mut Chance, pairs: usize) -> usize {
    if !kind.few {
        return pairs;
    }
    (1..pairs).find(|_| chance.unit() < 0.5).unwrap_or(pairs)
}

fn draw(spread: Spread, chance: &mut Chance) -> f64 {
    match spread {
        Spread::Normal => chance.normal(),
        Spread::Skewed => -chance.unit().ln() - 1.0,
        Spread::Student(degrees) => chance.student(degrees) * scale(degrees),
    }
}

/// What Student's t is multiplied by to have a variance of 1.
pub(crate) fn scale(degrees: u32) -> f64 {
    (1.0 - 2.0 / f64::from(degrees)).sqrt()
}
