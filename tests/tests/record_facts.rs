//! `record mark`, `reading`, `pd`, `girth`, `check` and `station`, run as a person runs them.

mod bench;

use bench::{ABSOLUTE, bench, done, pass, records, refused, without_station};
use bevelbook_tests::{Output, Shop};
use serde_json::{Value, json};

#[test]
fn a_mark_is_as_ordered_unless_it_is_said_otherwise() {
    let shop = bench(&ABSOLUTE);
    let plain = done(&shop, ["record", "mark", "1", "r", "--json"]);
    let fact = plain.json();
    assert_eq!((&fact["axis_deg"], &fact["base_up_pd"]), (&json!(15.0), &json!(0.0)));
    assert_eq!(plain.stderr, "");
    let prism = done(&shop, ["record", "mark", "1", "l"]);
    assert!(prism.stdout.contains("spotted at 160, where it shows 1.00 up"), "{prism:?}");
    let other = done(&shop, ["record", "mark", "1", "l", "--axis", "20", "--prism", "0"]);
    assert!(other.stdout.contains("spotted at 20, on the OC"), "{other:?}");
    assert!(other.stderr.contains("the focimeter is to show axis 160"), "{other:?}");
    assert!(other.stderr.contains("the focimeter is to show 1.00 up"), "{other:?}");
}

fn read(shop: &Shop, args: &[&str]) -> Output {
    done(shop, ["record", "reading", "1"].iter().chain(args))
}

#[test]
fn a_reading_keeps_its_decimals_and_is_judged_at_once() {
    let shop = bench(&ABSOLUTE);
    let fact = read(&shop, &["r", "--direct", "-1.12 -0.75 x 15", "--centred", "--json"]).json();
    assert_eq!((&fact["sphere_d"], &fact["stage"]), (&json!(-1.12), &json!("uncut")));
    assert_eq!(fact["prism"], json!({ "base_in_pd": 0.0, "base_up_pd": 0.0 }));
    assert_eq!((&fact["verdict"], &fact["slips"]), (&json!("within"), &json!([])));
    // 0.14 D off, 0.13 D allowed.
    let out = read(&shop, &["r", "--direct", "-1.11 -0.75 x 15"]);
    assert!(out.stdout.contains("by ANSI Z80.1-2015: out: power +0.14 D off, ±0.13 allowed"), "{out:?}");
    // The ordered prism of the left lens is what --centred means.
    let left = read(&shop, &["l", "--direct", "-2.00 -0.50 x 160", "--centred", "--json"]).json();
    assert_eq!(left["prism"]["base_up_pd"], 1.0);
}

#[test]
fn two_lines_and_a_wheel_are_a_power() {
    let shop = bench(&ABSOLUTE);
    let args = ["r", "--first", "-1.25", "--second", "-2.00", "--axis", "15", "--add", "2.00", "--json"];
    let fact = read(&shop, &args).json();
    assert_eq!((&fact["cylinder_d"], &fact["axis_deg"]), (&json!(-0.75), &json!(15.0)));
    assert_eq!(fact["lines"], json!({ "first_d": -1.25, "second_d": -2.0, "wheel_deg": 15.0 }));
    assert_eq!((&fact["add_d"], &fact["prism"]), (&json!(2.0), &Value::Null));
    for wrong in [
        ["record", "reading", "1", "r", "--first", "-1.25"].as_slice(),
        &["record", "reading", "1", "r", "--first", "-1.25", "--second", "-2.00"],
        &["record", "reading", "1", "r"],
        &["record", "reading", "1", "r", "--direct", "-1.25 DS", "--axis", "15"],
        &["record", "reading", "1", "r", "--direct", "-1.25 DS", "--prism", "1 up", "--centred"],
    ] {
        assert_eq!(shop.run(wrong).status, Some(2), "{wrong:?}");
    }
    let error = refused(&shop, ["record", "reading", "1", "r", "--direct", "-1.25", "-0.75", "x", "15"], 2);
    assert!(error.contains("put quotes round it"), "{error}");
    assert_eq!(records(&shop).len(), 2);
    // Lines that are sharp together are a sphere's, which has no axis.
    let sphere = read(&shop, &["r", "--first", "-1.25", "--second", "-1.25", "--json"]).json();
    assert_eq!((&sphere["sphere_d"], &sphere["cylinder_d"]), (&json!(-1.25), &json!(0.0)));
}

