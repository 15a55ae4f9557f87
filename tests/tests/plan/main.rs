//! `plan` as a person runs it: from a trace or from sizes to blank, optical centre and thickness.
//!
//! - `screen`: what the hand goes by, on one screen.
//! - `trace`: orders that carry the trace of their frame.
//! - `lines`: what a focimeter shows.
//! - `curves`: base curves.
//! - `rim`: how a lens sits in its rim.
//! - `lens`: blank, optical centre, thickness, and the materials they rest on.
//! - `wedge`: lenses with prescribed prism.
//! - `least`: how thick a lens has to be, and what is said of one that is not.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod curves;
mod least;
mod lens;
mod lines;
mod rim;
mod screen;
mod trace;
mod wedge;

use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;
use std::fs;

/// A frame record made up for this project: 36 points an eye, the left one the mirror of the right one.
const RECORD: &str = include_str!("../../../core/tests/vectors/record.txt");

/// A shop whose folder holds `record` as frame.txt.
fn shop(record: &str) -> Shop {
    let shop = Shop::new();
    fs::write(shop.folder().join("frame.txt"), record).unwrap();
    shop
}

/// The usual order without its sizes, with a trace and `changes`.
fn traced(changes: &[[&str; 2]]) -> Vec<String> {
    let order = usual_order(changes);
    let sizes = ["--a", "--b", "--dbl"];
    let typed = |flag: &str| changes.iter().any(|change| change[0] == flag);
    let (command, flags) = order.split_at(2);
    let kept = flags.chunks(2).filter(|pair| !sizes.contains(&pair[0].as_str()) || typed(&pair[0]));
    let trace = ["--trace", "frame.txt"].map(str::to_owned);
    command.iter().cloned().chain(kept.flatten().cloned()).chain(trace).collect()
}

fn done(output: Output) -> Output {
    assert_eq!(output.status, Some(0), "{output:?}");
    output
}

fn plan(shop: &Shop) -> Value {
    done(shop.run(["plan", "1", "--json"])).json()
}

/// All of the plan as text, in one line.
fn whole(shop: &Shop) -> String {
    done(shop.run(["plan", "1", "--full"])).words()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn assert_near(found: &Value, expected: f64) {
    assert!((number(found) - expected).abs() < 0.0015, "{found} for {expected}");
}
