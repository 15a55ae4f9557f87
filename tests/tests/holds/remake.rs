//! The cause of a new lens that the keypad began is told to that lens only while nothing was logged of it.

use crate::ends::{Ends, standing};
use crate::shop::{done, open_job};
use bevelbook_tests::{Output, Shop};
use serde_json::json;

/// Job 1, of which nothing is done, and whose right lens the keypad has begun anew.
fn begun_anew() -> Ends {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    open_job(&shop, 1);
    let mut ends = Ends::of(shop);
    ends.until("job 1 (");
    ends.press(&["centre"]);
    ends.new_right_lens();
    ends.keypad.until_synced();
    assert_eq!(numbers(&ends), json!([2, 1]));
    ends
}

fn numbers(ends: &Ends) -> serde_json::Value {
    ends.run("job show 1 --json").json()["lens_numbers"].clone()
}

fn remake(ends: &Ends, cause: &str) -> Output {
    ends.run(&format!("job remake 1 right --cause {cause} --bearer shop"))
}

/// All that a command said.
fn said(output: &Output) -> String {
    output.stdout.clone() + &output.stderr
}

#[test]
fn with_something_logged_of_it_the_next_lens_begins() {
    let mut ends = begun_anew();
    // Lens 2 is read before it is blocked, and slips: that is what is told at the console.
    ends.read_and_spot();
    ends.keypad.until_synced();
    let output = remake(&ends, "slipped");
    assert_eq!(numbers(&ends), json!([3, 1]), "{output:?}");
    assert!(said(&output).contains("lens 3"), "{output:?}");
    let slipped: Vec<String> =
        standing(&ends, 1).into_iter().filter(|says| says.contains("slipped")).collect();
    assert!(slipped.len() == 1 && slipped[0].contains("lens 3"), "{slipped:?}");
    assert_eq!(ends.run("job list --json").json()[0]["stands"], "read the uncut right lens");
    // The keypad goes on with it.
    ends.keypad.until_screen("uncut first line");
}

#[test]
fn with_a_single_pass_of_it_typed_at_the_console_the_next_lens_begins_too() {
    let ends = begun_anew();
    ends.run("record pass 1 r 0.40 just");
    let output = remake(&ends, "slipped");
    assert_eq!(numbers(&ends), json!([3, 1]), "{output:?}");
    assert!(said(&output).contains("lens 3"), "{output:?}");
}

#[test]
fn with_nothing_logged_of_it_the_cause_is_noted_for_it() {
    let ends = begun_anew();
    let output = remake(&ends, "damaged");
    assert!(said(&output).contains("cause noted for lens 2"), "{output:?}");
    assert_eq!(numbers(&ends), json!([2, 1]));
    let damaged: Vec<String> =
        standing(&ends, 1).into_iter().filter(|says| says.contains("damaged")).collect();
    assert!(damaged.len() == 1 && damaged[0].contains("lens 2"), "{damaged:?}");
    assert!(!damaged[0].contains("lens 1"), "{damaged:?}");
    // Once it is told, the next one begins the next lens.
    let output = remake(&ends, "slipped");
    assert!(said(&output).contains("lens 3") && !said(&output).contains("noted"), "{output:?}");
    assert_eq!(numbers(&ends), json!([3, 1]));
}

#[test]
fn with_all_that_was_logged_of_it_voided_the_cause_is_noted_for_it() {
    let mut ends = begun_anew();
    ends.read_and_spot();
    ends.keypad.until_synced();
    for seq in [2, 3] {
        assert_eq!(ends.void(seq).status, Some(0));
    }
    let output = remake(&ends, "damaged");
    assert!(said(&output).contains("cause noted for lens 2"), "{output:?}");
    assert_eq!(numbers(&ends), json!([2, 1]));
}
