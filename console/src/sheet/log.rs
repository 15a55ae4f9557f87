//! What was done: the passes of each lens on a scale, and everything else in the words of its record.
//!
//! A void record stays on the paper, struck through and marked. The size after a pass comes from the one ledger that the
//! bench uses.

use super::gauge::{Tick, gauge};
use super::words::{joined, said, typeset};
use crate::desk::Desk;
use crate::view::{EnteredView, what_is_made};
use crate::work::{Fact, Job, Line, TimeStyle, When};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, LensId, Pass};
use bevelbook_core::sizing::{Basis, Rim, Sizing, Span};
use jiff::tz::TimeZone;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Both eyes side by side, below them the pair and the desk; nothing where a job is only ordered.
pub(super) fn log(job: &Job, zone: &TimeZone) -> Markup {
    let of = |is: fn(&Fact) -> bool| job.lines.iter().filter(move |line| is(&line.fact)).collect::<Vec<_>>();
    let lenses = of(|fact| lens_of(fact).is_some());
    let pair = of(|fact| matches!(fact, Fact::Bench(fact) if fact.pair().is_some()));
    let desk = of(|fact| !matches!(fact, Fact::Bench(_) | Fact::Desk(Desk::Order(_))));
    let clock = &Clock::of(&[&*lenses, &pair, &desk].concat(), zone);
    html! {
        @if !(lenses.is_empty() && pair.is_empty() && desk.is_empty()) {
            section.work {
                h2 { "Work done" @if let Some(day) = &clock.day { span.small { ", " (day) } } }
                @if !lenses.is_empty() {
                    div.eyes {
                        @for eye in Eye::BOTH {
                            div.eye data-eye=(eye) {
                                @for state in &job.lenses[eye.index()] {
                                    (lens(job, LensId { number: state.number, ..job.pair().lens(eye) }, clock))
                                }
                            }
                        }
                    }
                }
                @let pair = pair.into_iter().map(|line| html! { "pair " (told(job, line, clock)) });
                @let desk = desk.into_iter().map(|line| html! { (struck(line.void, &said(&describe(job, line)))) (when(line, clock)) });
                p.fact { (joined(pair.chain(desk))) }
            }
        }
    }
}

/// When things were done. Where all was done on one day, that stands above, and the hour is enough.
struct Clock<'z> {
    zone: &'z TimeZone,
    day: Option<String>,
}

impl<'z> Clock<'z> {
    fn of(lines: &[&Line], zone: &'z TimeZone) -> Self {
        let mut days = lines.iter().map(|line| When::of(line).day(zone, TimeStyle::PRINTED));
        let first = days.next().flatten();
        let day = first.filter(|first| days.all(|day| day.as_ref() == Some(first)));
        Self { zone, day }
    }

    fn told(&self, line: &Line) -> String {
        let told = When::of(line).words(self.zone, TimeStyle::PRINTED);
        let hour = self.day.as_ref().and_then(|day| told.strip_prefix(day));
        hour.map_or(told.clone(), |hour| hour.trim().to_owned())
    }
}

fn lens_of(fact: &Fact) -> Option<LensId> {
    if let Fact::Bench(fact) = fact { fact.lens() } else { None }
}

/// One pass, numbered as it was logged, and the size that it left; a void one leaves none.
struct Row<'j> {
    number: usize,
    line: &'j Line,
    pass: &'j Pass,
    left: Option<(Basis, Span)>,
}

