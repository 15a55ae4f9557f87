//! Judging a job against the tolerance standard, and signing it off.
//!
//! The text is for people: it needs no colour, and says in words what is out, what is missing and how to supply it.

use super::arguments;
use super::page::Page;
use super::shop::Shop;
use super::{Failure, Report};
use crate::inspection::{Inspection, Kind, Remark};
use crate::settings::StandardName;
use crate::view::inspection::{FindingView, InspectionView};
use bevelbook_core::tolerance::Verdict;
use clap::Args;
use jiff::tz::TimeZone;
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
    /// Record that whoever has these initials stands by the verdict.
    #[arg(long, value_name = "INITIALS", value_parser = arguments::words)]
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
        work.sign_off(id, |job| Ok(Inspection::of(job, &standard).sign_off(by, args.despite.as_deref())))?;
    }
    let view = InspectionView::of(&Inspection::of(&work.job(id)?, &standard));
    let not_within = view.verdict != Verdict::Within;
    Ok(Report { not_within, ..Report::new(text(&view), json!(view)) })
}

/// At most 100 columns, prose within 80.
fn text(view: &InspectionView) -> String {
    let mut page = Page::default();
    page.wrapped("", &view.heading);
    for eye in view.eyes() {
        page.heading(if eye.name == "right" { "Right" } else { "Left" });
        for (name, words) in eye.facts() {
            page.wrapped(&format!("  {name:<9}"), &words);
        }
        table(&mut page, view.findings.iter().filter(|finding| finding.subject == eye.name));
        if let Some(uncut) = &eye.uncut {
            page.wrapped("  uncut    ", &uncut.said);
            if uncut.matters {
                table(&mut page, uncut.findings.iter());
            }
        }
    }
    page.heading("Pair");
    if let Some(thinning) = &view.thinning {
        page.wrapped("  ", &thinning.words);
    }
    table(&mut page, view.findings.iter().filter(|finding| finding.subject == "pair"));
    page.heading("Verdict");
    for eye in view.eyes() {
        page.wrapped(&format!("  {:<7}", eye.name), &eye.said);
    }
    page.wrapped("  pair   ", &view.said);
    missing(&mut page, &view.missing);
    list(&mut page, "Warnings", "  ! ", &view.warnings);
    list(&mut page, "Looked at? It changes no verdict", "  ? ", &view.looked_at);
    list(&mut page, "Not checked: neither passed nor failed", "  - ", &view.not_covered);
    let open = "Still to do, beside the optical verdict, which stands without it";
    list(&mut page, open, "  - ", &view.open);
    let check = view.open.iter().find(|open| [Kind::NotMade, Kind::Bad].contains(&open.kind));
    if let Some(command) = check.and_then(|open| open.command.as_ref()) {
        page.line(format!("  when it has been seen to, for example: {command}"));
    }
    page.heading("Limits, inclusive, and where they were published");
    for (number, (rule, source)) in (1..).zip(&view.rules) {
        page.wrapped(&format!("  {:<5}", format!("[{number}]")), &format!("{rule} ({source})"));
    }
    page.wrapped("  ", &view.foundation);
    page.wrapped(
        "  ",
        "An aid, not a certificate. Only a licensed prescriber changes a prescription. Local law says who may \
         verify and dispense.",
    );
    if let Some(signed) = &view.signed {
        let on = signed.at.map_or_else(
            || "at an unknown time".to_owned(),
            |at| at.to_zoned_datetime(TimeZone::system()).strftime("on %Y-%m-%d %H:%M").to_string(),
        );
        page.line("");
        page.wrapped("Signed off by ", &format!("{} {on}: {}", signed.by, signed.said));
    }
    page.text()
}

fn table<'a>(page: &mut Page, findings: impl Iterator<Item = &'a FindingView>) {
    let mut findings = findings.peekable();
    if findings.peek().is_none() {
        return page.line("  nothing judged");
    }
    page.line(format!("{:>29}{:>8}{:>8}{:>8}{:>8}", "ordered", "read", "off", "limit", "margin"));
    for finding in findings {
        let [ordered, read, off, limit, margin] = finding.figures;
        page.line(format!(
            "  {:<19}{ordered:>8}{read:>8}{off:>8}{limit:>8}{margin:>8}{:>5} {}",
            finding.label,
            format!("[{}]", finding.number),
            finding.held()
        ));
        for note in &finding.notes {
            page.line(format!("    {note}"));
        }
    }
}

/// What is missing, the command that supplies several things at once only behind the last of them.
fn missing(page: &mut Page, gaps: &[Remark]) {
    if !gaps.is_empty() {
        page.heading("Missing, and how to supply it");
    }
    let mut gaps = gaps.iter().peekable();
    while let Some(gap) = gaps.next() {
        page.wrapped("  ", &gap.text);
        match &gap.command {
            Some(command) if gaps.peek().is_none_or(|next| next.command != gap.command) => {
                page.line(format!("    {command}"));
            }
            Some(_) => {}
            None => page.line("    not a thing that is recorded: measure it and decide"),
        }
    }
}

fn list(page: &mut Page, heading: &str, lead: &str, items: &[Remark]) {
    if !items.is_empty() {
        page.heading(heading);
    }
    for item in items {
        page.wrapped(lead, &item.text);
    }
}
