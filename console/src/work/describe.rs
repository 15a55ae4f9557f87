//! A record in one line of words.

use super::Fact;
use crate::desk::{Choices, Closing, Desk, Keep, Placement, Settlement};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, CentreDistance, Check, CheckItem, Clock, Flow, GirthOf, LensId, Read, Reading, StationEvent,
    Subject,
};
use bevelbook_core::sizing::{Counting, Dial, Rim};
use bevelbook_core::tolerance::Verdict;
use jiff::Timestamp;

impl Fact {
    /// What the record says, in the words that suit `rim`.
    #[must_use]
    pub fn describe(&self, rim: Rim) -> String {
        match self {
            Self::Bench(fact) => describe_bench(fact, rim),
            Self::Desk(fact) => describe_desk(fact),
            Self::Unknown(kind) => format!("a record of kind {kind}, which this version does not know"),
            Self::Damaged(what) => format!("a record that cannot be read: {what}"),
        }
    }
}

fn describe_bench(fact: &Bench, rim: Rim) -> String {
    match fact {
        Bench::Mark(mark) => {
            let dot = if mark.prism.is_none() {
                "on the OC".to_owned()
            } else {
                format!("where it shows {}", mark.prism)
            };
            format!("{}: spotted at {}, {dot}", lens_words(mark.lens), mark.axis)
        }
        Bench::Pass(pass) => {
            let insisted = if pass.past { ", in spite of STOP" } else { "" };
            let (dialled, felt) = (pass.dialled, rim.words(pass.outcome));
            let basis = dialled.basis;
            let advised = pass.refused().map_or_else(String::new, |advised| format!(", advised {advised}"));
            let lens = lens_words(pass.lens);
            format!("{lens}: {dialled} on {basis}: {} ({felt}){advised}{insisted}", pass.outcome)
        }
        Bench::Reading(reading) => describe_reading(reading),
        Bench::CentreDistance(distance) => {
            let heights = heights_words(distance);
            let heights = heights.map_or(String::new(), |heights| format!(", heights {heights} mm"));
            format!("pair: PD {} mm{heights}", distance.centres)
        }
        Bench::Girth(girth) => {
            let of = match girth.of {
                GirthOf::Lens => "girth",
                GirthOf::Rim => "rim girth",
            };
            format!("{}: {of} {} mm", lens_words(girth.lens), girth.girth)
        }
        Bench::Check(Check { of, item, good, .. }) => {
            let subject = match of {
                Subject::Lens(lens) => lens_words(*lens),
                Subject::Pair(_) => "pair".into(),
            };
            format!("{subject}: {item}: {}", if *good { "good" } else { "NOT good" })
        }
        Bench::Void(void) => format!("undone: {}", void.target),
        Bench::Station(event) => describe_station(event),
        Bench::NewLens(new) => format!("{}: remake, lens {}", new.lens.eye, new.lens.number),
        Bench::Spoiled(spoiled) => format!("{}: spoiled, {}", lens_words(spoiled.lens), spoiled.cause),
        Bench::Clock(Clock { utc_s: Some(said) }) => match Timestamp::from_second((*said).into()) {
            Ok(said) => format!("keypad's clock: {said}"),
            Err(_) => format!("keypad's clock: {said} s since 1970"),
        },
        Bench::Clock(Clock { utc_s: None }) => {
            "keypad's clock stood still: nothing is dated by it (is its battery empty?)".into()
        }
        Bench::Opened(opened) => format!("walk-in opened, {}", opened.rim.named()),
    }
}

fn describe_reading(reading: &Reading) -> String {
    let stage = match reading.stage {
        bevelbook_core::record::Stage::Uncut => "uncut",
        bevelbook_core::record::Stage::Mounted => "mounted",
    };
    let mut text = format!("{}: read {stage} ", lens_words(reading.lens));
    match reading.read {
        Read::Direct(power) => text.push_str(&power.to_string()),
        Read::Lines { first, second, wheel } => {
            let power = reading.read.power();
            text.push_str(&format!("{power} (lines {first} and {second}, axis {wheel})"));
        }
    }
    if let Some(prism) = reading.prism {
        text.push_str(&format!(", prism {prism}"));
    }
    if let Some(add) = reading.add {
        text.push_str(&format!(", add {add}"));
    }
    text
}

fn describe_station(event: &StationEvent) -> String {
    match event {
        StationEvent::Dial(dial) => format!("station: {}", dial_words(dial)),
        StationEvent::NewWheel => "station: new wheel".into(),
        StationEvent::Recalibrated => "station: dressed, recalibrated".into(),
    }
}

