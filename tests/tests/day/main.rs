//! What is said of a job wherever jobs are listed, and the day's view of all of them, as a person runs them.
//!
//! - `amended`: an order that is changed when work was done by it.
//! - `closing`: how a job ends.
//! - `find`: jobs by what is known of one; `today`: the day on one screen.
//! - `status`: what a job waits for, and that one that is out says so everywhere.
//! - `trays`: which job is meant by a number, a tray, a name.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod amended;
#[path = "../bench/mod.rs"]
mod bench;
mod closing;
mod find;
mod status;
mod today;
mod trays;

use bench::{ABSOLUTE, done};
use bevelbook_tests::{Shop, usual_order};
use serde_json::Value;

/// The powers of the usual order, right and left.
const ORDERED: [(&str, &str); 2] = [("right", "-1.25 -0.75 x 15"), ("left", "-2.00 -0.50 x 160")];

/// A shop with a stated dial and the usual order as job 1.
fn shop() -> Shop {
    let shop = Shop::new();
    done(&shop, ["station", "dial"].iter().chain(&ABSOLUTE));
    done(&shop, usual_order(&[["--ed", "53"], ["--tray", "4"]]));
    shop
}

/// Works the pair of job `number` to its end; in the frame its lenses read as these.
fn work(shop: &Shop, number: &str, mounted: [&str; 2]) {
    for ((eye, power), read) in ORDERED.into_iter().zip(mounted) {
        let reading = |stage, power| {
            let flags = ["--stage", stage, "--direct", power, "--prism", "0"];
            done(shop, ["record", "reading", number, eye].into_iter().chain(flags));
        };
        reading("uncut", power);
        done(shop, ["record", "mark", number, eye]);
        done(shop, ["record", "pass", number, eye, "0.20", "fits"]);
        reading("mounted", read);
    }
    done(shop, ["record", "pd", number, "31.5/31"]);
    done(shop, ["record", "check", number, "finish"]);
}

/// The pair as ordered, and one whose right lens is out.
const GOOD: [&str; 2] = [ORDERED[0].1, ORDERED[1].1];
const OUT: [&str; 2] = ["-1.75 -0.75 x 15", ORDERED[1].1];

/// What the list of all jobs says of job `number`.
fn listed(shop: &Shop, number: u64) -> Value {
    let jobs = done(shop, ["job", "list", "--all", "--json"]).json();
    jobs.as_array().unwrap().iter().find(|job| job["job"] == number).unwrap().clone()
}
