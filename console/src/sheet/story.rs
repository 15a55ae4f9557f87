//! What concerns the pair and the job: measured centres, checks of the pair, and what the desk wrote.

use super::log::{checks, struck};
use super::words::{said, time};
use crate::desk::Desk;
use crate::work::{Fact, Job, Line};
use bevelbook_core::record::{Bench, CentreDistance, Check};
use jiff::tz::TimeZone;
use maud::{Markup, html};

/// The pair's own facts; nothing when there are none.
pub(super) fn pair_log(job: &Job, zone: &TimeZone) -> Markup {
    let facts = || job.lines.iter().filter_map(bench);
    html! {
        @for (line, fact) in facts() {
            @if let Bench::CentreDistance(centres) = fact {
                p.fact {
                    (struck(line.void, &html! { (centres_words(centres)) }))
                    " " span.when { (time(line.at, zone)) }
                }
            }
        }
        (checks(facts().filter_map(pair_check)))
    }
}

fn bench(line: &Line) -> Option<(&Line, &Bench)> {
    match &line.fact {
        Fact::Bench(fact) => Some((line, fact)),
        _ => None,
    }
}

fn pair_check<'a>((line, fact): (&'a Line, &'a Bench)) -> Option<(&'a Line, &'a Check)> {
    match fact {
        Bench::Check(check) if fact.pair().is_some() => Some((line, check)),
        _ => None,
    }
}

fn centres_words(centres: &CentreDistance) -> String {
    let [right, left] = centres.pair.numbers;
    let heights =
        centres.heights.map_or_else(String::new, |[right, left]| format!(", heights {right}/{left} mm"));
    format!("PD of lenses {right} and {left}: {} mm{heights}", centres.centres)
}

/// What the desk wrote since the order: amendments, arrivals, notes, remakes, sign-offs, the closing.
pub(super) fn desk_log(job: &Job, zone: &TimeZone) -> Markup {
    let unknown = job.lines.iter().filter(|line| matches!(line.fact, Fact::Unknown(_))).count();
    let told: Vec<(&Line, Markup)> = job
        .lines
        .iter()
        .filter_map(|line| match &line.fact {
            Fact::Desk(fact) => Some((line, told(fact)?)),
            _ => None,
        })
        .collect();
    html! {
        @for (line, markup) in &told {
            p.fact { (struck(line.void, markup)) " " span.when { (time(line.at, zone)) } }
        }
        @if unknown > 0 {
            p.fact { (unknown) " record(s) of kinds that this version does not know." }
        }
    }
}

fn told(fact: &Desk) -> Option<Markup> {
    Some(match fact {
        Desk::Order(_) => return None,
        Desk::Amendment(amendment) => {
            html! { b { "amended" } " " (said(&amendment.fields().join(", "))) ": " (said(&amendment.why)) }
        }
        Desk::Arrival(arrival) => {
            html! { b { "arrived" } " " (arrival.eye) " lens " (arrival.lens) " " (said(&arrival.what)) }
        }
        Desk::Note(note) => html! { b { "note" } " " (said(&note.text)) },
        Desk::Remake(remake) => html! {
            b { "remake" } " as " (remake.eye) " lens " (remake.lens) ": " (remake.cause.words()) "; "
            (remake.bearer.words())
            @if !remake.story.is_empty() { "; " (said(&remake.story)) }
        },
        Desk::SignOff(signed) => html! { b { "signed off" } " by " (said(&signed.by)) ": " (signed.verdict) },
        Desk::Closing(closing) => html! { b { "closed" } " " (said(&closing.how)) },
        Desk::Filing(filing) => html! { b { "filed" } " what a keypad logged as job " (filing.from) },
        Desk::Making(making) => html! { b { "measured" } " " (said(&making.words())) },
        Desk::Segments(segments) => html! { b { "measured" } " " (segments.words()) },
        Desk::Adoption(_) | Desk::Choices(_) => return None,
    })
}
