//! What a hand feels of a lens in its rim, and so what passes tell of where it fits.

use super::grid::{Density, normal_below};
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

/// How probable what was recorded of a lens is where it was recorded wrongly. The slip of a key or of one step is usual:
/// the lens then fits near where it seems to, and one of four outcomes was recorded. Now and then it is anything (common
/// practice, no source).
fn wrong(apart: f64) -> f64 {
    0.25 * (0.9 * (-apart / 0.1).exp() + 0.1)
}

/// How far a size by measured girths may be off: standard deviation. A tape that is read to 0.2 mm for lens and rim each
/// gives 0.09 across (own estimate, no source).
const GIRTH_SPREAD: f64 = 0.09;

impl Hand {
    /// The share of lenses that are felt as much too big so far above their fit.
    pub(crate) fn much(&self, over: f64) -> f64 {
        normal_below((over - self.touch) / self.touch_spread)
    }

    /// How probable what the lenses of one rim showed is, for each size up to which it could fit; in the cells of `level`.
    pub fn likelihood(&self, pair: &Pair, rim: usize, level: &Density) -> Density {
        let mut all = level.level(1.0);
        pair.rims[rim].iter().for_each(|tried| all.times(&self.of_one(tried, pair.window, level)));
        all
    }

    fn of_one(&self, tried: &Tried, window: f64, level: &Density) -> Density {
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
        let mut one = level.between(low, high);
        let (least, most) = (low.min(high), high.max(low));
        one.each(|size, share| {
            let right = if share > 0.0 { share * self.felt(much - size, touch - size) } else { 0.0 };
            let girth = tried.by_girth.map_or(1.0, |by| (-0.5 * ((by - size) / GIRTH_SPREAD).powi(2)).exp());
            let apart = (least - size).max(size - most).max(0.0);
            (1.0 - self.misrecorded) * right * girth + self.misrecorded * wrong(apart)
        });
        one
    }

    /// How probable it is that one lens is much too big so far above its fit, and a touch at the other.
    pub(crate) fn felt(&self, much: f64, touch: f64) -> f64 {
        (self.much(much) - self.much(touch)).max(0.0)
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
        let tried = |passes: &[(f64, bool)], end| Tried { too_big: too_big(passes), end, by_girth: None };
        is_about(bracket(tried(&[(0.4, true)], Some(End::Fits(0.2)))), (0.2, 0.25));
        is_about(bracket(tried(&[(0.4, false)], Some(End::Fits(0.2)))), (0.25, 0.35));
        is_about(bracket(tried(&[(0.4, true), (0.3, false)], None)), (0.15, 0.25));
        is_about(bracket(tried(&[(0.3, false)], Some(End::Loose(0.05)))), (0.2, 0.3));
        is_about(bracket(tried(&[], Some(End::Fits(0.0)))), (0.0, 0.15));
    }

    #[test]
    fn what_contradicts_itself_excludes_nothing_and_tells_little() {
        let too_big = vec![TooBig { at: 0.1, much: true }];
        let tried = Tried { too_big, end: Some(End::Fits(0.2)), by_girth: None };
        let pair = Pair { rims: [vec![tried], Vec::new()], ..Pair::untried(0.15) };
        let likely = HAND.likelihood(&pair, 0, &Density::normal(0.0, 1.0, 0.0));
        assert!(likely.weights().iter().all(|weight| (0.000_25..=0.002_51).contains(weight)));
    }
}
