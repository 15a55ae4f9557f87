//! One lens against its limits: power, cylinder, axis and addition; of an uncut lens the reference point.
//!
//! The reference point holds by its prism or by its place: what does not hold by one is out only when the other does not
//! hold either. By a stricter table it holds only by both. Thinning is taken off its prism.

use super::{
    Allowed, Basis, EyeLimits, EyeReading, Finding, JudgedPower, Limit, Missing, NoVerdict, NotCovered,
    Quantity, ReferenceLimits, Stage, Subject, Uncovered,
};
use crate::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use crate::units::PrismPair;

/// What a comparison says, one thing at a time.
#[derive(Clone, Copy)]
pub(super) enum Said {
    /// Something was judged.
    Found(Finding<()>),
    /// Something was read that has no limit at hand, or none to judge it by: its limit is what is usual.
    Beside(Finding<()>),
    /// Something is needed; it may be said more than once.
    Missing(Missing),
    /// Something is not covered; it may be said more than once.
    NotCovered(NotCovered),
}

impl Said {
    pub(super) fn found(subject: Subject, quantity: Quantity, values: [i32; 2], limit: Limit) -> Self {
        Self::Found(Finding::new(subject, quantity, values, limit))
    }

    pub(super) fn not_covered(subject: Subject, what: Uncovered, why: NoVerdict) -> Self {
        Self::NotCovered(NotCovered { subject, what, why })
    }
}

/// One lens, what it may be off, and what was read of it.
#[derive(Clone, Copy)]
pub(super) struct Lens<'l> {
    pub(super) eye: Eye,
    pub(super) limits: &'l EyeLimits,
    pub(super) ordered: &'l EyeOrder,
    pub(super) read: &'l EyeReading,
}

