//! The way to a fit, worked out: fewest passes, at a price for a lens that becomes loose.
//!
//! By dynamic programming over all that can be known of a lens on its way: the size at which it was much too big last, that
//! at which it was a touch too big first, and the one tried last. By the model of the hand nothing else of its passes
//! matters: a threshold of its own tells much from a touch, so that of all sizes felt as much the smallest says most, of
//! those felt as a touch the largest. Exact in the cells of the density; a test searches small cases exhaustively.

use super::grid::{Below, Density};
use super::{Hand, Rung, Way};

/// The sizes that a dial can leave: whole steps from `zero`, in millimetres of diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// One of them.
    pub zero: f64,
    /// From one to the next.
    pub step: f64,
}

/// Finer sizes than these are not told apart on the way; steps of a finer dial are taken several at once.
const FINEST: f64 = 0.01;
/// The most sizes that are considered.
const MOST: usize = 64;
/// A state that is less probable is not planned for.
const NOTHING: f64 = 1e-7;
/// The share of a density at each end that is not planned for.
const TAIL: f64 = 1e-5;

/// Where a lens may fit, and the sizes at which it can be tried.
#[derive(Clone, Debug)]
pub struct Sizes {
    window: f64,
    step: f64,
    /// Largest first.
    sizes: Vec<f64>,
    /// `[m]`: where it may fit when it was much too big at the size before `m`; 0: when nothing was tried.
    much: Vec<Below>,
    /// `[m][t - m]`: the same when it was a touch too big at `t` for the first time.
    touch: Vec<Vec<Below>>,
}

/// What lies ahead of a state, in its share of all lenses.
#[derive(Clone, Copy, Debug)]
struct Ahead {
    passes: f64,
    loose: f64,
    /// The size to try.
    next: usize,
}

impl Ahead {
    const NOTHING: Self = Self { passes: 0.0, loose: 0.0, next: usize::MAX };

    fn least(self, other: Self, price: f64) -> Self {
        let cost = |ahead: Self| ahead.passes + price * ahead.loose;
        // Of two that cost the same the larger size.
        if cost(other) < cost(self) - 1e-12 { other } else { self }
    }
}

impl Sizes {
    /// Where `fits` says how probable it is that the lens fits up to each size, tried by `hand` in a rim of this window.
    pub fn new(fits: &Density, hand: &Hand, window: f64, steps: Steps) -> Self {
        let below = fits.below();
        let (low, high) = (below.quantile(TAIL), below.quantile(1.0 - TAIL));
        let coarsest = (high - low) / MOST as f64;
        let step = steps.step * (FINEST.max(coarsest) / steps.step - 1e-9).ceil().max(1.0);
        let index = |size: f64| ((size - steps.zero) / step).floor() as i64;
        // No dial has steps of nothing; none of its sizes is known then.
        let all = if step > 0.0 { index(low) - 1..index(high).saturating_add(1) } else { 0..0 };
        let sizes: Vec<f64> = all.rev().map(|n| steps.zero + n as f64 * step).collect();
        // How many lenses that fit at each size are much too big at one that is tried; before any was, all of them.
        let much = |at: &f64| {
            let mut much = fits.clone();
            much.each(|size, _| hand.much(at - size));
            (*at, much)
        };
        let felt: Vec<(f64, Density)> =
            std::iter::once((f64::INFINITY, fits.level(1.0))).chain(sizes.iter().map(much)).collect();
        let much = |(at, much): &(f64, Density)| fits.below_times(|cell| much.weights()[cell]).up_to(*at);
        let touch = |m: usize, t: usize| {
            let (much, less) = (felt[m].1.weights(), felt[t].1.weights());
            fits.below_times(|cell| much[cell] - less[cell]).up_to(felt[t].0)
        };
        let all = 0..felt.len();
        Self {
            window,
            step,
            much: felt.iter().map(much).collect(),
            touch: all.clone().map(|m| (m + 1..all.end).map(|t| touch(m, t)).collect()).collect(),
            sizes,
        }
    }

