//! Lenses with segments as a person orders and plans them, and pairs of unequal lenses where their wearer reads.
//!
//! - `reference`: where a segment, its blank and its optical centres come to lie, and what prism that gives, by shapely and
//!   numpy.
//! - `job`: whole jobs, from order to sheet.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod job;
mod reference;

use bevelbook_tests::{Output, Shop};
use serde_json::Value;

fn done(output: Output) -> Output {
    assert_eq!(output.status, Some(0), "{output:?}");
    output
}

fn plan(shop: &Shop) -> Value {
    done(shop.run(["plan", "1", "--json"])).json()
}

/// All of the plan as text.
fn whole(shop: &Shop) -> String {
    done(shop.run(["plan", "1", "--full"])).stdout
}

fn assert_near(found: &Value, expected: f64, what: &str) {
    let found = found.as_f64().unwrap_or_else(|| panic!("{what}: {found} is no number"));
    assert!((found - expected).abs() < 0.0021, "{what}: {found} for {expected}");
}
