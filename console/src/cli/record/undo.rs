//! `record void` and `record note`.

use super::typed::OfJob;
use super::{identity, pass, short, with_next};
use crate::cli::{Failure, Report};
use crate::work::{Fact, Voided, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::Bench;
use bevelbook_core::sizing::Rim;
use clap::Args;
use serde_json::json;

/// Undo a record: a later record says that it does not hold.
#[derive(Args)]
#[command(after_help = "Examples: bevelbook record void 12\n          bevelbook record void 51c3a0:12\n\n\
        A void cannot be voided: log the fact again instead.")]
pub(crate) struct VoidArgs {
    /// Record: its number in this console's journal, or journal:number; a # before it does no harm.
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
        let what = undone.fact.describe(rim);
        let text = format!("{} undid {}{of_job}: {what}", short(work, id)?, short(work, target)?);
        let json = json!({
            "record": identity(id),
            "kind": "void",
            "target": identity(target),
            "job": job.as_ref().map(|job| job.order.number),
            "undone": what,
        });
        let mut report = Report::new(text, json);
        let Some(job) = job else { return Ok(report) };
        if let Some(eye) = sized_eye(&undone.fact) {
            let sizing = &job.state.lens(eye).sizing;
            report.text.push_str(&format!("\n  {eye} lens: {}", pass::now(sizing)));
            report.json["size"] = pass::size_fields(sizing);
        }
        Ok(with_next(report, &job))
    }
}

/// The eye whose size was part of it.
const fn sized_eye(fact: &Fact) -> Option<Eye> {
    match fact {
        Fact::Bench(Bench::Pass(pass)) => Some(pass.lens.eye),
        _ => None,
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
        let text = self.text.join(" ");
        let text = text.trim();
        if text.is_empty() {
            return Err(Failure::Use(
                "a note needs a text, for example: record note 3 \"pads missing\"".into(),
            ));
        }
        let job = self.of.find(work)?;
        let id = work.note(job.id, text)?;
        let job = work.job(job.id)?;
        let shown = format!("{} job {}: note: {text}", short(work, id)?, job.order.number);
        let json = json!({
            "record": identity(id), "kind": "note", "job": job.order.number, "text": text,
        });
        Ok(with_next(Report::new(shown, json), &job))
    }
}
