//! What was done at the bench, lens by lens: every pass, mark, reading, girth and check, as it was logged.
//!
//! A void record stays on the paper, struck through and marked. The size after a pass comes from the one
//! ledger that the bench uses.

use super::gauge::{Tick, gauge};
use super::words::{lens, number, offset, time};
use crate::work::{Fact, Job, Line};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Check, Girth, GirthOf, LensId, Mark, Pass, Read, Reading, Stage};
use bevelbook_core::sizing::{Basis, Counting, Dialled, Rim, Sizing, Span};
use bevelbook_core::units::PrismPair;
use jiff::tz::TimeZone;
use maud::{Markup, html};
use std::collections::BTreeSet;

/// One pass of a lens, numbered as it was logged; void ones have a number and leave no size.
struct PassRow<'a> {
    number: usize,
    line: &'a Line,
    pass: &'a Pass,
    left: Option<(Basis, Span)>,
}

/// All that was logged about one lens.
struct History<'a> {
    number: u8,
    passes: Vec<PassRow<'a>>,
    others: Vec<(&'a Line, &'a Bench)>,
    sizing: Sizing,
}

impl<'a> History<'a> {
    fn of(job: &'a Job, lens: LensId) -> Self {
        let course = job.course(lens);
        let after = |line: &Line| course.iter().find(|(id, _)| *id == line.id).map(|(_, state)| state.sizing);
        let (mut passes, mut others) = (Vec::new(), Vec::new());
        for line in &job.lines {
            match &line.fact {
                Fact::Bench(Bench::Pass(pass)) if pass.lens == lens => {
                    let left = after(line).and_then(|sizing| sizing.size);
                    passes.push(PassRow { number: passes.len() + 1, line, pass, left });
                }
                Fact::Bench(fact) if fact.lens() == Some(lens) => others.push((line, fact)),
                _ => {}
            }
        }
        let sizing = course.last().map(|(_, state)| state.sizing).unwrap_or_default();
        Self { number: lens.number, passes, others, sizing }
    }
}

/// The lenses that an eye has had, as far as anything was logged of them, and the present one.
fn lens_numbers(job: &Job, eye: Eye) -> BTreeSet<u8> {
    let logged = job.lines.iter().filter_map(|line| match &line.fact {
        Fact::Bench(fact) => fact.lens(),
        _ => None,
    });
    let of_eye = logged.filter(|lens| lens.eye == eye).map(|lens| lens.number);
    of_eye.chain([job.lens_number(eye)]).collect()
}

/// Whether anything was logged of either lens.
pub(super) fn has_lens_facts(job: &Job) -> bool {
    job.lines.iter().any(|line| matches!(&line.fact, Fact::Bench(fact) if fact.lens().is_some()))
}

/// Both eyes side by side.
pub(super) fn lens_logs(job: &Job, zone: &TimeZone) -> Markup {
    html! {
        div.eyes {
            @for eye in Eye::BOTH {
                div.eye data-eye=(eye) {
                    @for number in lens_numbers(job, eye) {
                        (history(job, &History::of(job, LensId { job: job.id, eye, number }), eye, zone))
                    }
                }
            }
        }
    }
}

fn history(job: &Job, history: &History<'_>, eye: Eye, zone: &TimeZone) -> Markup {
    let present = history.number == job.lens_number(eye);
    let ticks: Vec<Tick> = history
        .passes
        .iter()
        .filter_map(|row| row.left.map(|left| Tick { number: row.number, left }))
        .collect();
    html! {
        h3 { (eye) " lens " (history.number) @if !present { ", replaced" } }
        @if history.passes.is_empty() && history.others.is_empty() {
            p.small { "Nothing logged yet." }
        }
        @if !history.passes.is_empty() {
            table.passes {
                thead { tr { th { "pass" } th { "dialled" } th { "size after" } th { "in the rim" } th { "when" } } }
                tbody { @for row in &history.passes { (pass_row(row, job.order.frame.rim, zone)) } }
            }
            @if let Some(gauge) = gauge(&ticks, &history.sizing) { (gauge) }
        }
        @for (line, fact) in history.others.iter().filter(|other| !matches!(other.1, Bench::Check(_))) {
            p.fact { (struck(line.void, &html! { (fact_words(fact)) })) " " span.when { (time(line.at, zone)) } }
        }
        (checks(history.others.iter().filter_map(|(line, fact)| match fact {
            Bench::Check(check) => Some((*line, check)),
            _ => None,
        })))
    }
}

