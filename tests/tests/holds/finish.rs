//! What is looked at on a finished lens is not logged as good for a lens that is not cut.

use crate::shop::{done, open_job};
use bevelbook_tests::{Output, Shop};

/// Job 1, of which nothing is cut.
fn uncut() -> Shop {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    open_job(&shop, 1);
    shop
}

fn records(shop: &Shop) -> usize {
    done(shop, &["job", "show", "1", "--json"]).json()["records"].as_array().unwrap().len()
}

/// Runs what must be refused for lenses that are not cut, with nothing logged; what the refusal says.
fn refused(shop: &Shop, command: &str) -> String {
    let before = records(shop);
    let Output { status, stdout, stderr } = shop.run(command.split(' '));
    assert_eq!((status, stdout.as_str()), (Some(2), ""), "{command}: {stderr}");
    assert!(stderr.contains("cut"), "{command}: {stderr}");
    assert_eq!(records(shop), before, "{command} logged something");
    stderr
}

#[test]
fn finish_is_refused_while_no_lens_is_cut_and_says_which() {
    let shop = uncut();
    let said = refused(&shop, "record check 1 finish");
    assert!(said.contains("right") && said.contains("left") || said.contains("pair"), "{said}");
    for (eye, other) in [("right", "left"), ("left", "right")] {
        let said = refused(&shop, &format!("record check 1 finish {eye}"));
        assert!(said.contains(eye) && !said.contains(other), "{said}");
    }
}

#[test]
fn finish_is_refused_as_a_whole_while_one_lens_is_not_cut() {
    let shop = uncut();
    done(&shop, &["record", "pass", "1", "r", "0.20", "fits"]);
    let said = refused(&shop, "record check 1 finish");
    assert!(said.contains("left") && !said.contains("right"), "{said}");
    // The lens that is cut can be looked at.
    done(&shop, &["record", "check", "1", "finish", "right"]);
    done(&shop, &["record", "pass", "1", "l", "0.20", "fits"]);
    done(&shop, &["record", "check", "1", "finish"]);
}

#[test]
fn a_lens_that_is_not_cut_is_not_firm_in_its_rim_and_has_no_bevel() {
    let shop = uncut();
    for item in ["firm", "bevel", "strain"] {
        refused(&shop, &format!("record check 1 {item} right"));
    }
}

#[test]
fn a_lens_that_was_made_again_is_not_cut() {
    let shop = uncut();
    for eye in ["r", "l"] {
        done(&shop, &["record", "pass", "1", eye, "0.20", "fits"]);
    }
    done(&shop, &["job", "remake", "1", "left", "--cause", "damaged", "--bearer", "shop"]);
    let said = refused(&shop, "record check 1 finish");
    assert!(said.contains("left") && !said.contains("right"), "{said}");
}
