//! Looking after the book: backups, and what comes of them.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod beside;
mod conflicts;
mod daily;
mod damage;
mod forget;
mod moves;
mod restore;
mod transfer;
mod versions;

use bevelbook_tests::{Output, Shop, usual_order};
use std::ffi::OsStr;
use std::fmt::Debug;

/// Runs what must succeed.
fn done<S: AsRef<OsStr> + Debug>(shop: &Shop, args: impl IntoIterator<Item = S>) -> Output {
    let args: Vec<S> = args.into_iter().collect();
    let output = shop.run(&args);
    assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
    output
}

/// Opens a job for a customer.
fn open_job(shop: &Shop, customer: &str) {
    done(shop, usual_order(&[["--customer", customer]]));
}

/// The customers of the jobs in the book.
fn customers(shop: &Shop) -> Vec<String> {
    let jobs = done(shop, ["job", "list", "--json"]).json();
    jobs.as_array().unwrap().iter().map(|job| job["reference"].as_str().unwrap().to_owned()).collect()
}
