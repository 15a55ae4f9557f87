//! The mounted pair against its limits: both lenses, the prism between the eyes, PD and heights.
//!
//! **Prism** is read at the ordered PD marks and the ordered prism is taken off. Vertically what counts is the
//! difference between the eyes: the same deviation in both is no imbalance. Horizontally base in of both eyes
//! adds up: a pair that sits a little to one side is no imbalance either.
//!
//! Prism between the eyes takes two lenses of known power that somebody looks through: beside a balance lens, a lens
//! of unknown power or none it is not covered, and only what each judged lens is by itself counts. A lens that stays in the
//! frame is read at its PD mark like one that was made.
//!
//! Without a prism reading the PD tells the horizontal prism at worst. When that breaks the limit in the stronger lens
//! and would not in the weaker, the prism has to be read.

use super::compare_eye::{Lens, Said};
use super::{
    Allowed, Basis, Finding, Horizontal, Limit, Limits, Missing, NotCovered, PairMeasured, PairOrder,
    PdLimit, PrismLimit, Quantity, Stage, Subject, Uncovered,
};
use crate::frame::PupillaryDistance;
use crate::prescription::Eye;
use crate::units::{Length, Power, Prism, PrismPair};

/// A pair, what it may be off, and what was measured of it.
#[derive(Clone, Copy)]
pub(super) struct Pair<'l> {
    pub(super) limits: &'l Limits,
    pub(super) ordered: &'l PairOrder,
    pub(super) measured: &'l PairMeasured,
}

