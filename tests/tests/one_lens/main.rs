//! Jobs for one lens, and jobs with a balance lens, through every command as a person runs it.
//!
//! An eye for which nothing is made (`none`, or `old` with the power of the lens that stays) has no work, and nobody is
//! asked for any. A balance lens (`bal`, with or without a power) is edged and fitted like any other.
//!
//! - `plan`: what is planned for each eye; `record`: what is taken of each, and what refused; `keypad`: what is taken in
//!   of one that held an older card; `sheet`: what is printed; `whole`: jobs to their end.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

#[path = "../bench/mod.rs"]
mod bench;
mod keypad;
mod plan;
mod record;
mod sheet;
mod whole;

use bench::{ABSOLUTE, done, refused};
use bevelbook_tests::{Shop, usual_order};

/// Both eyes, as flags and as words.
const EYES: [&str; 2] = ["right", "left"];

/// The eye on the other side.
fn other(eye: &str) -> &'static str {
    if eye == "right" { "left" } else { "right" }
}

/// A shop with the usual order as job 1, of which `eye` is ordered as `order`, with `changes` beside it.
fn shop_with(eye: &str, order: &str, changes: &[[&str; 2]]) -> Shop {
    let shop = Shop::new();
    let flag = format!("--{eye}");
    let all: Vec<[&str; 2]> =
        [[&*flag, order], ["--ed", "53"]].into_iter().chain(changes.iter().copied()).collect();
    done(&shop, usual_order(&all));
    shop
}

/// The same with the station's dial stated.
fn stated(shop: Shop) -> Shop {
    done(&shop, ["station", "dial"].iter().chain(&ABSOLUTE));
    shop
}
