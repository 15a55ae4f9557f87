//! Jobs found by what a person at the counter knows of one.

use crate::bench::{done, refused};
use bevelbook_tests::{Shop, usual_order};
use serde_json::{Value, json};

/// Two customers with names, three jobs.
fn shop() -> Shop {
    let shop = Shop::new();
    for changes in [
        [["--customer", "K-17"], ["--name", "Ada Wolff"], ["--frame", "Lindgren 7"], ["--due", "2026-12-04"]],
        [["--customer", "K-18"], ["--name", "Emil Wolff"], ["--frame", "Skerry 3"], ["--due", "2026-12-05"]],
        [["--customer", "K-17"], ["--name", "Ada Wolff"], ["--frame", "Skerry 3"], ["--tray", "12"]],
    ] {
        done(&shop, usual_order(&[&[["--ed", "53"]], &changes[..]].concat()));
    }
    shop
}

/// The numbers of the jobs that are found.
fn found(shop: &Shop, words: &[&str]) -> Value {
    let found = done(shop, ["job", "find"].iter().chain(words).chain(&["--json"])).json();
    found.as_array().unwrap().iter().map(|job| job["job"].clone()).collect()
}

#[test]
fn by_name_frame_tray_date_and_reference() {
    let shop = shop();
    for (words, jobs) in [
        (&["wolff"][..], json!([1, 2, 3])),
        (&["ada"], json!([1, 3])),
        (&["ada wolff"], json!([1, 3])),
        (&["Ada", "skerry"], json!([3])),
        (&["T12"], json!([3])),
        (&["12"], json!([3])),
        (&["k-18"], json!([2])),
        (&["2026-12-05"], json!([2])),
        (&["5.12.2026", "wolff"], json!([2])),
        (&["J2"], json!([2])),
    ] {
        assert_eq!(found(&shop, words), jobs, "{words:?}");
    }
    // What is closed stands behind what is open, and lies in no tray.
    done(&shop, ["job", "close", "1", "--despite", "a test"]);
    done(&shop, ["job", "close", "3", "--despite", "a test"]);
    assert_eq!(found(&shop, &["wolff"]), json!([2, 3, 1]));
    let none = refused(&shop, ["job", "find", "T12"], 3);
    assert!(none.contains("no job fits all of that"), "{none}");
    let slip = refused(&shop, ["job", "find", "lindgern"], 3);
    assert!(slip.contains("did you mean `lindgren`?"), "{slip}");
}

#[test]
fn a_person_sees_names_and_a_program_none() {
    let shop = shop();
    let text = done(&shop, ["job", "find", "skerry"]).stdout;
    assert!(text.contains("Ada Wolff") && text.contains("Emil Wolff"), "{text}");
    assert!(text.lines().next().unwrap().contains("status"), "{text}");
    assert!(!done(&shop, ["job", "find", "skerry", "--json"]).stdout.contains("Wolff"));
    assert!(!done(&shop, ["job", "list"]).stdout.contains("Wolff"));
    assert!(!done(&shop, ["day", "--json"]).stdout.contains("Wolff"));
}
