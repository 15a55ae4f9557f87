//! Ordered against read: the verdict on a job, and what stands in its way.
//!
//! An [`Inspection`] is a pure value of a job and a standard; the command, the sheet and the sign-off all take it.
//!
//! - The **verdict** is that of the standard on the mounted pair: ordered powers, prism, additions, PD and heights
//!   against the latest readings in the frame. A lens that was read uncut is judged on its own too; that verdict
//!   stands beside the pair's and never replaces it.
//! - **Gaps** are what the verdict waits for. A multifocal or progressive order without heights is one: the standard
//!   compares with the order, and an order that says nothing does not pass. Gaps of an uncut reading are listed
//!   while the lens can still be read uncut; they do not touch the pair's verdict.
//! - A supplier's **power to verify**, with its prism and addition, takes the place of what is ordered wherever a reading
//!   is judged.
//! - **Not covered** is what the standard has no limit for at hand, and what nobody measures here. It is neither
//!   passed nor failed. A PD, a place or a height that was measured and has no limit is shown there with what is usual.
//! - **Thinning** is taken off every prism of a progressive before it is judged; how much, and whether that was ordered,
//!   assumed, or seen in both lenses, is said.
//! - An eye that nothing is made for, and the power of a balance lens, are not judged.
//! - **Off by** is the lens that a reading has too much, and how it blurs; it is told, not judged, and so are the mean
//!   and the spread of a lens that was read more than once.
//! - **Warnings** are likely mistakes. They are questions to a person and do not touch the verdict.
//! - **Looked at?** is asked of readings that were accepted as they were preset, or faster than a person reads. It changes no
//!   verdict.
//! - **Open** is what was not looked at, or found bad, beside the optics. It does not touch the verdict either; a
//!   sign-off says it.
//!
//! A verdict is an aid at the bench, not a certificate.

mod difference;
mod eye;
mod gap;
mod looked;
mod open;
mod remark;
#[cfg(test)]
mod tests;
mod unjudged;
mod warning;

pub use difference::{Difference, Repeated};
pub use eye::{EyeInspection, Seen, Uncut};
pub use remark::{Kind, Remark};

use crate::desk::{Desk, SignOff};
use crate::settings::Tolerances;
use crate::work::{Fact, Job, JobStatus};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::{Design, Judgement, Thinning, Verdict};
use jiff::Timestamp;

/// A standing sign-off and when it was written, where that is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Signed {
    /// What was signed.
    pub sign_off: SignOff,
    /// When.
    pub at: Option<Timestamp>,
}

/// Ordered against read, as far as the job has come.
#[derive(Clone, Debug)]
pub struct Inspection {
    /// The job's number for people.
    pub number: u32,
    /// By which standard, or table of the shop's own.
    pub standard: Tolerances,
    /// By which of its rows.
    pub design: Design,
    /// The lens numbers that it is about, right and left.
    pub lenses: [u8; 2],
    /// Right and left.
    pub eyes: [EyeInspection; 2],
    /// The standard's judgement of the mounted pair, both eyes included.
    pub pair: Judgement,
    /// What is taken off the prism of both lenses in the frame, where it was read.
    pub thinning: Option<Thinning>,
    /// What is missing, right before left before pair.
    pub missing: Vec<Remark>,
    /// Likely mistakes, each once.
    pub warnings: Vec<Remark>,
    /// What no verdict is given on: the standard has no limit at hand, or nobody measures it here.
    pub not_covered: Vec<Remark>,
    /// Readings that somebody may not have looked at.
    pub looked_at: Vec<Remark>,
    /// What was not looked at, or found bad.
    pub open: Vec<Remark>,
    /// The sign-off that stands, if one does.
    pub signed: Option<Signed>,
    /// What the job waits for, or how it ended.
    pub status: JobStatus,
    verdict: Verdict,
}

impl Inspection {
    /// Inspects `job` as it stands.
    #[must_use]
    pub fn of(job: &Job, standard: &Tolerances) -> Self {
        let (order, measured) = (job.order.pair(standard), job.state.measured());
        let prism_read = measured.eyes.iter().any(|eye| eye.prism.is_some());
        let pair = job.judged(standard);
        let eyes = Eye::BOTH.map(|eye| EyeInspection::of(job, standard, eye, &pair));
        let missing = gap::gaps(job, &eyes, &pair);
        Self {
            number: job.order.number,
            standard: standard.clone(),
            design: job.order.lens.design,
            lenses: job.pair().numbers,
            missing,
            warnings: warning::warnings(job, standard),
            not_covered: unjudged::unjudged(&eyes, &pair)
                .into_iter()
                .chain(open::not_asked(job, standard.flow()))
                .collect(),
            open: open::open(job, standard.flow(), &pair),
            looked_at: looked::looked(&eyes),
            thinning: prism_read.then(|| order.thinned(measured.eyes)[0].thinning),
            signed: signed(job),
            status: job.status(standard),
            verdict: job.verdict(&pair),
            eyes,
            pair,
        }
    }

    /// The verdict on the pair.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        self.verdict
    }

    /// One eye.
    #[must_use]
    pub const fn eye(&self, eye: Eye) -> &EyeInspection {
        &self.eyes[eye.index()]
    }

    /// This verdict with the initials of who stands by it. `despite` is why it is signed as it is; whether one is
    /// needed is decided where it is recorded.
    #[must_use]
    pub fn sign_off(&self, by: &str, despite: Option<&str>) -> SignOff {
        let despite = despite.map(str::trim).filter(|why| !why.is_empty());
        SignOff {
            by: by.trim().to_owned(),
            standard: self.standard.judged_by(),
            table_version: self.standard.table().version,
            verdict: self.verdict(),
            lenses: self.lenses,
            despite: despite.map(str::to_owned),
        }
    }
}

fn signed(job: &Job) -> Option<Signed> {
    let sign_off = job.signed.clone()?;
    let written = |fact: &Fact| matches!(fact, Fact::Desk(Desk::SignOff(signed)) if *signed == sign_off);
    let line = job.standing().rfind(|line| written(&line.fact));
    let at = line.and_then(|line| line.at);
    Some(Signed { sign_off, at })
}