fn pass_row(row: &PassRow<'_>, rim: Rim, zone: &TimeZone) -> Markup {
    let size = row.left.map_or_else(|| "not counted".into(), |(basis, span)| size_words(basis, span));
    html! {
        tr.void[row.line.void] {
            td { (row.number) }
            td.dialled { (struck(row.line.void, &html! { (dialled(&row.pass.dialled)) })) }
            td { (size) }
            td {
                (struck(row.line.void, &html! { (rim.words(row.pass.outcome)) }))
                @if row.pass.past { " " span.flag { "past the guard" } }
            }
            td.when { (time(row.line.at, zone)) }
        }
    }
}

/// Struck through and marked in words, when it is void.
pub(super) fn struck(void: bool, what: &Markup) -> Markup {
    html! { @if void { s { (what) } " " span.flag { "void" } } @else { (what) } }
}

fn dialled(dialled: &Dialled) -> String {
    match dialled.counting {
        Counting::Absolute => offset(dialled.amount),
        Counting::TakeOff { .. } => format!("{} off", number(dialled.amount)),
    }
}

fn size_words(basis: Basis, span: Span) -> String {
    match (span.exact(), span.high) {
        (Some(size), _) => format!("{} {basis}", offset(size)),
        (None, Some(high)) => format!("{} to {} {basis}", offset(span.low), offset(high)),
        (None, None) => format!("not below {} {basis}", offset(span.low)),
    }
}

fn fact_words(fact: &Bench) -> String {
    match fact {
        Bench::Mark(mark) => mark_words(mark),
        Bench::Reading(reading) => reading_words(reading),
        Bench::Girth(Girth { of, girth, .. }) => {
            format!("girth of the {}: {girth} mm", if *of == GirthOf::Lens { "lens" } else { "rim" })
        }
        Bench::NewLens(_) => "begun at the bench".into(),
        // Passes and checks have places of their own; what else there is of a lens is at least counted out loud.
        _ => "another fact of the bench; `job show` tells it".into(),
    }
}

fn mark_words(mark: &Mark) -> String {
    format!("marked at axis {}, prism at the dot {}", mark.axis, prism_words(mark.prism))
}

fn prism_words(prism: PrismPair) -> String {
    if prism.is_none() { "none".into() } else { number(prism) }
}

fn reading_words(reading: &Reading) -> String {
    let stage = match reading.stage {
        Stage::Uncut => "uncut",
        Stage::Mounted => "mounted",
    };
    let read = match reading.read {
        Read::Direct(power) => format!("read {stage}: {}", lens(power)),
        Read::Lines { first, second, wheel } => format!(
            "read {stage}: first {}, second {}, wheel {wheel}: {}",
            number(first),
            number(second),
            lens(reading.read.power())
        ),
    };
    let prism = reading.prism.map_or_else(|| "not looked at".into(), prism_words);
    let add = reading.add.map_or_else(String::new, |add| format!(", add {}", number(add)));
    format!("{read}, prism {prism}{add}")
}

/// Checks in one paragraph, as they were made.
pub(super) fn checks<'a>(checks: impl Iterator<Item = (&'a Line, &'a Check)>) -> Markup {
    let checks: Vec<_> = checks.collect();
    html! {
        @if !checks.is_empty() {
            p.fact {
                "checked: "
                @for (place, (line, check)) in checks.iter().enumerate() {
                    @if place > 0 { "; " }
                    @let good = if check.good { "good" } else { "BAD" };
                    (struck(line.void, &html! { (check.item) ": " b { (good) } }))
                }
            }
        }
    }
}
