//! Why a lens was spoiled that the keypad went on from is asked for until somebody tells it. Once something was logged of the
//! lens that took its place, it has to be said which of the two was spoiled.

use crate::ends::{Ends, records, standing};
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

/// What `command` is refused with.
fn refused(ends: &Ends, command: &str) -> String {
    let output = ends.shop.run(command.split(' '));
    assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{command}: {output:?}");
    output.stderr
}

#[test]
fn with_something_logged_of_it_it_is_asked_which_lens_was_spoiled() {
    let mut ends = begun_anew();
    ends.read_and_spot();
    ends.keypad.until_synced();
    let before = records(&ends, 1);
    let asked = refused(&ends, "job remake 1 right --cause slipped --bearer shop");
    assert!(asked.contains("--lens 1") && asked.contains("--lens 2"), "{asked}");
    assert_eq!(records(&ends, 1), before);
    // Lens 2 slipped: the next one begins, and the cause of lens 1 is still asked for.
    let output = ends.run("job remake 1 right --lens 2 --cause slipped --bearer shop");
    assert_eq!(numbers(&ends), json!([3, 1]), "{output:?}");
    assert!(said(&output).contains("lens 3") && said(&output).contains("--lens 1 --cause"), "{output:?}");
    let slipped: Vec<String> =
        standing(&ends, 1).into_iter().filter(|says| says.contains("slipped")).collect();
    assert!(slipped.len() == 1 && slipped[0].contains("lens 3"), "{slipped:?}");
    assert_eq!(ends.run("job list --json").json()[0]["next"], "read the uncut right lens");
    // The keypad goes on with it.
    ends.keypad.until_screen("uncut sphere line");
}

#[test]
fn told_afterwards_a_cause_changes_nothing_else() {
    let mut ends = begun_anew();
    ends.until(
        "not told who is charged: bevelbook job remake 1 right --lens 1 --cause undersize --charged-to WHO",
    );
    ends.run("record pass 1 r 0.40 just");
    ends.run("record pass 1 r 0.20 fits");
    let closed = ends.run("job close 1 --despite so");
    assert!(said(&closed).contains("job remake 1 right --lens 1 --cause"), "{closed:?}");
    let told = ends.run("job remake 1 right --lens 1 --cause damaged --bearer supplier");
    assert!(!said(&told).contains("not told"), "{told:?}");
    let job = ends.run("job show 1 --json").json();
    assert_eq!((&job["lens_numbers"], &job["closed"]), (&json!([2, 1]), &json!(true)));
    // Nothing more is asked, and a cause that was told wrongly is told once more.
    let told = ends.run("job remake 1 right --lens 1 --cause slipped --bearer shop");
    assert_eq!(numbers(&ends), json!([2, 1]), "{told:?}");
    let missing = refused(&ends, "job remake 1 right --lens 3 --cause damaged --bearer shop");
    assert!(missing.contains("job 1 has no right lens 3"), "{missing}");
}

#[test]
fn of_a_lens_that_is_loose_it_is_clear_which_one_was_spoiled() {
    let ends = begun_anew();
    ends.run("record pass 1 r 0.40 loose");
    let output = remake(&ends, "undersize");
    assert_eq!(numbers(&ends), json!([3, 1]), "{output:?}");
    assert!(said(&output).contains("job remake 1 right --lens 1 --cause"), "{output:?}");
}

#[test]
fn with_nothing_logged_of_it_the_cause_is_noted_for_it() {
    let ends = begun_anew();
    let output = remake(&ends, "damaged");
    assert!(said(&output).contains("cause noted for right lens 1"), "{output:?}");
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
    for seq in [3, 4] {
        assert_eq!(ends.void(seq).status, Some(0));
    }
    let output = remake(&ends, "damaged");
    assert!(said(&output).contains("cause noted for right lens 1"), "{output:?}");
    assert_eq!(numbers(&ends), json!([2, 1]));
}
