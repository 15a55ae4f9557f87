//! The verdict: every judged quantity with its limit, what is missing, what is open, and the sign-off.

use super::words::{number, said, time};
use crate::inspection::{Inspection, Open, OpenItem, Uncut};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::{Basis, Finding, Holding, Limit, Quantity, Subject, Unit, Verdict};
use bevelbook_core::units::{Angle, Length, Power, Prism};
use jiff::tz::TimeZone;
use maud::{Markup, html};

/// The section, or only what it waits for while nothing was read.
pub(super) fn verdict(inspection: &Inspection, zone: &TimeZone) -> Markup {
    let findings = inspection.pair.findings();
    html! {
        section.judged {
            h2 {
                "Verdict by " (inspection.standard) ", table version " (inspection.standard.table_version())
                ", " (inspection.design) ": "
                span.verdict { (verdict_words(inspection.verdict())) }
            }
            @if !findings.is_empty() { (table(inspection, findings)) }
            @for eye in Eye::BOTH {
                @if let Some(uncut) = &inspection.eye(eye).uncut { (uncut_words(eye, uncut)) }
            }
            (list("Not covered", inspection.not_covered.iter().map(ToString::to_string)))
            (list("Missing", inspection.missing.iter().map(|gap| gap.lack.to_string())))
            (list("Look again", inspection.warnings.iter().map(number)))
            (list("Open", open(&inspection.open).into_iter()))
            (signature(inspection, zone))
        }
    }
}

const fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "WITHIN",
        Verdict::Out => "OUT",
        Verdict::NotJudged => "NOT JUDGED YET",
    }
}

fn held(finding: &Finding) -> &'static str {
    match finding.holding() {
        Holding::Within => "within",
        Holding::AtLimit => "at the limit",
        Holding::Out => "OUT",
    }
}

fn table(inspection: &Inspection, findings: &[Finding]) -> Markup {
    let sources = sources(findings);
    html! {
        table.findings {
            thead {
                tr {
                    th { "judged" } th { "ordered" } th { "read" } th { "off by" } th { "limit" } th { "margin" }
                    th { "" } th { "rule" }
                }
            }
            tbody { @for finding in findings { (row(finding, &sources)) } }
        }
        p.small {
            "Sources: "
            @for (place, source) in sources.iter().enumerate() {
                @if place > 0 { "; " }
                "[" (place + 1) "] " (source)
            }
            ". " (said(&inspection.standard.foundation())) " Figures marked unconfirmed are from memory."
        }
    }
}

/// Each source once, in the order in which the table needs them.
fn sources(findings: &[Finding]) -> Vec<&'static str> {
    let mut sources = Vec::new();
    for finding in findings {
        if !sources.contains(&finding.cited.source) {
            sources.push(finding.cited.source);
        }
    }
    sources
}

