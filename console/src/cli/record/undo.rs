//! `record void` and `record note`.

use super::typed::OfJob;
use super::{logged, pass, short, with_next};
use crate::cli::{Failure, Report, answer, arguments};
use crate::view::{Identity, SizeView};
use crate::work::{Fact, Voided, Work};
use bevelbook_core::link::plain;
use bevelbook_core::record::{Bench, Pass};
use bevelbook_core::sizing::Rim;
use clap::Args;

/// Undo a record: a later record says that it does not hold.
#[derive(Args)]
#[command(after_help = "Examples: bevelbook record void 12\n          bevelbook record void 51c3a0:12\n\n\
        A void cannot be voided: log the fact again instead.")]
pub(crate) struct VoidArgs {
    /// Record: its number as `job show` lists it, #12 or 12; of a keypad LOG:12.
    #[arg(value_name = "RECORD")]
    record: String,
}

impl VoidArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let wanted = self.record.strip_prefix('#').unwrap_or(&self.record);
        let target = work.find_record(wanted)?;
        let Voided { id, undone, owner, job } = work.void(target)?;
        // A fact of no order has no words for a rim.
        let rim = job.as_ref().map_or(Rim::Metal, |job| job.order.frame.rim);
        let of_job = match (&job, owner) {
            (Some(job), _) => format!(" of job {}", job.order.number),
            (None, Some(own)) => format!(" of job {own}, opened at the bench"),
            (None, None) => String::new(),
        };
        let what: String = plain(&undone.fact.describe(rim)).collect();
        let (called, undid) = (short(work, id)?, short(work, target)?);
        let mut report = answer!(
            "{called} undid {undid}{of_job}: {undone}";
            record = Identity::of(id),
            kind = "void",
            target = Identity::of(target),
            job = job.as_ref().map(|job| job.order.number),
            undone = what,
        );
        let Some(job) = job else { return Ok(report) };
        if let Fact::Bench(Bench::Pass(Pass { lens, .. })) = undone.fact {
            let sizing = &job.state.lens(lens.eye).sizing;
            report.text += &format!("\n  {} lens: {}", lens.eye, pass::now(sizing));
            report = report.with("size", sizing.size.map(SizeView::of));
        }
        with_next(work, report, &job)
    }
}

/// Put a remark on a job.
#[derive(Args)]
#[command(after_help = "Example: bevelbook record note 3 \"nose pads were missing\"")]
pub(crate) struct NoteArgs {
    #[command(flatten)]
    of: OfJob,
    /// What is to be remembered.
    #[arg(value_name = "TEXT", required = true, num_args = 1..)]
    text: Vec<String>,
}

impl NoteArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let example = |why| Failure::Use(format!("{why}; for example: record note 3 \"pads missing\""));
        let text = arguments::filled(&self.text.join(" ")).map_err(example)?;
        let job = self.of.find(work)?;
        let id = work.note(job.id, &text)?;
        let report = logged(work, id, &job, &format!("note: {}", plain(&text).collect::<String>()))?;
        with_next(work, report.with("kind", "note").with("text", text), &job)
    }
}
