//! `history`, run as a person runs it: its figures against those of a book that was drawn by chance, its table, its CSV and
//! its plot.
//!
//! What a pair, a fit or a pause is stands in the command's help: our choice, no source.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on fails")]

#[path = "../holds/model/chance.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod chance;
mod clock;
mod draw;
mod faces;
mod naive;
mod truth;

use chance::Chance;
use draw::drawn;
use naive::{By, rows};
use serde_json::Value;
use truth::Drawn;

/// What the console shows of a drawn book.
fn history(drawn: &Drawn, args: &[&str]) -> Vec<Value> {
    let args: Vec<&str> = ["history", "--json"].iter().chain(args).copied().collect();
    let output = drawn.command().args(&args).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{args:?}: {output:?}");
    serde_json::from_slice::<Value>(&output.stdout).unwrap().as_array().unwrap().clone()
}

/// In an order of its own: that of the rows is another question. So is in which letters a model was written first.
fn sorted(mut rows: Vec<Value>) -> Vec<String> {
    for row in &mut rows {
        if let Some(Value::String(frame)) = row.get_mut("frame") {
            *frame = frame.to_lowercase();
        }
    }
    rows.sort_by_key(ToString::to_string);
    rows.iter().map(|row| format!("{row:#}")).collect()
}

fn compare(seed: u64, jobs: u32) {
    let drawn = drawn(&mut Chance(seed), jobs);
    for (name, by) in [
        ("day", By::Day),
        ("month", By::Month),
        ("frame", By::Frame),
        ("material", By::Material),
        ("cause", By::Cause),
        ("total", By::Total),
    ] {
        for (from, to) in [(None, None), (Some("2026-02-03"), None), (Some("2026-01-28"), Some("2026-02-11"))]
        {
            let mut args = vec![name];
            from.iter().for_each(|from| args.extend(["--since", from]));
            to.iter().for_each(|to| args.extend(["--until", to]));
            let expected = sorted(rows(&drawn.truth, by, from, to));
            assert_eq!(sorted(history(&drawn, &args)), expected, "seed {seed}, {args:?}");
        }
    }
}

#[test]
fn every_figure_is_that_of_the_drawn_book() {
    (1..4).for_each(|seed| compare(seed, 60));
}

#[test]
#[ignore = "long; tests/run --long"]
fn long_run() {
    (4..60).for_each(|seed| compare(seed, 150));
}
