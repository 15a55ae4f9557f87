//! What a hand feels of a lens in its rim, and so what passes tell of where it fits.

use super::grid::{CELL, Density, normal_below};
use super::{End, Pair, Tried};

/// How a person tells sizes apart; millimetres of diameter.
///
/// A lens that fits up to F is too big at s > F: much, where s − F is above a threshold that each lens has of its own, else a
/// touch. It fits where s ≤ F ≤ s + w, and is loose below; the window w is the rim's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hand {
    /// The threshold in the mean.
    pub touch: f64,
    /// How it differs from lens to lens: standard deviation.
    pub touch_spread: f64,
    /// The share of lenses of which something was recorded wrongly.
    pub misrecorded: f64,
}

/// How far from where it fits a lens seems to fit after the slip of a key or of one step, and how far now and then: means of
/// exponential distributions, with their shares (common practice, no source).
const SLIPS: [(f64, f64); 2] = [(0.1, 0.9), (1.0, 0.1)];

/// What contradicts itself is as rare after a slip as to seem to fit in so little (own estimate, no source).
const CONTRADICTION: f64 = 0.1 * CELL;

/// How probable it is that a lens which fits up to `size` seems to fit between two others by what was recorded wrongly.
///
/// Over all that could be recorded that sums to 1, whichever sizes are tried: else slips would be learned where there are
/// none, and what is unusual of a model be taken for one.
fn wrong(size: f64, low: f64, high: f64) -> f64 {
    let below = |at: f64| -> f64 {
        let share = |far: f64| {
            let above = 0.5 * (-(at - size).abs() / far).exp();
            if at < size { above } else { 1.0 - above }
        };
        SLIPS.iter().map(|(far, of_all)| of_all * share(*far)).sum()
    };
    below(high) - below(low)
}

/// How far a size by measured girths may be off: standard deviation. A tape that is read to 0.2 mm for lens and rim each
/// gives 0.09 across (own estimate, no source).
const GIRTH_SPREAD: f64 = 0.09;

/// What one lens says of where it fits.
struct Seen {
    /// The least size at which it was much too big, and the largest at which it was a touch too big.
    much: f64,
    touch: f64,
    /// Between which sizes it fits, whatever its threshold.
    low: f64,
    high: f64,
}

impl Seen {
    fn of(tried: &Tried, window: f64) -> Self {
        let sizes =
            |much: bool| tried.too_big.iter().filter(move |tried| tried.much == much).map(|tried| tried.at);
        let much = sizes(true).fold(f64::INFINITY, f64::min);
        let touch = sizes(false).fold(f64::NEG_INFINITY, f64::max);
        let top = sizes(false).fold(much, f64::min);
        let (low, high) = match tried.end {
            None => (f64::NEG_INFINITY, top),
            Some(End::Fits(at)) => (at, top.min(at + window)),
            Some(End::Loose(at)) => (at + window, top),
        };
        Self { much, touch, low, high }
    }

    /// Between which sizes it seems to fit by a threshold; the first is the larger one where it contradicts itself.
    fn between(&self, threshold: f64) -> (f64, f64) {
        (self.low.max(self.touch - threshold), self.high.min(self.much - threshold))
    }
}

impl Hand {
    /// The share of lenses that are felt as much too big so far above their fit; at a size that was not tried, where it is
    /// infinite, all or none.
    pub(crate) fn much(&self, over: f64) -> f64 {
        let share = normal_below((over - self.touch) / self.touch_spread.max(f64::MIN_POSITIVE));
        // Of lenses of which something was recorded wrongly: always much, or never. So a lens of a known model that is said to
        // be much too big where few can be is not ground far past its fit.
        let wrong = if over.is_finite() { self.misrecorded } else { 0.0 };
        0.5 * wrong + (1.0 - wrong) * share
    }

    /// How probable what the lenses of one rim showed is, for each size up to which it could fit; in the cells of `level`,
    /// where one that fits in none of them tells nothing.
    pub fn likelihood(&self, pair: &Pair, rim: usize, level: &Density) -> Density {
        self.likelihood_with(pair, rim, level, self.misrecorded)
    }

    /// The same where so many lenses were recorded wrongly; 0 is what a way reckons with.
    pub(crate) fn likelihood_with(&self, pair: &Pair, rim: usize, level: &Density, slips: f64) -> Density {
        let mut all = level.level(1.0);
        let seen = pair.rims[rim]
            .iter()
            .map(|tried| (Seen::of(tried, pair.window), tried.by_girth.filter(|by| by.is_finite())));
        let seen = seen.filter(|(seen, _)| self.is_within(seen, level, 0.0));
        seen.for_each(|(seen, by_girth)| all.times(&self.of_one(&seen, by_girth, level, slips)));
        all
    }

    /// How many lenses of a pair fit well within the cells of `level`, and how many do not.
    pub(crate) fn within(&self, pair: &Pair, level: &Density) -> [usize; 2] {
        let tried = pair.rims.iter().flatten().filter(|tried| tried.is_cut());
        let within = tried.map(|tried| self.is_within(&Seen::of(tried, pair.window), level, Density::MARGIN));
        within.fold([0, 0], |[within, not], is| [within + usize::from(is), not + usize::from(!is)])
    }

