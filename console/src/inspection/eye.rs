//! One eye of an inspection: what is ordered, what was read, and the verdict on it.

use super::difference::{Difference, Repeated};
use crate::settings::Tolerances;
use crate::work::{HowEntered, Job};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{Bench, Reading};
use bevelbook_core::tolerance::{Judgement, Thinning, Verdict};
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
    /// How that was entered, where it was told.
    pub entered: Option<HowEntered>,
    /// The standard's judgement of an uncut lens.
    pub judgement: Judgement,
    /// What was taken off its prism.
    pub thinning: Thinning,
}

/// One eye of an inspection.
#[derive(Clone, Debug)]
pub struct EyeInspection {
    /// Which eye.
    pub eye: Eye,
    /// What is ordered, its power in minus-cylinder form.
    pub ordered: EyeOrder,
    /// What the supplier says it is to read as, its power in minus-cylinder form; where there is that, readings are judged
    /// by it instead of what is ordered.
    pub verify: Option<EyeOrder>,
    /// The latest reading before blocking.
    pub uncut: Option<Uncut>,
    /// The latest reading in the frame.
    pub mounted: Option<Seen>,
    /// How that was entered, where it was told.
    pub entered: Option<HowEntered>,
    /// By what lens that reading is off.
    pub difference: Option<Difference>,
    /// What the readings in the frame come to, where there is more than one.
    pub repeated: Option<Repeated>,
    /// The verdict on what belongs to this eye in the frame.
    pub verdict: Verdict,
}

impl EyeInspection {
    pub(super) fn of(job: &Job, standard: &Tolerances, eye: Eye, pair: &Judgement) -> Self {
        let (order, lens) = (job.order.eye(eye), job.state.lens(eye));
        let expected = job.order.expected(eye);
        let minus = |order: EyeOrder| EyeOrder { power: order.power.minus_cylinder(), ..order };
        let uncut = lens.uncut.as_ref().zip(job.judged_uncut(eye, standard));
        let uncut = uncut.map(|(reading, (judgement, thinning))| Uncut {
            seen: Seen::of(reading),
            entered: job.how_entered(&Bench::Reading(*reading)),
            judgement,
            thinning,
        });
        let mounted = lens.mounted.as_ref().map(Seen::of);
        Self {
            eye,
            ordered: minus(*order),
            verify: job.order.verify(eye).map(|_| minus(expected)),
            uncut,
            mounted,
            entered: lens.mounted.and_then(|reading| job.how_entered(&Bench::Reading(reading))),
            difference: mounted
                .filter(|_| expected.wanted.is_judged())
                .and_then(|seen| Difference::of(expected.power, seen.power)),
            repeated: Repeated::of(job, eye),
            verdict: match pair.verdict_of(eye) {
                Verdict::Within if job.order.lacks_heights() => Verdict::NotJudged,
                verdict => verdict,
            },
        }
    }
}
