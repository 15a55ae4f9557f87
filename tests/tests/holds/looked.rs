//! What was read is told from what was accepted as it stood there, and from what was over sooner than a person reads.

use crate::ends::{Ends, records};
use crate::shop::at_sizing;
use serde_json::{Value, json};

const SPHERE: &str = "sphere line";
const ALL: [&str; 4] = [SPHERE, "cylinder line", "axis", "prism"];

/// Job 1 in hand at the keypad, whose lenses are read in their frame next.
fn fitted() -> Ends {
    let shop = at_sizing(1);
    for command in ["pass 1 r 0.20 fits", "pass 1 l 0.20 fits", "check 1 bevel both"] {
        let args = ["record"].into_iter().chain(command.split(' ')).collect::<Vec<_>>();
        crate::shop::done(&shop, &args);
    }
    let mut ends = Ends::of(shop);
    ends.until("job 1 (");
    ends.take(&["1 "]);
    ends
}

fn inspected(ends: &Ends) -> Value {
    ends.shop.run(["inspect", "1", "--json"]).json()
}

fn asked_of(found: &Value) -> Vec<[&str; 2]> {
    let remarks = found["looked_at"].as_array().unwrap().iter();
    remarks.map(|remark| ["subject", "kind"].map(|key| remark[key].as_str().unwrap())).collect()
}

#[test]
fn what_was_accepted_is_told_from_what_was_read() {
    let mut ends = fitted();
    ends.press(&["centre"; 4]);
    // Moved and moved back: that is read.
    ends.press(&["up", "down", "centre", "centre", "centre", "centre"]);
    ends.keypad.until_synced();
    let found = inspected(&ends);
    let entered = |eye: &str| [&found[eye]["entered"]["preset"], &found[eye]["entered"]["read"]];
    assert_eq!(entered("right"), [&json!(ALL), &json!([])], "{found}");
    assert_eq!(entered("left"), [&json!(ALL[1..]), &json!([SPHERE])]);
    // Nobody knows how long the first record of a start took.
    assert_eq!(found["right"]["entered"]["within_s"], Value::Null);
    assert!(found["left"]["entered"]["within_s"].as_f64().unwrap() > 1.8, "{found}");
    let said = records(&ends, 1);
    assert_eq!(said.last().unwrap()["entered"], found["left"]["entered"]);
    let text = ends.run("job show 1").stdout;
    assert!(text.contains("; accepted as preset\n"), "{text}");
    assert!(text.contains("; cylinder line, axis, prism accepted as preset, the rest read, "), "{text}");
    // What is typed is neither, and nothing is said of it.
    let typed = said.iter().find(|record| record["says"].as_str().unwrap().contains("bevel")).unwrap();
    assert_eq!(typed["entered"], json!({ "preset": [], "read": ["good"], "within_s": null }));
}

#[test]
fn whoever_inspects_is_asked_whether_somebody_looked() {
    let mut ends = fitted();
    ends.press(&["centre"; 8]);
    ends.keypad.until_synced();
    let found = inspected(&ends);
    // Four presses, each as soon as the one before lets it.
    assert_eq!(asked_of(&found), [["pair", "preset"], ["left", "quick"]], "{found}");
    assert_eq!(found["left"]["verdict"], "within", "it changes no verdict");
    assert!(ends.shop.run(["inspect", "1"]).stdout.contains("looked at?"));
    // Typed again, nothing is asked of it any more.
    let again = ["record", "reading", "1", "left", "--direct", "-2.00 -0.50 x 160", "--prism", "0"];
    crate::shop::done(&ends.shop, &again);
    assert_eq!(inspected(&ends)["looked_at"], json!([]));
}
