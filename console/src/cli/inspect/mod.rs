//! Judging a job against the tolerance standard, and signing it off.
//!
//! The text is for people: it needs no colour, and says in words what is out, what is missing and how to supply it.

mod json;
mod rows;
mod text;

use super::arguments;
use super::shop::Shop;
use super::{Failure, Report};
use crate::inspection::Inspection;
use crate::settings::{StandardName, Tolerances};
use crate::work::Work;
use bevelbook_core::record::JobId;
use bevelbook_core::tolerance::Verdict;
use clap::Args;

#[derive(Args)]
#[command(after_help = "Example: bevelbook inspect 3 --sign-off EM\n\n\
    Exit status 0 when the pair is within, 1 when it is out or not judged yet. A sign-off of a pair that is not \
    within needs --despite. An aid at the bench, not a certificate.")]
pub(crate) struct InspectArgs {
    /// The job: its number, tray or customer reference.
    #[arg(value_name = "JOB")]
    job: String,
    /// By which standard, instead of the one in the settings: with or without its edition, or shop for the shop's own
    /// table.
    #[arg(long, value_name = "NAME", value_parser = arguments::standard)]
    standard: Option<StandardName>,
    /// Record that whoever has these initials stands by the verdict.
    #[arg(long, value_name = "INITIALS")]
    sign_off: Option<String>,
    /// Why it is signed although the pair is not within.
    #[arg(long, value_name = "WHY", requires = "sign_off")]
    despite: Option<String>,
}

pub(crate) fn run(shop: &Shop, args: &InspectArgs) -> Result<Report, Failure> {
    let mut work = shop.open()?;
    let standard = work.settings().tolerances_by(args.standard)?;
    let id = work.find(&args.job)?.id;
    if let Some(by) = &args.sign_off {
        work.sign_off(id, |job| Ok(Inspection::of(job, &standard).sign_off(by, args.despite.as_deref())))?;
    }
    shown(&work, id, &standard)
}

fn shown(work: &Work, id: JobId, standard: &Tolerances) -> Result<Report, Failure> {
    let inspection = Inspection::of(&work.job(id)?, standard);
    let not_within = inspection.verdict() != Verdict::Within;
    let report = Report::new(text::text(&inspection), json::json(&inspection));
    Ok(Report { not_within, ..report })
}
