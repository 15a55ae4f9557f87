//! Several stations that keep one book, as people type it: each has a dial, a wheel and keypads of its own, and a shop with one
//! sees nothing of that.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod dials;
#[cfg(unix)]
mod twins;
mod wheels;
mod who;

use bevelbook_tests::{Output, Shop, usual_order};

fn done(shop: &Shop, args: &[&str]) -> Output {
    let output = shop.run(args);
    assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
    output
}

fn refused(shop: &Shop, args: &[&str]) -> String {
    let output = shop.run(args);
    assert!(output.status != Some(0) && output.stdout.is_empty(), "{args:?}: {output:?}");
    output.stderr
}

/// A shop of two stations: the dial of the first has steps of 0.05, that of the second takes off girth in tenths.
fn shop() -> Shop {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    done(&shop, &["station", "name", "Edge 1"]);
    done(&shop, &["station", "add", "Edge 2"]);
    let second = ["--basis", "diameter", "--absolute", "--step", "0.10", "--station", "Edge 2"];
    done(&shop, &[&["station", "dial"][..], &second].concat());
    shop
}

/// Opens a job with a frame; its number.
fn open(shop: &Shop, frame: &str) -> String {
    let order = usual_order(&[["--frame", frame], ["--ed", "53"], ["--heights", "20"]]);
    let output = shop.run(order.into_iter().chain(["--json".to_owned()]));
    assert_eq!(output.status, Some(0), "{output:?}");
    output.json()["job"].to_string()
}
