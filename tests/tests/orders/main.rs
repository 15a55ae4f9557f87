//! Orders as people write them, and what is said of them.
//!
//! - `bench`: treatments, materials and the other fields, in the order and in the plan.
//! - `files`: batches, and what is said of them.
//! - `frames`: what a model brings along.
//! - `notations`: prescriptions, rims and designs as the trade writes them.
//! - `worn`: how the frame sits before the face.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod bench;
mod files;
mod frames;
mod notations;
mod worn;

use bevelbook_tests::{Output, Shop, usual_order};

/// The usual order with `changes`, in a shop of its own.
fn opened(changes: &[[&str; 2]]) -> (Shop, Output) {
    let shop = Shop::new();
    let order = usual_order(changes).into_iter().chain(["--json".to_owned()]);
    let output = shop.run(order);
    (shop, output)
}

/// It is refused, all of `words` are said of it, and no book was begun.
fn assert_refused(changes: &[[&str; 2]], words: &[&str]) {
    let (shop, output) = opened(changes);
    assert!(output.status.is_some_and(|status| status != 0) && output.stdout.is_empty(), "{output:?}");
    for word in words {
        assert!(output.stderr.contains(word), "{word:?} is not said: {}", output.stderr);
    }
    let jobs = shop.run(["job", "list", "--json"]);
    assert!(!jobs.stdout.contains("K-17"), "{jobs:?}");
}

fn done((shop, output): (Shop, Output)) -> (Shop, Output) {
    assert_eq!(output.status, Some(0), "{output:?}");
    (shop, output)
}