#[test]
fn a_reading_is_taken_as_mounted_once_the_lens_fits() {
    let shop = bench(&ABSOLUTE);
    let uncut = read(&shop, &["r", "--direct", "-1.25 -0.75 x 15"]).stdout;
    assert!(uncut.contains("taken as uncut, since the lens does not fit yet"), "{uncut}");
    pass(&shop, "r", "0.2", "fits");
    let mounted = read(&shop, &["r", "--direct", "-1.25 -0.75 x 15"]).stdout;
    assert!(mounted.contains("taken as mounted, since the lens fits"), "{mounted}");
    let said = read(&shop, &["r", "--direct", "-1.25 -0.75 x 15", "--stage", "uncut"]).stdout;
    assert!(said.contains("read uncut") && !said.contains("taken as"), "{said}");
}

#[test]
fn a_likely_slip_is_hinted_at_while_the_lens_is_on_the_instrument() {
    let shop = bench(&ABSOLUTE);
    let swapped = read(&shop, &["r", "--direct", "-2.00 -0.50 x 160"]);
    assert!(swapped.stderr.contains("hint: R/L swapped?"), "{swapped:?}");
    let mirrored = read(&shop, &["r", "--direct", "-1.25 -0.75 x 165"]);
    assert!(mirrored.stderr.contains("hint: axis is the mirror image"), "{mirrored:?}");
    assert_eq!(read(&shop, &["r", "--direct", "-2.00 +0.75 x 105"]).stderr, "");
}

#[test]
fn measured_centres_and_heights_stand_beside_the_ordered_ones() {
    let shop = bench(&ABSOLUTE);
    let output = done(&shop, ["record", "pd", "1", "31.5/30", "--heights", "18/18.5"]);
    assert!(output.stdout.contains("PD 31.5/30 mm, heights 18/18.5 mm\n  ordered 31.5/31 mm"), "{output:?}");
    let fact = done(&shop, ["record", "pd", "1", "61", "--json"]).json();
    assert_eq!((&fact["pd_mm"], &fact["right_pd_mm"]), (&json!(61.0), &Value::Null));
    assert!(refused(&shop, ["record", "pd", "1", "315/30"], 2).contains("15 to 45 mm"));
}

#[test]
fn a_pd_says_at_once_how_far_it_is_off() {
    let shop = bench(&ABSOLUTE);
    // By ANSI Z80.1-2015 as public summaries give it a PD holds where the prism that it makes does: 0.5 mm of 2 D.
    let within = done(&shop, ["record", "pd", "1", "31.5/30.5"]);
    assert!(within.stdout.contains(": within: "), "{within:?}");
    let off = done(&shop, ["record", "pd", "1", "38/31"]);
    assert!(
        off.stdout.contains("  no limit: PD +6.5 mm off (usual ±2), right PD +6.5 mm off (usual ±1)"),
        "{off:?}"
    );
    let said = off.stdout.lines().find_map(|line| line.split("by ANSI Z80.1-2015: out: ").nth(1)).unwrap();
    assert!(!off.stdout.contains("left PD 0 mm") && !said.contains("left"), "what holds is not out: {off:?}");
    assert_eq!(done(&shop, ["record", "pd", "1", "62.5", "--json"]).json()["verdict"], "within");
}

#[test]
fn the_girth_of_a_lens_is_compared_with_its_rim() {
    let shop = bench(&ABSOLUTE);
    let alone = done(&shop, ["record", "girth", "1", "r", "141.2", "--rim", "--json"]).json();
    assert_eq!((&alone["of"], &alone["over_rim_mm"]), (&json!("rim"), &Value::Null));
    let longer = done(&shop, ["record", "girth", "1", "r", "141.5"]);
    assert!(longer.stdout.contains("the lens is 0.3 mm longer round than its rim"), "{longer:?}");
    assert_eq!(longer.stderr, "");
    let shorter = done(&shop, ["record", "girth", "1", "r", "141.05"]);
    assert!(shorter.stdout.contains("the lens is 0.15 mm shorter"), "{shorter:?}");
    assert!(shorter.stderr.contains("common practice, no source"), "{shorter:?}");
    let rimless = without_station("rimless");
    assert!(refused(&rimless, ["record", "girth", "1", "r", "140", "--rim"], 2).contains("is rimless"));
}