    /// The way that is best at this price of a loose lens, in passes.
    pub fn way(&self, price: f64) -> Way {
        let n = self.sizes.len();
        let touch: Vec<Vec<Vec<Ahead>>> =
            (0..=n).map(|m| (m..n).map(|t| self.after_touch(m, t, price)).collect()).collect();
        let mut much = vec![Ahead::NOTHING; n + 1];
        for m in (0..=n).rev() {
            much[m] = self.after_much(m, &much, &touch[m], price);
        }
        let (mut rungs, mut touched_rungs) = (Vec::new(), Vec::new());
        let mut m = 0;
        while let Some(at) = self.sizes.get(much[m].next) {
            let next = much[m].next;
            let touched = &touch[m][next - m];
            rungs.push(Rung {
                at: *at,
                much: self.size(much[next + 1].next, next),
                touch: self.size(touched[0].next, next),
            });
            let mut last = touched[0].next;
            while let (Some(at), Some(ahead)) = (self.sizes.get(last), touched.get(last.saturating_sub(next)))
            {
                let then = self.size(ahead.next, last);
                touched_rungs.push(Rung { at: *at, much: then, touch: then });
                last = ahead.next;
            }
            m = next + 1;
        }
        Way::new(rungs, touched_rungs, self.window, much[0].passes, much[0].loose)
    }

    /// The same, with the price raised where the chance of a loose lens would be above `most`.
    pub fn way_within(&self, price: f64, most: f64) -> Way {
        let mut price = price;
        loop {
            let way = self.way(price);
            if way.loose <= most || price > 1e6 {
                return way;
            }
            price *= 1.3;
        }
    }

    /// The size to try after another; the one below where none was planned.
    fn size(&self, next: usize, before: usize) -> f64 {
        let size = |index: usize| self.sizes.get(index).copied();
        size(next).or(size(before + 1)).unwrap_or(self.sizes[before] - self.step)
    }

    /// What lies ahead when it was much too big at the size before `m`.
    fn after_much(&self, m: usize, much: &[Ahead], touch: &[Vec<Ahead>], price: f64) -> Ahead {
        let (weights, all) = (&self.much[m], self.much[m].total());
        if all < NOTHING {
            return Ahead::NOTHING;
        }
        let tries = (m..self.sizes.len()).map(|next| {
            let then = [much[next + 1], touch[next - m][0]];
            let passes = all + then[0].passes + then[1].passes;
            let loose = self.loose(weights, next, all) + then[0].loose + then[1].loose;
            Ahead { passes, loose, next }
        });
        tries.reduce(|one, other| one.least(other, price)).unwrap_or(Ahead { passes: all, ..Ahead::NOTHING })
    }

    /// What lies ahead when it was a touch too big at `t` first, by the size tried last, from `t` on.
    fn after_touch(&self, m: usize, t: usize, price: f64) -> Vec<Ahead> {
        let weights = &self.touch[m][t - m];
        let reach = weights.total() >= NOTHING;
        // Nothing of it fits below the last of these.
        let low = weights.quantile(TAIL) - self.step;
        let count =
            if reach { self.sizes[t..].iter().take_while(|size| **size > low).count() + 1 } else { 1 };
        let count = count.min(self.sizes.len() - t);
        let mut ahead = vec![Ahead::NOTHING; count];
        for last in (0..count).rev() {
            let all = weights.at(self.sizes[t + last]);
            if all < NOTHING {
                continue;
            }
            let tries = (last + 1..count).map(|next| {
                let loose = self.loose(weights, t + next, all) + ahead[next].loose;
                Ahead { passes: all + ahead[next].passes, loose, next: t + next }
            });
            ahead[last] = tries
                .reduce(|one, other| one.least(other, price))
                .unwrap_or(Ahead { passes: all, ..Ahead::NOTHING });
        }
        ahead
    }

    /// The weight that is loose at a size, of `all` that is left.
    fn loose(&self, weights: &Below, at: usize, all: f64) -> f64 {
        (all - weights.at(self.sizes[at] + self.window)).max(0.0)
    }
}

#[cfg(test)]
mod exhaustive;