fn row(finding: &Finding, sources: &[&'static str]) -> Markup {
    let unit = finding.unit();
    let source =
        sources.iter().position(|source| *source == finding.cited.source).map_or(0, |place| place + 1);
    html! {
        tr.out[!finding.is_within()] {
            td { (judged(finding)) }
            td.n { (value(finding.quantity, finding.ordered)) }
            td.n { (value(finding.quantity, finding.measured)) }
            td.n { (signed(unit, finding.deviation)) }
            td.n { "±" (limit(unit, finding.limit)) }
            td.n { (limit(unit, finding.margin())) }
            td { b { (held(finding)) } }
            td.rule {
                (finding.cited.rule) " [" (source) "]"
                @if finding.basis != Basis::AsRead { " (" (finding.basis) ")" }
                @if !finding.cited.confirmed { " " span.flag { "unconfirmed" } }
            }
        }
    }
}

fn judged(finding: &Finding) -> String {
    match (finding.subject, finding.quantity) {
        (Subject::Eye(eye), quantity) => format!("{} {quantity}", eye.letter()),
        // These say themselves that they are the pair's.
        (Subject::Pair, quantity @ (Quantity::Vertical | Quantity::Horizontal)) => quantity.to_string(),
        (Subject::Pair, quantity) => format!("pair {quantity}"),
    }
}

/// A value in its unit; powers carry their sign.
fn value(quantity: Quantity, milli: i32) -> String {
    match quantity.unit() {
        Unit::Dioptre => number(Power::from_milli(milli)),
        unit => signed(unit, milli).trim_start_matches('+').to_owned(),
    }
}

fn signed(unit: Unit, milli: i32) -> String {
    let plain = match unit {
        Unit::Dioptre => Power::from_milli(milli).to_string(),
        Unit::PrismDioptre => format!("{:+}", Prism::from_milli(milli)),
        Unit::Degree if milli > 0 => format!("+{}", Angle::from_milli(milli)),
        Unit::Degree => Angle::from_milli(milli).to_string(),
        Unit::Millimetre => format!("{:+}", Length::from_milli(milli)),
    };
    with_unit(unit, &number(plain))
}

fn limit(unit: Unit, limit: Limit) -> String {
    let plain = match unit {
        Unit::Degree => limit.to_string(),
        _ => format!("{limit:.2}"),
    };
    with_unit(unit, &number(plain))
}

fn with_unit(unit: Unit, number: &str) -> String {
    match unit {
        Unit::Degree => format!("{number}°"),
        Unit::Dioptre => number.to_owned(),
        unit => format!("{number} {}", unit.symbol()),
    }
}

fn uncut_words(eye: Eye, uncut: &Uncut) -> Markup {
    let findings = uncut.judgement.findings();
    html! {
        p.fact {
            b { (eye) " lens uncut: " (verdict_words(uncut.judgement.verdict())) }
            @for finding in findings.iter().filter(|finding| !finding.is_within()) {
                "; " (finding.quantity) " off by " (signed(finding.unit(), finding.deviation)) ", limit ±"
                (limit(finding.unit(), finding.limit))
            }
        }
    }
}

/// What is open, of each lens and of the pair at once; what was not looked at without a word for each.
fn open(items: &[Open]) -> Vec<String> {
    let subjects = [Subject::Eye(Eye::Right), Subject::Eye(Eye::Left), Subject::Pair];
    let of = |subject: Subject| {
        let items = || items.iter().filter(move |open| open.subject == subject).map(|open| open.item);
        let unseen: Vec<&str> = items()
            .filter_map(|item| if let OpenItem::NotMade(check) = item { Some(check.words()) } else { None })
            .collect();
        let unseen = (!unseen.is_empty()).then(|| format!("not looked at: {}", unseen.join(", ")));
        let others =
            items().filter(|item| !matches!(item, OpenItem::NotMade(_))).map(|item| item.to_string());
        let said: Vec<String> = others.chain(unseen).collect();
        let whose = if let Subject::Eye(eye) = subject { format!("{eye} lens") } else { "pair".into() };
        (!said.is_empty()).then(|| format!("{whose}: {}", said.join(", ")))
    };
    subjects.into_iter().filter_map(of).collect()
}

fn list(name: &str, items: impl Iterator<Item = String>) -> Markup {
    let items: Vec<String> = items.collect();
    html! { @if !items.is_empty() { p.fact { b { (name) ": " } (said(&items.join("; "))) "." } } }
}

fn signature(inspection: &Inspection, zone: &TimeZone) -> Markup {
    html! {
        @if let Some(signed) = &inspection.signed {
            @let sign_off = &signed.sign_off;
            p.signature {
                b { "Signed off by " (said(&sign_off.by)) } ", " (time(signed.at, zone)) ": "
                (verdict_words(sign_off.verdict)) " by " (sign_off.standard) ", table version "
                (sign_off.table_version) ", for lenses R " (sign_off.lenses[0]) ", L " (sign_off.lenses[1])
                @if let Some(despite) = &sign_off.despite { "; despite: " (said(despite)) }
                "."
            }
        } @else {
            p.signature { "Not signed off. Initials: " span.blank-line {} " Date: " span.blank-line {} }
        }
    }
}
