//! How big to cut, by what the book holds, as a person at the console meets it: in `plan`, on the sheet, in the answer to a
//! pass. Where it can be, an answer is compared with a naive count of the passes that were typed.
//!
//! - `tells`: whose lenses count, and what is said of them.
//! - `follows`: what is dialled next, and what is recorded as advised.
//! - `silent`: where the book tells nothing, or something else goes before.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod follows;
mod silent;
mod tells;

use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;

fn done(output: Output) -> Output {
    assert_eq!(output.status, Some(0), "{output:?}");
    output
}

/// A shop whose dial counts what a lens is larger than its trace.
fn shop() -> Shop {
    let shop = Shop::new();
    dial(&shop, &["--basis", "diameter", "--absolute", "--step", "0.05"]);
    shop
}

fn dial(shop: &Shop, flags: &[&str]) {
    done(shop.run(["station", "dial"].iter().chain(flags)));
}

/// Opens a job for a frame that needs no caution; its number.
fn open(shop: &Shop, frame: &str, changes: &[[&str; 2]]) -> String {
    let usual = [["--frame", frame], ["--ed", "53"], ["--heights", "20"]];
    let order = usual_order(&[&usual, changes].concat());
    done(shop.run(order.into_iter().chain(["--json".to_owned()]))).json()["job"].to_string()
}

/// Types passes of one lens: sizes, and what was felt.
fn pass(shop: &Shop, job: &str, eye: &str, passes: &[[&str; 2]]) {
    for [size, felt] in passes {
        done(shop.run(["record", "pass", job, eye, size, felt]));
    }
}

/// Opens a job and sizes both of its lenses: a touch too big at the first size, and firm at the second.
fn pair(shop: &Shop, frame: &str, touch: &str, fits: &str) -> String {
    let job = open(shop, frame, &[]);
    for eye in ["right", "left"] {
        pass(shop, &job, eye, &[[touch, "touch"], [fits, "fits"]]);
    }
    job
}

fn plan(shop: &Shop, job: &str) -> Value {
    done(shop.run(["plan", job, "--json"])).json()
}

/// What a line of the plan says behind its name, and all that follows in one line.
fn said(shop: &Shop, job: &str, name: &str) -> String {
    let text = done(shop.run(["plan", job])).stdout;
    let line = text.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(' '));
    line.unwrap_or_else(|| panic!("no {name}: {text}")).trim().to_owned()
}

/// The first size that is to be dialled, and whether the book advises one.
fn first(plan: &Value) -> (f64, bool) {
    (plan["first_size"]["dialled_mm"].as_f64().unwrap(), plan["advice"].is_object())
}
