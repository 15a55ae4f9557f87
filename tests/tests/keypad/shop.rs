//! A shop with jobs that wait for sizing.

use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;
use std::ffi::OsStr;
use std::fmt::Debug;

/// Runs what must succeed.
pub(crate) fn done<S: AsRef<OsStr> + Debug>(shop: &Shop, args: &[S]) -> Output {
    let output = shop.run(args);
    assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
    output
}

/// Opens job `number`, the next one.
pub(crate) fn open_job(shop: &Shop, number: u32) {
    let tray = number.to_string();
    done(shop, &usual_order(&[["--tray", &tray]]));
}

/// A shop with `jobs` jobs that are sized next: a first pass of each eye was typed in.
pub(crate) fn at_sizing(jobs: u32) -> Shop {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    for number in 1..=jobs {
        open_job(&shop, number);
        for eye in ["r", "l"] {
            done(&shop, &["record", "pass", &number.to_string(), eye, "0.6", "far"]);
        }
    }
    shop
}

/// The records of the one keypad in the book, in its own order, gaps among them.
pub(crate) fn log(shop: &Shop) -> Vec<Value> {
    let keypads = done(shop, &["keypad", "list", "--json"]).json();
    let keypads = keypads["keypads"].as_array().unwrap();
    assert_eq!(keypads.len(), 1, "{keypads:?}");
    let journal = keypads[0]["journal"].as_str().unwrap();
    done(shop, &["keypad", "log", journal, "--json"]).json().as_array().unwrap().clone()
}

/// The numbers in [`log`]; a gap fails.
pub(crate) fn numbers(shop: &Shop) -> Vec<u64> {
    log(shop).iter().map(|record| record["seq"].as_u64().unwrap_or_else(|| panic!("{record}"))).collect()
}

/// Asserts that the book has the numbers 1 to `last` of the keypad, each once, none missing.
pub(crate) fn assert_whole(shop: &Shop, last: u64) {
    assert_eq!(numbers(shop), (1..=last).collect::<Vec<u64>>());
    assert_eq!(done(shop, &["book", "check"]).status, Some(0));
}