/// Words that a page has wrapped, in one line.
fn unwrapped(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn girths_are_a_figure_for_the_stations_own_dial() {
    // 0.70 longer round is 0.22 across (0.70/π), and on steps of 0.05 not more than 0.20 may go.
    let girths = |shop: &Shop| {
        done(shop, ["record", "girth", "1", "r", "141.2", "--rim"]);
        done(shop, ["record", "girth", "1", "r", "141.9", "--json"]).json()
    };
    let absolute = bench(&ABSOLUTE);
    pass(&absolute, "r", "0.40", "far");
    assert_eq!(girths(&absolute)["dial_mm"], json!(0.2));
    let said = done(&absolute, ["record", "girth", "1", "r", "141.9"]).stdout;
    assert!(
        said.contains("0.22 mm on diameter too big for its rim by girth\n  dial +0.20 mm here"),
        "{said}"
    );
    let plan = unwrapped(&done(&absolute, ["plan", "1"]).stdout);
    assert!(
        plan.contains("too big +0.40; dial +0.20") && plan.contains("by girth 0.22 mm too big"),
        "{plan}"
    );
    // A pass changes the lens, and what was measured of it is of another size.
    pass(&absolute, "r", "0.20", "just");
    let plan = done(&absolute, ["plan", "1", "--json"]).json();
    assert_eq!(plan["sizes"][0]["over_rim_mm"], Value::Null);
    let take_off = bench(&["--basis", "radius", "--take-off-from", "0.5", "--step", "0.01"]);
    // Without a pass, what is to be taken off is known all the same: 0.70/2π = 0.111.
    assert_eq!(girths(&take_off)["dial_mm"], json!(0.11));
    let girth = bench(&["--basis", "girth", "--absolute", "--step", "0.05"]);
    assert_eq!(girths(&girth)["dial_mm"], Value::Null);
}

#[test]
fn a_lens_made_anew_knows_what_the_one_before_showed() {
    let shop = bench(&ABSOLUTE);
    done(&shop, ["record", "girth", "1", "r", "141.2", "--rim"]);
    pass(&shop, "r", "0.40", "far");
    pass(&shop, "r", "0.25", "just");
    pass(&shop, "r", "0.10", "fits");
    done(&shop, ["job", "remake", "1", "r", "--cause", "damaged", "--bearer", "shop"]);
    let plan = unwrapped(&done(&shop, ["plan", "1"]).stdout);
    assert!(plan.contains("last fitted +0.10; dial +0.20"), "{plan}");
    let json = done(&shop, ["plan", "1", "--json"]).json();
    assert_eq!(json["sizes"][0]["before_fits_mm"], json!(0.1));
    assert_eq!(json["sizes"][1]["before_fits_mm"], Value::Null);
    // Its rim is the same, and so is its girth.
    let over = done(&shop, ["record", "girth", "1", "r", "141.2", "--json"]).json();
    assert_eq!(over["over_rim_mm"], json!(0.0));
    // Past that fit it is asked about; where the new lens is still too big there, it goes by itself.
    let error = refused(&shop, ["record", "pass", "1", "r", "0.05", "just"], 2);
    assert!(error.contains("the lens before fitted this rim at +0.10 mm on diameter"), "{error}");
    pass(&shop, "r", "0.10", "just");
    pass(&shop, "r", "0.05", "fits");
}

#[test]
fn a_strained_lens_goes_back_to_the_wheel() {
    let shop = bench(&ABSOLUTE);
    pass(&shop, "r", "0.2", "fits");
    let said = done(&shop, ["record", "check", "1", "strain", "r", "--bad"]).stdout;
    assert!(said.contains("NOT good"), "{said}");
    assert!(
        said.contains("sizing of the right lens is open again: its fit at +0.20 mm on diameter"),
        "{said}"
    );
    // No guard holds below the fit that was none.
    let output = pass(&shop, "r", "0.15", "fits");
    assert!(output.stderr.contains("look for strain again"), "{output:?}");
}

#[test]
fn all_finishing_checks_are_logged_at_once_a_record_each() {
    let shop = bench(&ABSOLUTE);
    for eye in ["r", "l"] {
        pass(&shop, eye, "0.20", "fits");
    }
    let before = records(&shop).len();
    let fact = done(&shop, ["record", "check", "1", "finish", "--json"]).json();
    let logged = fact["records"].as_array().unwrap();
    let items = |eye: &Value| logged.iter().filter(|check| check["eye"] == *eye).count();
    assert_eq!((items(&json!("right")), items(&json!("left")), items(&Value::Null)), (4, 4, 1));
    assert_eq!(records(&shop).len(), before + 9);
    assert!(refused(&shop, ["record", "check", "1", "finish", "--bad"], 2).contains("name the item"));
    assert!(refused(&shop, ["record", "check", "1", "bevel"], 2).contains("say right, left or both"));
    assert!(refused(&shop, ["record", "check", "1", "alignment", "r"], 2).contains("leave out the eye"));
    let both = done(&shop, ["record", "check", "1", "slip", "both", "--bad"]).stdout;
    assert_eq!(both.matches("NOT good").count(), 2, "{both}");
}

#[test]
fn a_dial_is_stated_in_full_or_not_at_all() {
    let shop = without_station("metal");
    for args in [
        ["station", "dial", "--absolute", "--step", "0.05"].as_slice(),
        &["station", "dial", "--basis", "diameter", "--step", "0.05"],
        &["station", "dial", "--basis", "diameter", "--absolute"],
        &["station", "dial", "--basis", "diameter", "--absolute", "--take-off-from", "0.5", "--step", "0.05"],
        &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0"],
        &["station", "dial", "--basis", "diameter", "--absolute", "--step", "-0.05"],
        &["station", "dial", "--basis", "diameter", "--absolute", "--step", "5"],
        &["station", "dial", "--basis", "width", "--absolute", "--step", "0.05"],
    ] {
        let output = shop.run(args);
        assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{args:?}: {output:?}");
    }
    assert_eq!(done(&shop, ["station", "--json"]).json(), json!({ "dial": null }));
    let stated =
        done(&shop, ["station", "dial", "--basis", "girth", "--take-off-from", "0.5", "--step", "0.1"]);
    assert!(
        stated.stdout.contains("0.016 mm of radius, 0.032 mm of diameter, 0.1 mm of girth"),
        "{stated:?}"
    );
    for event in ["new-wheel", "recalibrated"] {
        assert_eq!(done(&shop, ["station", event, "--json"]).json()["event"], event);
    }
    let dial = done(&shop, ["station", "--json"]).json()["dial"].clone();
    assert_eq!(
        dial,
        json!({ "basis": "girth", "counting": "take-off", "take_off_from_mm": 0.5, "step_mm": 0.1 })
    );
}

#[test]
fn what_the_shop_does_not_ask_is_no_step_and_inspect_says_so() {
    let shop = bench(&ABSOLUTE);
    let settings = "bench.left_first = true\nbench.checks = [\"bevel\", \"alignment\"]";
    std::fs::write(shop.settings(), settings).unwrap();
    for eye in ["r", "l"] {
        pass(&shop, eye, "0.2", "fits");
    }
    let finish = done(&shop, ["record", "check", "1", "finish", "--json"]).json();
    assert_eq!(finish["records"].as_array().unwrap().len(), 3, "two bevels and the alignment: {finish}");
    assert_eq!(finish["next"], "read the left lens in the frame");
    let found = shop.run(["inspect", "1", "--json"]).json();
    let of_kind = |list: &str, kind: &str| {
        found[list].as_array().unwrap().iter().filter(|remark| remark["kind"] == kind).count()
    };
    assert_eq!((of_kind("open", "not-made"), of_kind("not_covered", "not-asked")), (0, 3), "{found}");
    // What is named is logged all the same, and counts.
    done(&shop, ["record", "check", "1", "strain", "r", "--bad"]);
    let found = shop.run(["inspect", "1", "--json"]).json();
    assert!(found["open"].as_array().unwrap().iter().any(|remark| remark["kind"] == "bad"), "{found}");
}
