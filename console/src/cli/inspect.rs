//! Judging a job against the tolerance standard, and signing it off.
//!
//! The text is for people and needs no colour: first what is out, then what is to be looked at, what was read and is within,
//! what is not checked, what is still to do; the verdict last.

use super::arguments;
use super::inspect_text::text;
use super::shop::Shop;
use super::{Failure, Report};
use crate::inspection::Inspection;
use crate::settings::StandardName;
use crate::view::inspection::InspectionView;
use bevelbook_core::tolerance::Verdict;
use clap::Args;
use serde_json::json;

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
    /// Tell every figure with its limit, and where that was published.
    #[arg(long)]
    sources: bool,
    /// Record that whoever has these initials stands by the verdict.
    /// Without them those of --initials.
    #[arg(long, value_name = "INITIALS", value_parser = arguments::line, num_args = 0..=1, default_missing_value = "")]
    sign_off: Option<String>,
    /// Why it is signed although the pair is not within.
    #[arg(long, value_name = "WHY", value_parser = arguments::words, requires = "sign_off")]
    despite: Option<String>,
}

pub(crate) fn run(shop: &Shop, args: &InspectArgs) -> Result<Report, Failure> {
    let mut work = if args.sign_off.is_some() { shop.open()? } else { shop.look()? };
    let standard = work.settings().tolerances_by(args.standard)?;
    let id = work.find(&args.job)?.id;
    if let Some(by) = &args.sign_off {
        let own = work.settings().desk.initials.clone().unwrap_or_default();
        let by = if by.is_empty() { &own } else { by };
        work.sign_off(id, |job| Ok(Inspection::of(job, &standard).sign_off(by, args.despite.as_deref())))?;
    }
    let view = InspectionView::of(&Inspection::of(&work.job(id)?, &standard));
    let not_within = view.verdict != Verdict::Within;
    Ok(Report { not_within, ..Report::new(text(&view, args.sources), json!(view)) })
}