fn lens(job: &Job, of: LensId, clock: &Clock<'_>) -> Markup {
    let course = job.course(of);
    let (mut rows, mut good, mut others) = (Vec::new(), BTreeMap::new(), Vec::new());
    for line in job.lines.iter().filter(|line| lens_of(&line.fact) == Some(of)) {
        match &line.fact {
            Fact::Bench(Bench::Pass(pass)) => {
                let after = course.iter().find(|(id, _)| *id == line.id);
                let left = after.and_then(|(_, lens)| lens.sizing.size);
                rows.push(Row { number: rows.len() + 1, line, pass, left });
            }
            _ => match found_good(job, line) {
                Some((item, how)) => good.entry(how).or_insert_with(Vec::new).push(item),
                None => others.push(line),
            },
        }
    }
    let sizing = course.last().map(|(_, lens)| lens.sizing).unwrap_or_default();
    let nothing = rows.is_empty() && good.is_empty() && others.is_empty();
    let told = others.into_iter().map(|line| told(job, line, clock));
    let good = good.into_iter().map(|(how, items)| {
        let how = if how.is_empty() { how } else { format!(", {how}") };
        html! { "good" (how) ": " bdi { (typeset(&items.join(", "))) } }
    });
    html! {
        div.lens-log {
            @if job.made(of.eye).is_ok() {
                h3 { (of.eye) " lens " (of.number) @if of.number != job.lens_number(of.eye) { ", spoiled" } }
                @if nothing { p.small { "Nothing logged yet." } }
            } @else {
                h3 { (of.eye) " eye: " (what_is_made(job.order.eye(of.eye).wanted)) }
            }
            @if !rows.is_empty() { (passes(&rows, job.order.frame.rim, &sizing, clock)) }
            p.fact { (joined(told.chain(good))) }
        }
    }
}

fn passes(rows: &[Row<'_>], rim: Rim, sizing: &Sizing, clock: &Clock<'_>) -> Markup {
    let tick = |row: &Row<'_>| Some(Tick { number: row.number, left: row.left? });
    let ticks: Vec<Tick> = rows.iter().filter_map(tick).collect();
    html! {
        table.passes {
            thead { tr { @for name in ["pass", "dialled", "size after", "in the rim", "when"] { th scope="col" { (name) } } } }
            tbody { @for row in rows { (pass(row, rim, clock)) } }
        }
        @if let Some(gauge) = gauge(&ticks, sizing) { (gauge) }
    }
}

fn pass(Row { number, line, pass, left }: &Row<'_>, rim: Rim, clock: &Clock<'_>) -> Markup {
    let size = left.map_or_else(|| "not counted".into(), |(basis, span)| format!("{span}, {basis}"));
    html! {
        tr.void[line.void] {
            td { (number) }
            td.dialled { (struck(line.void, &typeset(&pass.dialled.to_string()))) }
            td { (typeset(&size)) }
            td {
                (struck(line.void, rim.words(pass.outcome)))
                @if pass.past { " " span.flag { "in spite of STOP" } }
            }
            td { (when(line, clock)) }
        }
    }
}

fn describe(job: &Job, line: &Line) -> String {
    line.fact.describe(job.order.frame.rim)
}

/// A record of a lens or of the pair in its own words, without whose it is: that stands above.
fn bare(job: &Job, line: &Line) -> String {
    let entered = line.how_entered().and_then(|how| EnteredView::of(&how).words());
    let words = describe(job, line) + &entered.map_or_else(String::new, |words| format!("; {words}"));
    words.split_once(": ").map_or(&*words, |(_, words)| words).to_owned()
}

/// The same with its time.
fn told(job: &Job, line: &Line, clock: &Clock<'_>) -> Markup {
    html! { (struck(line.void, &typeset(&bare(job, line)))) (when(line, clock)) }
}

/// What was looked at and was good, and how that was entered.
fn found_good(job: &Job, line: &Line) -> Option<(String, String)> {
    let is_check = !line.void && matches!(line.fact, Fact::Bench(Bench::Check(_)));
    let words = bare(job, line);
    let (item, how) = words.split_once(": good").filter(|_| is_check)?;
    Some((item.to_owned(), how.trim_start_matches("; ").to_owned()))
}

fn when(line: &Line, clock: &Clock<'_>) -> Markup {
    html! { " " span.when { (clock.told(line)) } }
}

/// Struck through and marked in words, when it is void.
fn struck(void: bool, words: &str) -> Markup {
    html! { @if void { s { bdi { (words) } } " " span.flag { "void" } } @else { bdi { (words) } } }
}