impl Lens<'_> {
    /// Power, cylinder and axis; the addition where one is ordered. Of a balance lens nothing, and that is said.
    pub(super) fn powers(&self, stage: Stage, say: &mut dyn FnMut(Said)) {
        match self.ordered.wanted {
            Wanted::Lens => {}
            Wanted::Balance { .. } => {
                let subject = Subject::Eye(self.eye);
                return say(Said::not_covered(subject, Uncovered::Power, NoVerdict::Balance));
            }
            Wanted::Nothing { .. } => return,
        }
        match self.read.power {
            None => say(Said::Missing(Missing::Power(self.eye))),
            Some(read) => {
                let both = [self.ordered.power, read].map(SphereCylinder::minus_cylinder);
                self.power(both, say);
                self.axis(stage, both, say);
            }
        }
        let Some(add) = self.ordered.add else { return };
        say(match (self.limits.add, self.read.add) {
            (None, _) => self.not_covered(Uncovered::Add),
            (Some(_), None) => Said::Missing(Missing::Add(self.eye)),
            (Some(limit), Some(read)) => self.found(Quantity::Add, [add.milli(), read.milli()], limit),
        });
    }

    fn power(&self, both: [SphereCylinder; 2], say: &mut dyn FnMut(Said)) {
        let along = (Quantity::Power, both.map(|lens| lens.sphere.milli()));
        let across = (Quantity::PowerAcross, both.map(|lens| lens.combined_power().milli()));
        // A sphere read of a sphere has one power, not two.
        let one = both.iter().all(|lens| lens.cylinder.is_zero());
        let judged = match self.limits.judged {
            JudgedPower::Across => [Some(across), None],
            JudgedPower::Both if !one => [Some(along), Some(across)],
            JudgedPower::Along | JudgedPower::Both => [Some(along), None],
        };
        match self.limits.power {
            None => say(self.not_covered(Uncovered::Power)),
            Some(limit) => {
                for (quantity, values) in judged.into_iter().flatten() {
                    say(self.found(quantity, values, limit));
                }
            }
        }
        let cylinder = both.map(|lens| lens.cylinder.milli());
        say(match self.limits.cylinder {
            None => self.not_covered(Uncovered::Cylinder),
            Some(limit) => self.found(Quantity::Cylinder, cylinder, limit),
        });
    }

    fn axis(&self, stage: Stage, [ordered, read]: [SphereCylinder; 2], say: &mut dyn FnMut(Said)) {
        let limit = match self.limits.axis {
            Allowed::Any => return,
            Allowed::To(limit) if stage == Stage::Mounted || self.limits.axis_uncut => limit,
            Allowed::To(_) | Allowed::NotCovered => return say(self.not_covered(Uncovered::Axis)),
        };
        if !read.cylinder.is_zero() {
            let values = [ordered.axis.milli(), read.axis.milli()];
            let found = Finding::new(Subject::Eye(self.eye), Quantity::Axis, values, limit);
            let deviation = read.axis.turn_from(ordered.axis).milli();
            say(Said::Found(Finding { deviation, ..found }));
        } else if self.limits.holds_cylinder(ordered.cylinder) {
            say(Said::Missing(Missing::Axis(self.eye)));
        }
        // With no cylinder where one was needed the lens is out already; an axis would add nothing.
    }

    /// The reference point of an uncut lens.
    pub(super) fn reference(&self, limits: Option<ReferenceLimits>, say: &mut dyn FnMut(Said)) {
        if !self.ordered.wanted.is_judged() {
            return;
        }
        let Some(limits) = limits else { return say(self.not_covered(Uncovered::ReferencePoint)) };
        let of = |quantity, values, limit| Finding::new(Subject::Eye(self.eye), quantity, values, limit);
        let prism = self.read.prism.map(|prism| {
            let net = self.read.thinning.taken_off(prism);
            let values = [magnitude(self.ordered.prism), magnitude(net)];
            let found = of(Quantity::PrismAtReference, values, limits.prism);
            Finding { deviation: magnitude(net - self.ordered.prism), ..found }
        });
        let place = limits.place.zip(self.read.reference_shift);
        let place = place.map(|(limit, shift)| of(Quantity::ReferencePlace, [0, shift.milli()], limit));
        let both = [prism, place].into_iter().flatten();
        if let Some(found) = both.clone().find(Finding::is_within).filter(|_| !limits.both) {
            return say(Said::Found(found));
        }
        if let Some(found) = prism.filter(|_| self.thinning_explains(limits.prism, magnitude)) {
            return say(Said::Beside(Finding { basis: Basis::ThinningAssumed, ..found }));
        }
        let alone = limits.place.is_none();
        // By the stricter reading what is out by one is out, whatever the other says.
        let decided = limits.both && both.clone().any(|found| !found.is_within());
        if prism.is_none() && !decided {
            say(Said::Missing(Missing::ReferencePrism(self.eye)));
        } else if place.is_none() && !alone && !decided {
            say(Said::Missing(Missing::ReferencePlace(self.eye)));
        }
        // Out by one reading alone is not out while the other is unread.
        if limits.both || alone || (prism.is_some() && place.is_some()) {
            both.for_each(|found| say(Said::Found(found)));
        }
    }

    /// Whether its prism would hold by another thinning than the one that is only assumed.
    pub(super) fn thinning_explains(&self, limit: Limit, size: fn(PrismPair) -> i32) -> bool {
        let ordered = self.ordered.prism;
        let best = self.read.prism.and_then(|read| self.read.thinning.explained(ordered, read));
        best.is_some_and(|best| limit.holds(size(best - ordered)))
    }

    fn found(&self, quantity: Quantity, values: [i32; 2], limit: Limit) -> Said {
        Said::found(Subject::Eye(self.eye), quantity, values, limit)
    }

    fn not_covered(&self, what: Uncovered) -> Said {
        Said::not_covered(Subject::Eye(self.eye), what, NoVerdict::NoLimit)
    }
}

/// The size of a prism in 1/1000 Δ, rounded up: against a limit of whole thousandths that decides as the exact
/// size would.
fn magnitude(prism: PrismPair) -> i32 {
    let square = |part: u32| u64::from(part) * u64::from(part);
    let both = square(prism.base_in.milli().unsigned_abs()) + square(prism.base_up.milli().unsigned_abs());
    // The largest whole number below the root, bit by bit: a root by division takes three times the flash.
    let below = (0..u32::BITS).rev().fold(0, |root, bit| {
        let tried = root | 1 << bit;
        if square(tried) < both { tried } else { root }
    });
    if both == 0 { 0 } else { below as i32 + 1 }
}
