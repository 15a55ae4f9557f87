//! A verdict in words, with its reasons and what is to be looked at beside it.

use super::beside::BesideView;
use super::finding::FindingView;
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Verdict;

/// A verdict that is heard.
pub(super) fn loud(verdict: Verdict) -> String {
    if verdict == Verdict::Out { "OUT".into() } else { verdict.to_string() }
}

/// A verdict with its reasons: those of one eye, or all of them.
pub(super) fn said(
    verdict: Verdict,
    findings: &[FindingView],
    beside: &[BesideView],
    of: Option<Eye>,
) -> String {
    let meant = |subject: &str| of.is_none_or(|eye| subject == eye.to_string());
    let unusual: Vec<_> = beside.iter().filter(|found| found.unusual && meant(&found.subject)).collect();
    let look = unusual.iter().map(|found| match of.is_some() || found.subject == "pair" {
        true => found.off.clone(),
        false => format!("{} {}", found.subject, found.off),
    });
    let look = match unusual.is_empty() {
        true => String::new(),
        false => format!("; not checked, look: {}", look.collect::<Vec<_>>().join(", ")),
    };
    let meant: Vec<_> = findings.iter().filter(|found| meant(&found.subject)).collect();
    let out = meant.iter().filter(|found| !found.within).map(|found| {
        let whose = if of.is_some() || found.subject == "pair" { "" } else { &format!("{} ", found.subject) };
        format!("{whose}{} by {}", found.name, found.excess())
    });
    let reasons = match verdict {
        Verdict::Out => format!(": {}", out.collect::<Vec<_>>().join(", ")),
        Verdict::NotJudged => ": something needed is missing".into(),
        Verdict::Within => String::new(),
    };
    let at_limit: Vec<_> = meant.iter().filter(|found| found.at_limit).map(|found| found.name).collect();
    let near =
        if at_limit.is_empty() { String::new() } else { format!(", at the limit: {}", at_limit.join(", ")) };
    let doubt = match meant.iter().filter(|found| !found.confirmed).count() {
        0 => String::new(),
        1 => " (unconfirmed: 1 limit was not seen in public text)".into(),
        many => format!(" (unconfirmed: {many} limits were not seen in public text)"),
    };
    format!("{}{reasons}{near}{doubt}{look}", loud(verdict))
}
