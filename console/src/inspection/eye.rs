//! One eye of an inspection: what is ordered, what was read, and the verdict on it.

use super::difference::{Difference, Repeated};
use crate::desk::Order;
use crate::settings::Tolerances;
use crate::work::Job;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::Reading;
use bevelbook_core::tolerance::{Design, Judgement, Stage, Verdict, judge_eye};
use bevelbook_core::units::{Power, PrismPair};

/// A reading of one lens, its power in minus-cylinder form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    /// Power in minus-cylinder form.
    pub power: SphereCylinder,
    /// Prism, where it was looked at.
    pub prism: Option<PrismPair>,
    /// Addition, where it was read.
    pub add: Option<Power>,
}

impl Seen {
    pub(super) fn of(reading: &Reading) -> Self {
        let power = reading.read.power().minus_cylinder();
        Self { power, prism: reading.prism, add: reading.add }
    }
}

/// A lens read before it was blocked, and the verdict on it.
#[derive(Clone, Debug)]
pub struct Uncut {
    /// What was read.
    pub seen: Seen,
    /// The standard's judgement of an uncut lens.
    pub judgement: Judgement,
}

/// One eye of an inspection.
#[derive(Clone, Debug)]
pub struct EyeInspection {
    /// Which eye.
    pub eye: Eye,
    /// What is ordered, its power in minus-cylinder form.
    pub ordered: EyeOrder,
    /// The supplier's power to verify, in minus-cylinder form; where there is one, readings are judged by it instead
    /// of the ordered power.
    pub verify: Option<SphereCylinder>,
    /// The latest reading before blocking.
    pub uncut: Option<Uncut>,
    /// The latest reading in the frame.
    pub mounted: Option<Seen>,
    /// By what lens that reading is off.
    pub difference: Option<Difference>,
    /// What the readings in the frame come to, where there is more than one.
    pub repeated: Option<Repeated>,
    /// The verdict on what belongs to this eye in the frame.
    pub verdict: Verdict,
}

/// Whether the lenses have heights and the order does not say them.
pub(super) fn lacks_heights(order: &Order) -> bool {
    order.lens.design != Design::SingleVision && order.heights.is_none()
}

impl EyeInspection {
    pub(super) fn of(job: &Job, standard: &Tolerances, eye: Eye, pair: &Judgement) -> Self {
        let (order, lens) = (job.order.eye(eye), job.state.lens(eye));
        let expected = job.order.expected(eye);
        let uncut = lens.uncut.as_ref().map(|reading| {
            let seen = Seen::of(reading);
            let judgement = judge_eye(
                &standard.table(),
                job.order.lens.design,
                Stage::Uncut,
                eye,
                &expected,
                &reading.read(),
            );
            Uncut { seen, judgement }
        });
        let mounted = lens.mounted.as_ref().map(Seen::of);
        Self {
            eye,
            ordered: EyeOrder { power: order.power.minus_cylinder(), ..*order },
            verify: job.order.verify(eye).map(|lab| lab.power.minus_cylinder()),
            uncut,
            mounted,
            difference: mounted.and_then(|seen| Difference::of(expected.power, seen.power)),
            repeated: Repeated::of(job, eye),
            verdict: match pair.verdict_of(eye) {
                Verdict::Within if lacks_heights(&job.order) => Verdict::NotJudged,
                verdict => verdict,
            },
        }
    }
}
