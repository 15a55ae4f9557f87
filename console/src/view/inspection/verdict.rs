//! A verdict in words, with its reasons and what is to be looked at beside it.

use super::beside::BesideView;
use super::finding::FindingView;
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Verdict;

/// A verdict that is heard.
pub(super) fn loud(verdict: Verdict) -> String {
    if verdict == Verdict::Out { "OUT".into() } else { verdict.to_string() }
}

/// The verdict on one eye with its reasons, or by what the pair is judged and all of them.
pub(super) fn said(
    verdict: Verdict,
    findings: &[FindingView],
    beside: &[BesideView],
    of: Result<Eye, &str>,
) -> String {
    let meant = |subject: &str| of.is_err() || of.is_ok_and(|eye| subject == eye.to_string());
    let meant_of: Vec<_> = findings.iter().filter(|found| meant(&found.subject)).collect();
    let named = |found: &FindingView| if of.is_ok() { found.name.to_owned() } else { found.whose() };
    let out = meant_of.iter().filter(|found| !found.within);
    let out: Vec<_> = out.map(|found| format!("{} {}", named(found), found.off())).collect();
    let reasons = match verdict {
        Verdict::Out => format!(": {}", out.join("; ")),
        Verdict::NotJudged => ": something is missing".into(),
        Verdict::Within => String::new(),
    };
    let at_limit: Vec<_> = meant_of.iter().filter(|found| found.at_limit).map(|found| named(found)).collect();
    let near =
        if at_limit.is_empty() { String::new() } else { format!(", at the limit: {}", at_limit.join(", ")) };
    let doubt = match meant_of.iter().filter(|found| !found.confirmed).count() {
        0 => String::new(),
        1 => " (1 limit unconfirmed)".into(),
        many => format!(" ({many} limits unconfirmed)"),
    };
    let look: Vec<_> = beside
        .iter()
        .filter(|found| found.unusual && meant(&found.subject))
        .map(|found| if of.is_ok() { found.off.clone() } else { found.whose() })
        .collect();
    let look = if look.is_empty() { String::new() } else { format!("; look: {}", look.join(", ")) };
    let by = of.err().map_or_else(String::new, |standard| format!(" by {standard}"));
    format!("{}{by}{reasons}{near}{doubt}{look}", loud(verdict))
}
