//! The verdict: every judged quantity with its limit, what is missing, what is open, and the sign-off.

use super::bar::bar;
use super::words::{joined, own, said, time, typeset};
use crate::view::inspection::{FindingView, InspectionView};
use jiff::tz::TimeZone;
use maud::{Markup, html};

/// The section, or only what it waits for while nothing was read.
pub(super) fn verdict(view: &InspectionView, zone: &TimeZone) -> Markup {
    html! {
        section.judged {
            h2 { "Verdict: " span.verdict { (view.verdict.to_string().to_uppercase()) } " " (view.heading) }
            div.eyes { @for eye in view.eyes() { div { (table(view, &eye.name)) } } }
            div.notes {
                (table(view, "pair"))
                @if let Some(thinning) = &view.thinning { p.fact { (typeset(&thinning.words)) "." } }
                @let uncut = view.eyes().into_iter().filter_map(|eye| Some((&eye.name, eye.uncut.as_ref()?)));
                @let uncut = uncut.filter(|(_, uncut)| uncut.matters);
                p.fact { (joined(uncut.map(|(eye, uncut)| html! { b { (eye) " lens uncut: " } (typeset(&uncut.said)) }))) }
                (listed("Look", view.look()))
                (listed("The verdict waits for", view.missing.iter().map(|gap| gap.text.clone())))
                (listed("Still to do", view.to_do().into_iter().map(|(whose, words)| format!("{whose}: {words}"))))
                div.small { (listed("Not checked", view.not_checked())) }
                @if !view.rules.is_empty() {
                    p.small { (joined(rules(view).map(|rule| html! { (typeset(&rule)) }))) ". " (said(&view.foundation)) }
                }
            }
            @if let Some(signed) = &view.signed {
                p.signature {
                    b { "Signed off by " (own(&signed.by)) } ", " (time(signed.at, zone)) ": " (own(&signed.said)) "."
                }
            } @else {
                p.signature { "Not signed off. Initials: " span.blank-line {} " Date: " span.blank-line {} }
            }
        }
    }
}

/// What was judged of an eye or the pair; nothing where nothing was.
fn table(view: &InspectionView, subject: &str) -> Markup {
    let mut findings = view.findings.iter().filter(|finding| finding.subject == subject).peekable();
    html! {
        @if findings.peek().is_some() {
            table.findings {
                thead {
                    tr {
                        th scope="col" { b { (subject) } }
                        @for name in ["ordered", "read", "off", "limit ±"] { th.n scope="col" { (name) } }
                        th scope="col" { "against its limit" }
                        th scope="col" { "verdict" }
                    }
                }
                tbody { @for finding in findings { (row(finding)) } }
            }
        }
    }
}

/// Rules by their numbers; a source stands behind the last of those that follow one another.
fn rules(view: &InspectionView) -> impl Iterator<Item = String> {
    (1..).zip(&view.rules).map(|(number, (rule, source))| match view.rules.get(number) {
        Some((_, next)) if next == source => format!("[{number}] {rule}"),
        _ => format!("[{number}] {rule} ({source})"),
    })
}

fn row(finding: &FindingView) -> Markup {
    let [ordered, read, off, limit, _] = finding.figures;
    html! {
        tr.out[!finding.within] {
            th scope="row" { (finding.label) " [" (finding.number) "]" }
            @for figure in [ordered, read, off, limit] { td.n { (typeset(&figure.to_string())) } }
            td { (bar(finding)) }
            td { b { (finding.held()) } }
        }
        @if !finding.notes.is_empty() {
            tr { td.small colspan="7" { (joined(finding.notes.iter().map(|note| html! { (typeset(note)) }))) } }
        }
    }
}

fn listed(name: &str, words: impl IntoIterator<Item = String>) -> Markup {
    let words: Vec<String> = words.into_iter().collect();
    html! { @if !words.is_empty() { p.fact { b { (name) ": " } (typeset(&words.join("; "))) "." } } }
}
