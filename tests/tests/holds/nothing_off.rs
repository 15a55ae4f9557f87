//! After a pass that was broken off the guard refuses what would grind the lens past its fit, by the size that was
//! dialled, and nothing else.

use crate::shop::done;
use bevelbook_tests::{Output, Shop, usual_order};

/// A right lens that fits at +0.20 and may be as small as +0.10: a pass to there was insisted on and broken off.
fn broken_off(dial: &[&str]) -> Shop {
    let shop = Shop::new();
    done(&shop, &[&["station", "dial", "--basis", "diameter", "--step", "0.05"], dial].concat());
    done(&shop, &usual_order(&[]));
    shop
}

fn pass(shop: &Shop, size: &str, more: &[&str]) -> Output {
    shop.run([&["record", "pass", "1", "r", size], more].concat())
}

fn absolute() -> Shop {
    let shop = broken_off(&["--absolute"]);
    assert_eq!(pass(&shop, "0.20", &["fits"]).status, Some(0));
    assert_eq!(pass(&shop, "0.10", &["abandoned", "--past"]).status, Some(0));
    shop
}

#[test]
fn a_size_that_takes_nothing_off_is_allowed() {
    for size in ["0.20", "0.25", "0.60"] {
        let output = pass(&absolute(), size, &["fits"]);
        assert_eq!(output.status, Some(0), "{size}: {output:?}");
        // Not in spite of STOP either: nothing was insisted on.
        assert!(!output.stdout.contains("in spite of STOP"), "{size}: {output:?}");
    }
}

#[test]
fn a_size_that_may_take_something_off_is_refused_by_its_own_name() {
    // At 0.15 mm the lens may be already; it may also be ground to there.
    for (size, named) in [("0.15", "+0.15 mm"), ("0.10", "+0.10 mm"), ("0.05", "+0.05 mm")] {
        let output = pass(&absolute(), size, &["fits"]);
        assert_eq!(output.status, Some(2), "{size}: {output:?}");
        assert!(output.stderr.contains("fits this rim at +0.20 mm"), "{size}: {output:?}");
        assert!(output.stderr.contains(&format!("{named} on diameter would go past it")), "{output:?}");
    }
}

#[test]
fn taking_nothing_off_is_allowed_where_the_dial_counts_what_is_taken_off() {
    let shop = broken_off(&["--take-off-from", "0.60"]);
    assert_eq!(pass(&shop, "0.40", &["fits"]).status, Some(0));
    assert_eq!(pass(&shop, "0.10", &["abandoned", "--past"]).status, Some(0));
    let something = pass(&shop, "0.05", &["fits"]);
    assert_eq!(something.status, Some(2), "{something:?}");
    let nothing = pass(&shop, "0", &["fits"]);
    assert_eq!(nothing.status, Some(0), "{nothing:?}");
}
