//! Frames that are remembered by their model.

use bevelbook_tests::{Output, Shop, mirrored_record, usual_order};
use serde_json::json;
use std::fs;

/// What says a frame, taken out of the usual order.
const FRAME: [&str; 5] = ["--a", "--b", "--dbl", "--ed", "--rim"];

fn without(flags: &[&str], changes: &[[&str; 2]]) -> Vec<String> {
    let mut order = usual_order(changes);
    for flag in flags {
        if let Some(at) = order.iter().position(|given| given == flag) {
            order.drain(at..at + 2);
        }
    }
    order.push("--json".into());
    order
}

/// A shop that had this frame in job 1.
fn shop(changes: &[[&str; 2]]) -> Shop {
    let shop = Shop::new();
    let output = shop.run(usual_order(changes));
    assert_eq!(output.status, Some(0), "{output:?}");
    shop
}

fn done(output: Output) -> Output {
    assert_eq!(output.status, Some(0), "{output:?}");
    output
}

#[test]
fn a_model_brings_its_sizes_its_rim_and_its_curve_and_no_wear() {
    let had = [
        ["--ed", "53"],
        ["--rim-material", "steel"],
        ["--frame-curve", "4.5"],
        ["--tilt", "9"],
        ["--condition", "worn"],
    ];
    let shop = shop(&had);
    let output = done(shop.run(without(&FRAME, &[["--frame", "lindgren 7"]])));
    let frame = &output.json()["frame"];
    for (field, was) in [
        ("a_mm", json!(50.0)),
        ("b_mm", json!(38.0)),
        ("dbl_mm", json!(18.0)),
        ("ed_mm", json!(53.0)),
        ("rim", json!("metal")),
        ("material", json!("steel")),
        ("curve_d", json!(4.5)),
        ("tilt_deg", json!(null)),
        ("condition", json!("new")),
    ] {
        assert_eq!(frame[field], was, "{field}");
    }
    let told = "frame as in job 1: A 50 B 38 DBL 18 ED 53 metal of steel rim curve +4.50\n";
    assert!(output.stderr.contains(told), "{output:?}");
    // What is given goes before.
    let output = done(shop.run(without(&FRAME, &[["--ed", "54"], ["--rim", "plastic"]])));
    assert!(output.stderr.contains("frame as in job 2: A 50 B 38 DBL 18 ED 53"), "{output:?}");
    let output = done(shop.run(without(&["--a", "--b", "--dbl"], &[["--ed", "54"], ["--rim", "plastic"]])));
    let frame = output.json()["frame"].clone();
    assert_eq!([&frame["ed_mm"], &frame["rim"]], [&json!(54.0), &json!("plastic")]);
    assert!(output.stderr.contains("frame as in job 3: A 50 B 38 DBL 18 of steel"), "{output:?}");
}

#[test]
fn a_grooved_and_a_drilled_frame_are_remembered_too() {
    for rim in ["grooved", "rimless"] {
        let shop = shop(&[["--rim", rim], ["--ed", "53"]]);
        let output = done(shop.run(without(&FRAME, &[])));
        assert_eq!(output.json()["frame"]["rim"], rim);
    }
}

#[test]
fn of_several_sizes_it_is_asked_which() {
    let shop = shop(&[["--ed", "53"]]);
    done(shop.run(usual_order(&[["--a", "52"], ["--ed", "55"]])));
    let refused = shop.run(without(&FRAME, &[]));
    assert_eq!(refused.status, Some(2), "{refused:?}");
    let said = "Lindgren 7 is known as 52□18 (job 2), 50□18 (job 1): say which, for example --a 52";
    assert!(refused.stderr.contains(said), "{refused:?}");
    let output = done(shop.run(without(&["--b", "--dbl", "--ed", "--rim"], &[["--a", "50"]])));
    assert_eq!(output.json()["frame"]["ed_mm"], json!(53.0));
    assert!(output.stderr.contains("frame as in job 1: B 38 DBL 18 ED 53 metal\n"), "{output:?}");
}

#[test]
fn another_size_of_a_model_takes_nothing_and_says_what_is_known() {
    let shop = shop(&[["--ed", "53"]]);
    let refused = shop.run(without(&["--dbl", "--rim"], &[["--a", "54"]]));
    assert!(refused.stderr.contains("--dbl 18") && refused.stderr.contains("--rim metal"), "{refused:?}");
    let output = done(shop.run(without(&[], &[["--a", "54"]])));
    assert!(output.json()["frame"]["ed_mm"].is_null());
    assert!(output.stderr.contains("known as 50□18 (job 1)"), "{output:?}");
}

#[test]
fn a_trace_is_another_frames_and_is_told_instead_of_taken() {
    let shop = Shop::new();
    let file = shop.folder().join("frame.txt");
    fs::write(&file, mirrored_record(&["2500"; 40])).unwrap();
    let traced = ["--trace", file.to_str().unwrap()];
    done(shop.run(without(&["--a", "--b"], &[traced])));
    let output = done(shop.run(without(&FRAME, &[])));
    assert!(output.json()["trace"].is_null() && output.json()["frame"]["a_mm"] == json!(50.0), "{output:?}");
    assert!(
        output.stderr.contains("the trace of job 1 belongs to that frame and was not taken"),
        "{output:?}"
    );
    // Its own trace says its sizes; the bridge and the rim are remembered.
    let output = done(shop.run(without(&FRAME, &[traced])));
    assert!(output.stderr.contains("frame as in job 2: DBL 18 metal\n"), "{output:?}");
}

#[test]
fn another_model_beside_like_brings_its_own_frame() {
    let shop = shop(&[["--frame", "Marten 2"], ["--a", "46"], ["--ed", "49"]]);
    done(shop.run(usual_order(&[["--ed", "53"]])));
    let output = done(shop.run(["job", "new", "--like", "2", "--frame", "Marten 2", "--json"]));
    let frame = &output.json()["frame"];
    assert_eq!(
        [&frame["model"], &frame["a_mm"], &frame["ed_mm"]],
        [&json!("Marten 2"), &json!(46.0), &json!(49.0)]
    );
}
