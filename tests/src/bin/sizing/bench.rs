//! A day after the other at a shop's bench, by one way.

use crate::chance::Chance;
use crate::hand::{felt, write};
use crate::shop::Shop;
use crate::way::{First, Lens, Way};
use bevelbook::belief::Tried;
use bevelbook_core::sizing::Outcome;

/// How one lens went.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Done {
    pub(crate) rim: usize,
    /// Pairs of this rim before.
    pub(crate) before: usize,
    pub(crate) second: bool,
    pub(crate) passes: u32,
    pub(crate) loose: bool,
    /// What was promised of its ending loose.
    pub(crate) promised: Option<f64>,
    /// Whether it fits up to where nine in ten were to.
    pub(crate) central: Option<bool>,
}

/// Sizes every lens of the shop in turn.
pub(crate) fn size(shop: &Shop, way: &mut dyn Way) -> Vec<Done> {
    let mut done = Vec::with_capacity(2 * shop.visits.len());
    for (visit, pair) in shop.visits.iter().enumerate() {
        for (second, truth) in [false, true].into_iter().zip(&pair.lenses) {
            let lens = Lens { rim: pair.rim, second, new_wheel: pair.new_wheel, visit };
            let First { at: first, loose: promised, central } = way.first(&lens);
            let (mut at, mut passes, mut tried, mut pen) = (first, 1, Tried::default(), Chance(truth.slips));
            let ended = loop {
                let now = felt(truth, at);
                write(&mut tried, &shop.kind, &mut pen, at, now);
                if matches!(now, Outcome::Fits | Outcome::Loose) {
                    break now;
                }
                // Nothing is ground at the same size again.
                at = way.next(&lens, &tried).min(at - shop.kind.step);
                passes += 1;
            };
            way.learn(&lens, &tried);
            done.push(Done {
                rim: pair.rim,
                before: pair.before,
                second,
                passes,
                loose: ended == Outcome::Loose,
                promised,
                central: central.map(|[low, high]| (low..=high).contains(&truth.largest)),
            });
        }
    }
    done
}
