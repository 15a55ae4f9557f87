//! The mounted pair against its limits: both lenses, the prism between the eyes, PD and heights.
//!
//! **Prism** is read at the ordered PD marks and the ordered prism is taken off. Vertically what counts is the
//! difference between the eyes: the same deviation in both is no imbalance. Horizontally base in of both eyes
//! adds up: a pair that sits a little to one side is no imbalance either (like horizontal bases add, like vertical ones
//! subtract: ISO 21987:2017, 6.6, as quoted in a public terminology entry).
//!
//! Prism between the eyes takes two lenses of known power that somebody looks through: beside a balance lens, a lens
//! of unknown power or none it is not covered, and only what each judged lens is by itself counts. A lens that stays in the
//! frame is read at its PD mark like one that was made.
//!
//! Where there is no limit between the eyes and none of each, what a lens shows beside its ordered prism is told, and a
//! prescribed prism has to be read. That of one lens alone is judged by what is usual: a base the wrong way round is no
//! matter of opinion.
//!
//! Without a prism reading the PD tells the horizontal prism at worst. When that breaks the limit in the stronger lens
//! and would not in the weaker, the prism has to be read.

use super::compare_eye::{Lens, Said};
use super::{
    Allowed, Basis, Finding, Horizontal, Limit, Limits, Missing, NoVerdict, PairMeasured, PairOrder,
    PdLimits, PrismLimit, Quantity, Stage, Subject, Uncovered,
};
use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, SphereCylinder};
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

    /// A prism that nobody prescribed and no rule looks at need not be read.
    fn prism_unread(&self, eye: Eye, say: &mut dyn FnMut(Said)) {
        let of_pair = self.limits.vertical.is_some() || self.limits.horizontal.is_some();
        let of_eye = self.limits.each.iter().any(Option::is_some);
        let ordered = self.ordered.eyes[eye.index()];
        let own = (of_eye || !ordered.prism.is_none()) && ordered.wanted.is_judged();
        let asked = own || (of_pair && self.ordered.unpaired().is_none());
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
            say(Said::not_covered(Subject::Pair, Uncovered::Between, why));
            return self.each_of_all(say);
        }
        match (self.limits.vertical, up) {
            (None, _) => say(Said::not_covered(Subject::Pair, Uncovered::Vertical, NoVerdict::NoLimit)),
            (Some(limit), Some(both)) => {
                let values = both.map(|[right, left]| right - left);
                say(between(Quantity::Vertical, values, limit));
            }
            (Some(_), None) => {}
        }
        self.each_of_all(say);
        match (self.limits.horizontal, inward) {
            (None, _) => say(Said::not_covered(Subject::Pair, Uncovered::Horizontal, NoVerdict::NoLimit)),
            (Some(Horizontal::Prism { prism, .. }), Some(both)) => {
                let values = both.map(|[right, left]| right + left);
                say(between(Quantity::Horizontal, values, prism));
            }
            (Some(_), _) => {}
        }
    }

    /// Prism of each eye by itself, without its thinning.
    fn each_of_all(&self, say: &mut dyn FnMut(Said)) {
        let [vertical, horizontal] = self.limits.each;
        if vertical.is_some() || self.limits.vertical.is_none() {
            self.each(Quantity::VerticalOfEye, vertical, |prism| prism.base_up.milli(), say);
        }
        if horizontal.is_some() || self.limits.horizontal.is_none() {
            self.each(Quantity::HorizontalOfEye, horizontal, |prism| prism.base_in.milli(), say);
        }
    }

    /// Judged by its limit, or told beside what is usual.
    fn each(
        &self,
        quantity: Quantity,
        limit: Option<Limit>,
        part: fn(PrismPair) -> i32,
        say: &mut dyn FnMut(Said),
    ) {
        let thinned = self.ordered.thinned(self.measured.eyes);
        for eye in self.ordered.judged() {
            let (limits, read) = (&self.limits.eyes[eye.index()], &thinned[eye.index()]);
            let lens = Lens { eye, limits, ordered: &self.ordered.eyes[eye.index()], read };
            let Some(prism) = read.prism else { continue };
            let values = [lens.ordered.prism, read.thinning.taken_off(prism)].map(part);
            let allowed = limit.unwrap_or_else(|| usual_prism(quantity, lens.ordered.power));
            let found = Finding::new(Subject::Eye(eye), quantity, values, allowed);
            let explained = !found.is_within() && lens.thinning_explains(allowed, part);
            say(match limit {
                _ if explained => Said::Beside(Finding { basis: Basis::ThinningAssumed, ..found }),
                Some(_) => Said::Found(found),
                // Nothing between the eyes is judged that could show a prescribed base the wrong way round.
                None if !lens.ordered.prism.is_none() && self.ordered.unpaired().is_some() => {
                    Said::Found(found)
                }
                None => Said::Beside(found),
            });
        }
    }

    /// The PD: in total, and of each eye; and while no prism was read, what it tells of that.
    fn distance(&self, say: &mut dyn FnMut(Said)) {
        let (ordered, measured) = (self.ordered.pd, self.measured.pd);
        let PdLimits { total, each } = self.limits.pd;
        let whole = measured.and_then(PupillaryDistance::whole);
        let by_prism = match self.limits.horizontal {
            Some(Horizontal::Prism { prism, power, weaker_to }) if self.prism_read().is_none() => {
                if let Some(whole) = whole {
                    at_worst(whole - ordered.total(), prism, power, weaker_to, say);
                }
                true
            }
            _ => false,
        };
        if (whole.is_none() && (by_prism || total.is_some())) || (measured.is_none() && each.is_some()) {
            say(Said::Missing(Missing::Pd));
        }
        if let Some(whole) = whole.filter(|_| self.ordered.unpaired().is_none()) {
            say(of_place(Subject::Pair, Quantity::Pd, [ordered.total(), whole], total));
        }
        let Some(measured) = measured else { return };
        for eye in self.ordered.judged() {
            match (ordered.half(eye), measured.half(eye)) {
                (Some(ordered), Some(measured)) => {
                    say(of_place(Subject::Eye(eye), Quantity::Pd, [ordered, measured], each));
                }
                _ if each.is_some() => say(Said::Missing(Missing::MonocularPd)),
                _ => {}
            }
        }
    }

    fn heights(&self, say: &mut dyn FnMut(Said)) {
        let Some(ordered) = self.ordered.segment_heights else { return };
        let measured = self.measured.segment_heights;
        let limits = self.limits.heights.limit();
        if self.limits.heights == Allowed::NotCovered && measured.iter().all(Option::is_none) {
            return say(Said::not_covered(Subject::Pair, Uncovered::Heights, NoVerdict::NoLimit));
        }
        let of = |subject, values, limit| of_place(subject, Quantity::SegmentHeight, values, limit);
        for eye in self.ordered.made() {
            match measured[eye.index()] {
                Some(height) => {
                    let values = [ordered[eye.index()], height];
                    say(of(Subject::Eye(eye), values, limits.map(|limits| limits.each)));
                }
                None if limits.is_some() => say(Said::Missing(Missing::SegmentHeight(eye))),
                None => {}
            }
        }
        if let [Some(right), Some(left)] = measured
            && self.ordered.made().count() == 2
        {
            let values = [ordered[0] - ordered[1], right - left];
            say(of(Subject::Pair, values, limits.and_then(|limits| limits.pair)));
        }
    }
}