impl Pair<'_> {
    /// All of it.
    pub(super) fn all(&self, say: &mut dyn FnMut(Said)) {
        for eye in Eye::BOTH {
            let (limits, ordered) = (&self.limits.eyes[eye.index()], &self.ordered.eyes[eye.index()]);
            Lens { eye, limits, ordered, read: &self.measured.eyes[eye.index()] }.powers(Stage::Mounted, say);
            self.prism_unread(eye, say);
        }
        self.heights(say);
        self.prism_between(say);
        self.distance(say);
    }

    /// The prism of both lenses.
    pub(super) fn prism(&self, say: &mut dyn FnMut(Said)) {
        Eye::BOTH.into_iter().for_each(|eye| self.prism_unread(eye, say));
        self.prism_between(say);
    }

    /// The PD, and the heights.
    pub(super) fn centres(&self, say: &mut dyn FnMut(Said)) {
        self.heights(say);
        self.distance(say);
    }

    /// A prism that no rule looks at need not be read.
    fn prism_unread(&self, eye: Eye, say: &mut dyn FnMut(Said)) {
        let of_pair = self.limits.vertical.is_some() || self.limits.horizontal.is_some();
        let of_eye = self.limits.each.iter().any(Option::is_some);
        let judged = self.ordered.eyes[eye.index()].wanted.is_judged();
        let asked = (of_pair && self.ordered.unpaired().is_none()) || (of_eye && judged);
        if asked && self.measured.eyes[eye.index()].prism.is_none() {
            say(Said::Missing(Missing::Prism(eye)));
        }
    }

    fn prism_read(&self) -> Option<[PrismPair; 2]> {
        let [right, left] = &self.measured.eyes;
        Some([right.prism?, left.prism?])
    }

    fn prism_between(&self, say: &mut dyn FnMut(Said)) {
        let ordered = self.ordered.eyes.map(|eye| eye.prism);
        let both = |part: fn(PrismPair) -> Prism| {
            self.prism_read()
                .map(|read| [ordered, read].map(|prisms| prisms.map(|prism| part(prism).milli())))
        };
        let (up, inward) = (both(|prism| prism.base_up), both(|prism| prism.base_in));
        if let Some(why) = self.ordered.unpaired() {
            say(Said::NotCovered(NotCovered { subject: Subject::Pair, what: Uncovered::Between, why }));
            return self.each_of_all(say);
        }
        match (self.limits.vertical, up) {
            (None, _) => say(Said::not_covered(Subject::Pair, Uncovered::Vertical)),
            (Some(limit), Some(both)) => {
                let values = both.map(|[right, left]| right - left);
                say(between(Quantity::Vertical, values, limit));
            }
            (Some(_), None) => {}
        }
        self.each_of_all(say);
        match (self.limits.horizontal, inward) {
            (None, _) => say(Said::not_covered(Subject::Pair, Uncovered::Horizontal)),
            (Some(Horizontal::Prism { prism, .. }), Some(both)) => {
                let values = both.map(|[right, left]| right + left);
                say(between(Quantity::Horizontal, values, prism));
            }
            (Some(_), _) => {}
        }
    }

    /// Prism of each eye by itself.
    fn each_of_all(&self, say: &mut dyn FnMut(Said)) {
        let [vertical, horizontal] = self.limits.each;
        self.each(Quantity::VerticalOfEye, vertical, |prism| prism.base_up, say);
        self.each(Quantity::HorizontalOfEye, horizontal, |prism| prism.base_in, say);
    }

    fn each(
        &self,
        quantity: Quantity,
        limit: Option<Limit>,
        part: fn(PrismPair) -> Prism,
        say: &mut dyn FnMut(Said),
    ) {
        let Some(limit) = limit else { return };
        for eye in self.ordered.judged() {
            if let Some(read) = self.measured.eyes[eye.index()].prism {
                let values = [self.ordered.eyes[eye.index()].prism, read].map(|prism| part(prism).milli());
                say(Said::found(Subject::Eye(eye), quantity, values, limit));
            }
        }
    }

    /// What is judged by the PD.
    fn distance(&self, say: &mut dyn FnMut(Said)) {
        let judged = match self.limits.horizontal {
            Some(Horizontal::Pd(limit)) => self.pd(limit, say),
            Some(Horizontal::Prism { prism, power, weaker_to }) if self.prism_read().is_none() => {
                match self.measured.pd.and_then(PupillaryDistance::whole) {
                    Some(pd) => at_worst(pd - self.ordered.pd.total(), prism, power, weaker_to, say),
                    None => say(Said::Missing(Missing::Pd)),
                }
                false
            }
            _ => false,
        };
        if let Some(limit) = self.limits.pd
            && !judged
        {
            self.pd(limit, say);
        }
    }

    /// The PD, in total or of each eye from its monocular PD. Whether it could be judged.
    fn pd(&self, PdLimit { limit, each_eye }: PdLimit, say: &mut dyn FnMut(Said)) -> bool {
        let of = |subject, values: [Length; 2]| {
            Said::found(subject, Quantity::Pd, values.map(Length::milli), limit)
        };
        let (ordered, measured) = (self.ordered.pd, self.measured.pd);
        let missing = match measured.map(PupillaryDistance::whole) {
            None => Missing::Pd,
            Some(None) if !each_eye => Missing::Pd,
            Some(Some(whole)) if !each_eye => {
                say(of(Subject::Pair, [ordered.total(), whole]));
                return true;
            }
            Some(_) => Missing::MonocularPd,
        };
        let halves = |eye: Eye| Some((Subject::Eye(eye), [ordered.half(eye)?, measured?.half(eye)?]));
        if missing == Missing::Pd || self.ordered.judged().any(|eye| halves(eye).is_none()) {
            say(Said::Missing(missing));
            return false;
        }
        self.ordered.judged().filter_map(halves).for_each(|(subject, values)| say(of(subject, values)));
        true
    }

    fn heights(&self, say: &mut dyn FnMut(Said)) {
        let Some(ordered) = self.ordered.segment_heights else { return };
        let limits = match self.limits.heights {
            Allowed::Any => return,
            Allowed::NotCovered => return say(Said::not_covered(Subject::Pair, Uncovered::Heights)),
            Allowed::To(limits) => limits,
        };
        let measured = self.measured.segment_heights;
        let found = |subject, values: [Length; 2], limit: Limit| {
            Said::found(subject, Quantity::SegmentHeight, values.map(Length::milli), limit)
        };
        for eye in self.ordered.made() {
            say(match measured[eye.index()] {
                None => Said::Missing(Missing::SegmentHeight(eye)),
                Some(height) => found(Subject::Eye(eye), [ordered[eye.index()], height], limits.each),
            });
        }
        if self.ordered.made().count() == 2
            && let ([Some(right), Some(left)], Some(limit)) = (measured, limits.pair)
        {
            say(found(Subject::Pair, [ordered[0] - ordered[1], right - left], limit));
        }
    }
}

/// Prism between the eyes, ordered and read.
fn between(quantity: Quantity, values: [i32; 2], prism: PrismLimit) -> Said {
    let PrismLimit { limit, stricter, basis } = prism;
    Said::Found(Finding { stricter, basis, ..Finding::new(Subject::Pair, quantity, values, limit) })
}

/// The horizontal prism that a PD makes which is off by so much. Where it breaks the limit in the stronger lens and not
/// in the weaker, the missing prism decides; it is noted for the eye that lacks it.
fn at_worst(off: Length, prism: PrismLimit, power: Power, weaker_to: Length, say: &mut dyn FnMut(Said)) {
    // Prentice's rule, P = c·F with c in centimetres, as a magnitude rounded up to 1/1000 Δ.
    let product = u64::from(off.milli().unsigned_abs()) * u64::from(power.milli().unsigned_abs());
    let values = [0, product.div_ceil(10_000) as i32];
    let PrismLimit { limit, stricter, .. } = prism;
    let found = Finding::new(Subject::Pair, Quantity::Horizontal, values, limit);
    if found.is_within() || off.abs() > weaker_to {
        say(Said::Found(Finding { stricter, basis: Basis::PrismFromPd, ..found }));
    }
}
