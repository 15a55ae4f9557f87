//! A shop with one job at the bench, for the tests of `record` and `station`.
#![allow(dead_code, reason = "each test binary takes what it needs")]
#![allow(clippy::unwrap_used, reason = "all of this is called by tests alone")]

use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;

pub(crate) const ABSOLUTE: [&str; 5] = ["--basis", "diameter", "--absolute", "--step", "0.05"];

/// A shop with job 1 and a station that has not stated its dial.
pub(crate) fn without_station(rim: &str) -> Shop {
    let shop = Shop::new();
    let left = ["--left", "-2.00 -0.50 x 160 prism 1 up"];
    done(&shop, usual_order(&[left, ["--rim", rim]]));
    shop
}

/// A shop with job 1, and the dial stated.
pub(crate) fn bench(dial: &[&str]) -> Shop {
    let shop = without_station("metal");
    done(&shop, ["station", "dial"].iter().chain(dial));
    shop
}

/// Runs what must succeed.
pub(crate) fn done<S: AsRef<std::ffi::OsStr> + std::fmt::Debug>(
    shop: &Shop,
    args: impl IntoIterator<Item = S>,
) -> Output {
    let args: Vec<S> = args.into_iter().collect();
    let output = shop.run(&args);
    assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
    output
}

/// Runs what must be refused with `status`, and gives what the error says.
pub(crate) fn refused<S: AsRef<std::ffi::OsStr> + std::fmt::Debug>(
    shop: &Shop,
    args: impl IntoIterator<Item = S>,
    status: i32,
) -> String {
    let args: Vec<S> = args.into_iter().collect();
    let output = shop.run(&args);
    assert_eq!((output.status, output.stdout.as_str()), (Some(status), ""), "{args:?}: {output:?}");
    output.stderr
}

/// The records of job 1.
pub(crate) fn records(shop: &Shop) -> Vec<Value> {
    done(shop, ["job", "show", "1", "--json"]).json()["records"].as_array().unwrap().clone()
}

pub(crate) fn pass(shop: &Shop, eye: &str, size: &str, outcome: &str) -> Output {
    done(shop, ["record", "pass", "1", eye, size, outcome])
}

pub(crate) fn pass_json(shop: &Shop, eye: &str, size: &str, outcome: &str) -> Value {
    done(shop, ["record", "pass", "1", eye, size, outcome, "--json"]).json()
}
