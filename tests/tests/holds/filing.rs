//! A filing that is voided puts what was logged back to the keypad's own job: no lens stands in two orders.

use crate::ends::{Ends, records, standing};
use crate::shop::{at_sizing, open_job};
use serde_json::Value;

/// Two orders, and a job of the keypad whose right lens was read, spotted and fitted at once, filed under the first.
fn filed() -> (Ends, String) {
    let mut ends = Ends::of(at_sizing(1));
    ends.until("job 1 (");
    open_job(&ends.shop, 2);
    ends.until("job 2 (");
    ends.open_own();
    ends.state_dial("diameter");
    ends.read_and_spot();
    ends.read_and_spot();
    ends.until_sizing();
    ends.press(&["down"]);
    ends.keypad.until_synced();
    let own = ends.unfiled();
    ends.run(&format!("job attach {own} 1"));
    assert!(fit(&ends, 1), "{:?}", standing(&ends, 1));
    (ends, own)
}

/// Whether the fit of the keypad's job stands in `job`.
fn fit(ends: &Ends, job: u32) -> bool {
    standing(ends, job).iter().any(|says| says.starts_with("right: ") && says.contains(": fits"))
}

/// Voids the filing under job 1.
fn put_back(ends: &Ends) {
    let records = records(ends, 1);
    let filing = records.iter().find(|record| record["says"].as_str().unwrap().contains("attached")).unwrap();
    ends.run(&format!("record void {}", filing["record"].as_str().unwrap()));
    ends.assert_sound();
}

/// Whether the sheet of a job tells of a fit.
fn fit_on_sheet(ends: &Ends, job: u32) -> bool {
    ends.run(&format!("sheet {job} --out -")).stdout.contains("rim closes")
}

/// The sizes at which lenses of this frame fitted, as the plan of the other job tells them.
fn history(ends: &Ends) -> Vec<Value> {
    let plan = ends.run("plan 1 --json").json();
    let fitted = plan["fitted_before_on_diameter_mm"].as_array();
    fitted.unwrap_or_else(|| panic!("no history in {plan}")).clone()
}

/// How many lenses of this frame the book's advice for the other job rests on.
fn advising(ends: &Ends) -> u64 {
    ends.run("plan 2 --json").json()["advice"]["lenses"].as_u64().unwrap_or(0)
}

#[test]
fn what_the_book_advises_rests_on_it_while_it_is_filed() {
    let (ends, _) = filed();
    let filed = advising(&ends);
    put_back(&ends);
    assert_eq!(filed, advising(&ends) + 1);
}

#[test]
fn the_order_has_none_of_it_and_the_job_waits_again() {
    let (ends, own) = filed();
    put_back(&ends);
    assert_eq!(ends.unfiled(), own);
    assert!(!fit(&ends, 1), "{:?}", standing(&ends, 1));
    // What was typed at the console stays: one pass of each eye.
    let passes = |says: &&String| says.contains("mm on diameter");
    assert_eq!(standing(&ends, 1).iter().filter(passes).count(), 2, "{:?}", standing(&ends, 1));
    let inspected = ends.shop.run(["inspect", "1", "--json"]).json();
    for eye in ["right", "left"] {
        assert_eq!(inspected[eye]["uncut"], Value::Null, "{inspected}");
    }
    assert!(!fit_on_sheet(&ends, 1));
    assert_eq!(ends.run("job list --json").json()[0]["next"], "size the right lens");
    // The guard of the first order does not stand at a lens that is not its own.
    let below = ends.shop.run(["record", "pass", "1", "r", "0.10", "just"]);
    assert_eq!(below.status, Some(0), "{below:?}");
}

#[test]
fn filed_again_it_stands_in_the_other_order_only() {
    let (ends, own) = filed();
    put_back(&ends);
    ends.run(&format!("job attach {own} 2"));
    assert_eq!((fit(&ends, 1), fit(&ends, 2)), (false, true), "{:?}", standing(&ends, 1));
    ends.assert_sound();
    assert_eq!(ends.all_unfiled(), [""; 0]);
    let uncut = |job: &str| ends.shop.run(["inspect", job, "--json"]).json()["right"]["uncut"].clone();
    assert_eq!(uncut("1"), Value::Null);
    assert_ne!(uncut("2"), Value::Null);
    assert_eq!((fit_on_sheet(&ends, 1), fit_on_sheet(&ends, 2)), (false, true));
    // One lens fitted one frame of this model.
    assert_eq!(history(&ends).len(), 1, "{:?}", history(&ends));
    for (job, status) in [("1", 0), ("2", 2)] {
        let below = ends.shop.run(["record", "pass", job, "r", "0.10", "just"]);
        assert_eq!(below.status, Some(status), "{below:?}");
    }
}

#[test]
fn a_card_of_the_order_has_none_of_it_either() {
    let (mut ends, _) = filed();
    put_back(&ends);
    ends.choose(crate::ends::OTHER_JOB);
    ends.keypad.until_screen("which job?");
    ends.take(&["1 T1"]);
    let screen = ends.keypad.until_screen("RIGHT job 1");
    assert!(screen.contains("big at +0.60") && !screen.contains("fits at"), "{screen}");
}