    fn is_within(&self, seen: &Seen, level: &Density, margin: f64) -> bool {
        let (from, to) = seen.between(self.touch);
        level.has(from.min(to), from.max(to), margin)
    }

    fn of_one(&self, seen: &Seen, by_girth: Option<f64>, level: &Density, slips: f64) -> Density {
        let (from, to) = seen.between(self.touch);
        let (least, most) = (from.min(to), to.max(from).max(from.min(to) + CELL));
        let misrecorded = slips * if from < to { 1.0 } else { CONTRADICTION / (most - least) };
        let mut one = level.between(seen.low, seen.high);
        one.each(|size, share| {
            let right = if share > 0.0 {
                share * (self.much(seen.much - size) - self.much(seen.touch - size)).max(0.0)
            } else {
                0.0
            };
            let girth = by_girth.map_or(1.0, |by| (-0.5 * ((by - size) / GIRTH_SPREAD).powi(2)).exp());
            (1.0 - slips) * right * girth + misrecorded * wrong(size, least, most)
        });
        one
    }
}

#[cfg(test)]
mod tests {
    use super::super::TooBig;
    use super::*;

    const HAND: Hand = Hand { touch: 0.15, touch_spread: 0.01, misrecorded: 0.01 };

    /// Between which sizes a rim is believed to fit, where what was recorded is believed.
    fn bracket(tried: Tried) -> (f64, f64) {
        let pair = Pair { rims: [vec![tried], Vec::new()], ..Pair::untried(0.15) };
        let likely = HAND.likelihood(&pair, 0, &Density::normal(0.0, 1.0, 0.0));
        let cells: Vec<usize> =
            (0..likely.weights().len()).filter(|cell| likely.weights()[*cell] > 0.5).collect();
        (likely.size(cells[0]), likely.size(cells[cells.len() - 1]))
    }

    #[track_caller]
    fn is_about((low, high): (f64, f64), (least, most): (f64, f64)) {
        assert!((low - least).abs() < 0.02 && (high - most).abs() < 0.02, "{low} to {high}");
    }

    #[test]
    fn each_outcome_says_where_the_lens_fits() {
        let too_big = |passes: &[(f64, bool)]| {
            passes.iter().map(|(at, much)| TooBig { at: *at, much: *much }).collect()
        };
        let tried =
            |passes: &[(f64, bool)], end| Tried { too_big: too_big(passes), end, by_girth: None, station: 0 };
        is_about(bracket(tried(&[(0.4, true)], Some(End::Fits(0.2)))), (0.2, 0.25));
        is_about(bracket(tried(&[(0.4, false)], Some(End::Fits(0.2)))), (0.25, 0.35));
        is_about(bracket(tried(&[(0.4, true), (0.3, false)], None)), (0.15, 0.25));
        is_about(bracket(tried(&[(0.3, false)], Some(End::Loose(0.05)))), (0.2, 0.3));
        is_about(bracket(tried(&[], Some(End::Fits(0.0)))), (0.0, 0.15));
    }

    #[test]
    fn all_that_can_be_recorded_of_a_lens_sums_to_one() {
        // From 0.5 down to -0.9: a step after much, a smaller one after a touch.
        fn all(tried: Tried, at: f64, (much, touch): (f64, f64), seen: &mut Vec<Tried>) {
            let ends: &[End] = if at < -0.9 { &[] } else { &[End::Fits(at), End::Loose(at)] };
            let ended = |end: Option<End>| Tried { end, ..tried.clone() };
            seen.extend(ends.iter().map(|end| ended(Some(*end))));
            if ends.is_empty() {
                return seen.push(tried);
            }
            let touched = tried.too_big.last().is_some_and(|last| !last.much);
            for (felt, by) in [(true, much), (false, touch)] {
                if !(touched && felt) {
                    let mut next = tried.clone();
                    next.too_big.push(TooBig { at, much: felt });
                    all(next, at - by, (much, touch), seen);
                }
            }
        }
        for steps in [(0.15, 0.05), (0.1, 0.1), (0.25, 0.15), (0.05, 0.05)] {
            let mut seen = Vec::new();
            all(Tried::default(), 0.5, steps, &mut seen);
            for misrecorded in [0.0, 0.01, 0.04] {
                let hand = Hand { misrecorded, ..HAND };
                let level = Density::normal(0.0, 1.0, 0.0);
                let mut sum = level.level(0.0);
                for tried in &seen {
                    let pair = Pair { rims: [vec![tried.clone()], Vec::new()], ..Pair::untried(0.15) };
                    sum.add(&hand.likelihood(&pair, 0, &level));
                }
                for (cell, sum) in sum.weights().iter().enumerate() {
                    assert!((0.999..=1.05).contains(sum), "{steps:?} {hand:?} {}: {sum}", level.size(cell));
                }
            }
        }
    }

    #[test]
    fn what_contradicts_itself_excludes_nothing_and_tells_little() {
        let too_big = vec![TooBig { at: 0.1, much: true }];
        let tried = Tried { too_big, end: Some(End::Fits(0.2)), by_girth: None, station: 0 };
        let pair = Pair { rims: [vec![tried], Vec::new()], ..Pair::untried(0.15) };
        let likely = HAND.likelihood(&pair, 0, &Density::normal(0.0, 1.0, 0.0));
        assert!(likely.weights().iter().all(|weight| (1e-7..=1e-4).contains(weight)));
    }
}