/// The heights that were measured, right and left, as they are typed.
#[must_use]
pub fn heights_words(measured: &CentreDistance) -> Option<String> {
    let height = |eye| measured.height(eye).map_or("-".into(), |height| height.to_string());
    measured.heights.map(|_| Eye::BOTH.map(height).join("/"))
}

/// What a dial counts, in words.
#[must_use]
pub fn dial_words(dial: &Dial) -> String {
    let counting = match dial.counting {
        Counting::Absolute => "+ to the trace".to_owned(),
        Counting::TakeOff { from } => format!("amount to take off, first cut from {:+} mm", from.fine()),
    };
    format!("sizes on {}, {counting}, steps of {} mm", dial.basis, dial.step)
}

fn lens_words(lens: LensId) -> String {
    let eye: Eye = lens.eye;
    match lens.number {
        1 => eye.to_string(),
        number => format!("{eye} (lens {number})"),
    }
}

fn although(despite: &Option<String>) -> String {
    despite.as_ref().map_or(String::new(), |why| format!(", although: {why}"))
}

fn describe_desk(fact: &Desk) -> String {
    match fact {
        Desk::Order(order) => format!("job {} opened for {}", order.number, order.customer),
        Desk::Amendment(amendment) => {
            format!("order amended ({}): {}", amendment.fields().join(", "), amendment.why)
        }
        Desk::Arrival(arrival) => {
            let blank = arrival.blank.map_or_else(String::new, |blank| format!(", {blank} mm blank"));
            let what = if arrival.what.is_empty() { String::new() } else { format!(": {}", arrival.what) };
            format!("{} lens {} arrived{blank}{what}", arrival.eye, arrival.lens)
        }
        Desk::Note(note) => format!("note: {}", note.text),
        Desk::Remake(remake) => {
            let story = if remake.story.is_empty() { String::new() } else { format!(": {}", remake.story) };
            let (cause, bearer) = (remake.cause.words(), remake.bearer.words());
            format!("{}: remake, lens {}: {cause}, {bearer}{story}", remake.eye, remake.lens)
        }
        Desk::SignOff(signed) => {
            let verdict = match signed.verdict {
                Verdict::Out => "OUT".into(),
                other => other.to_string(),
            };
            format!(
                "signed off by {}: {verdict} by {}{}",
                signed.by,
                signed.standard,
                although(&signed.despite)
            )
        }
        Desk::Closing(Closing { how, despite, .. }) => format!("closed: {how}{}", although(despite)),
        Desk::Reopening(again) => format!("opened again {}: {}", again.reason.words(), again.why),
        Desk::Filing(filing) => format!("walk-in {} attached", filing.from),
        Desk::Making(making) => making.words(),
        Desk::Segments(segments) => format!("pair: {}", segments.words()),
        Desk::Choices(Choices { habit, flow, judged_by, advised_by }) => {
            let steps = format!("steps of {} and {} mm on {}", habit.step_far, habit.step_just, habit.basis);
            let left = if flow.left_first { ", the left eye first" } else { "" };
            let fine = if flow.hundredths { ", readings in hundredths" } else { "" };
            let out: Vec<&str> =
                Flow::CHECKS.into_iter().filter(|item| !flow.asks(*item)).map(CheckItem::words).collect();
            let out = if out.is_empty() { String::new() } else { format!(", not asked: {}", out.join("; ")) };
            let book =
                if advised_by.is_empty() { String::new() } else { format!("; by the book {advised_by}") };
            format!("keypads are told: {steps}{left}{fine}{out}, judged by {judged_by}{book}")
        }
        Desk::Settlement(Settlement { record, keep, .. }) => match keep {
            Keep::Book => format!("of two records {record}, the one in the book counts"),
            Keep::Arrived => format!("of two records {record}, the one that arrived counts"),
        },
        Desk::Naming(naming) => format!("station called {}", naming.name),
        Desk::Placement(Placement { journal, from, upto, .. }) => match upto {
            Some(upto) if upto == from => format!("record {journal}:{from} is a station's own"),
            Some(upto) => format!("records {journal}:{from} to {upto} are a station's own"),
            None => format!("from record {from} on {journal} stands at a station"),
        },
        Desk::Met(met) => format!("keypad {} was here, in its start {}", met.journal, met.boot),
        Desk::Adoption(adoption) => format!("keypad {} added as {}", adoption.journal, adoption.name),
    }
}
