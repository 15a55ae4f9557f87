//! Ways that need no computer: habits, and a person who remembers each model.

use crate::shop::Shop;
use crate::way::{First, Lens, Way};
use bevelbook::belief::{End, Tried};
use std::collections::HashMap;

/// A first size and steps down, whatever this model has shown.
#[derive(Clone, Copy)]
pub(crate) struct Habit {
    first: f64,
    step: Step,
}

#[derive(Clone, Copy)]
enum Step {
    /// After the first size, and from then on.
    InTurn([f64; 2]),
    /// When it is much too big, and when it is a touch.
    AsFelt([f64; 2]),
}

pub(crate) const CAREFUL: Habit = Habit { first: 0.50, step: Step::InTurn([0.15, 0.10]) };
pub(crate) const HASTY: Habit = Habit { first: 0.40, step: Step::InTurn([0.25, 0.10]) };
/// What the console starts from where no shop has stated its own.
pub(crate) const COMMON: Habit = Habit { first: 0.40, step: Step::AsFelt([0.20, 0.10]) };

impl Habit {
    fn next(&self, tried: &Tried) -> f64 {
        let Some(last) = tried.too_big.last() else { return self.first };
        let step = match self.step {
            Step::InTurn([first, then]) => {
                if tried.too_big.len() == 1 {
                    first
                } else {
                    then
                }
            }
            Step::AsFelt([much, touch]) => {
                if last.much {
                    much
                } else {
                    touch
                }
            }
        };
        last.at - step
    }
}

/// A habit in a shop.
pub(crate) struct ByHabit<'s>(pub(crate) &'s Shop, pub(crate) Habit);

impl Way for ByHabit<'_> {
    fn first(&mut self, _: &Lens) -> First {
        First::at(self.0.up(self.1.first))
    }

    fn next(&mut self, _: &Lens, tried: &Tried) -> f64 {
        self.0.up(self.1.next(tried))
    }
}

/// A person who keeps of each model the least size that was too big and the largest that fitted, and begins half way.
pub(crate) struct Bisection<'s> {
    shop: &'s Shop,
    known: HashMap<usize, Known>,
}

#[derive(Clone, Copy, Default)]
struct Known {
    too_big: Option<f64>,
    fits: Option<f64>,
}

impl<'s> Bisection<'s> {
    pub(crate) fn new(shop: &'s Shop) -> Self {
        Self { shop, known: HashMap::new() }
    }

    fn known(&self, lens: &Lens) -> Known {
        self.known.get(&lens.rim).copied().unwrap_or_default()
    }
}

impl Way for Bisection<'_> {
    fn first(&mut self, lens: &Lens) -> First {
        let Known { too_big, fits } = self.known(lens);
        let above = too_big.unwrap_or(CAREFUL.first);
        First::at(self.shop.up(fits.map_or(above, |fits| f64::midpoint(above, fits))))
    }

    fn next(&mut self, lens: &Lens, tried: &Tried) -> f64 {
        let last = tried.too_big.last().map_or(0.0, |last| last.at);
        let below = self.known(lens).fits.filter(|fits| *fits < last);
        self.shop.up(below.map_or_else(|| CAREFUL.next(tried), |fits| f64::midpoint(last, fits)))
    }

    fn learn(&mut self, lens: &Lens, tried: &Tried) {
        let known = self.known.entry(lens.rim).or_default();
        let least = tried.too_big.iter().map(|big| big.at).chain(known.too_big).reduce(f64::min);
        let fitted = match tried.end {
            Some(End::Fits(at)) => Some(at),
            // It would have fitted a step before, or more.
            Some(End::Loose(at)) => Some(at + self.shop.kind.step),
            None => None,
        };
        *known = Known { too_big: least, fits: fitted.into_iter().chain(known.fits).reduce(f64::max) };
    }
}
