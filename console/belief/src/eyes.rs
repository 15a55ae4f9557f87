//! Ways for both eyes of a frame that was not begun: where nobody can work one out between the two.
//!
//! What the first lens shows is not known yet, so the second one's way holds for whatever that will be, in the mean: from
//! the size at which the first one fits, or from the traced shape where the model is known so well that it says more. The
//! one that costs less is taken.

use super::grid::Density;
use super::{End, Hand, Model, Pair, Shop, Steps, TooBig, Tried, Way};

/// Both ways of a frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Eyes {
    /// Of the lens that is sized first.
    pub first: Way,
    /// Of the other.
    pub second: Way,
    /// Whether sizes of `second` count from the size at which the first one fits.
    pub from_fit: bool,
}

/// An end that is less probable is not looked into.
const NOTHING: f64 = 1e-4;

impl Shop {
    /// For the next frame of a model, in rims of this window.
    pub fn eyes(&self, model: &Model<'_>, window: f64, steps: Steps) -> Eyes {
        let next = model.next();
        let first = self.way(&next, window, steps);
        let mut apart = Density::normal(0.0, 1.0, 0.0).level(0.0);
        let mut place = next.level(0.0);
        let sure = Hand { misrecorded: 0.0, ..self.hand };
        for (at, pair) in ends(&first, window) {
            let mut seen = sure.likelihood(&pair, 0, &place);
            seen.times(&next);
            let probable = seen.total();
            if probable > NOTHING {
                let mut second = model.next_in(&pair, 1);
                second.scale(probable);
                place.add(&second);
                apart.add_moved(&second, -at);
            }
        }
        for fits in [&mut apart, &mut place] {
            fits.normalise();
        }
        let second = self.way(&place, window, steps);
        let relative = self.way(&apart, window, Steps { zero: 0.0, ..steps });
        let cost = |way: &Way| way.passes + self.price * way.loose;
        let from_fit = cost(&relative) < cost(&second);
        Eyes { first, second: if from_fit { relative } else { second }, from_fit }
    }
}

/// Every way in which a lens can come to fit, by its size, and what it shows then.
fn ends(way: &Way, window: f64) -> Vec<(f64, Pair)> {
    let mut ends = Vec::new();
    let mut open: Vec<(f64, Vec<TooBig>)> =
        way.first().map(|first| (first, Vec::new())).into_iter().collect();
    while let Some((at, too_big)) = open.pop() {
        let tried = Tried { too_big: too_big.clone(), end: Some(End::Fits(at)), by_girth: None, station: 0 };
        ends.push((at, Pair { rims: [vec![tried], Vec::new()], ..Pair::untried(window) }));
        let Some(rung) = way.rungs.iter().find(|rung| rung.at == at) else { continue };
        let touched = too_big.last().is_some_and(|last| !last.much);
        let next = [(rung.much, true), (rung.touch, false)];
        // After a touch it is not much too big at a smaller size.
        for (next, much) in next.into_iter().filter(|(_, much)| !(touched && *much)) {
            open.push((next, [too_big.as_slice(), &[TooBig { at, much }]].concat()));
        }
    }
    ends
}