/// What a place may be off where there is no limit: 1.0 mm for each eye (common practice, no source). So both together
/// may be off by twice that, and one height against the other by as much as one.
fn usual(subject: Subject, quantity: Quantity) -> Limit {
    Limit::from_milli(if (subject, quantity) == (Subject::Pair, Quantity::Pd) { 2000 } else { 1000 })
}

/// What prism of one eye may be off where there is no limit: a third of a prism dioptre, or what 1.0 mm makes in that
/// meridian (ANSI Z80.1 has the two for the reference point of a lens: public quick guide of 2015).
fn usual_prism(quantity: Quantity, power: SphereCylinder) -> Limit {
    let [horizontal, vertical] = power.horizontal_and_vertical();
    let power = if quantity == Quantity::VerticalOfEye { vertical } else { horizontal };
    Limit::from_milli((power.abs().milli() / 10).max(330))
}

/// A place: judged by its limit, or told beside what is usual.
fn of_place(subject: Subject, quantity: Quantity, values: [Length; 2], limit: Option<Limit>) -> Said {
    let of = |limit| Finding::new(subject, quantity, values.map(Length::milli), limit);
    limit.map_or_else(|| Said::Beside(of(usual(subject, quantity))), |limit| Said::Found(of(limit)))
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
    // Whole centimetres apart from the rest: the products fit 32 bits.
    let (off_milli, power) = (off.milli().unsigned_abs(), power.milli().unsigned_abs());
    let (whole, rest) = (off_milli / 10_000 * power, off_milli % 10_000 * power);
    let values = [0, (whole + rest.div_ceil(10_000)) as i32];
    let PrismLimit { limit, stricter, .. } = prism;
    let found = Finding::new(Subject::Pair, Quantity::Horizontal, values, limit);
    if found.is_within() || off.abs() > weaker_to {
        say(Said::Found(Finding { stricter, basis: Basis::PrismFromPd, ..found }));
    }
}
