//! `calc thickness`, `calc sag` and `calc curve`, against published worked examples.
//!
//! Each row names its source. "recomputed" is no published value but the stated formula worked out with a general
//! numerical library. A published figure is met when the answer, rounded as the figure is, equals it.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

use bevelbook_tests::{answer, bevelbook, meets};

const NFOS_6: &str = "NFOS course, module 6";
const NFOS_11: &str = "NFOS course, module 11";
const CLOCKS: &str = "exam preparation page on lens clocks";
const RECOMPUTED: &str = "recomputed";

fn check(args: &[&str], field: &str, printed: &str, source: &str) {
    let answer = answer(args);
    assert!(meets(&answer[field], printed), "{args:?} {field}: {answer} is not {printed} ({source})");
}

/// Wrong use ends with 2, prints nothing but an error, and the error holds `hints`.
fn refused(args: &[&str], hints: &[&str]) {
    let output = bevelbook(["calc", "--json"].iter().chain(args));
    assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{args:?}: {output:?}");
    for hint in hints {
        assert!(output.stderr.contains(hint), "{args:?} lacks `{hint}`: {}", output.stderr);
    }
}

fn thickness<'a>(rx: &'a str, front: &'a str, index: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&["thickness", rx, "--front", front, "--index", index], more].concat()
}

#[test]
fn the_fields_are_those_agreed() {
    for (args, agreed) in [
        (
            thickness("-4.00 DS", "+4.00", "1.498", &["--edge", "4", "--at", "25"]),
            &["centre_mm", "edge_mm"][..],
        ),
        (vec!["sag", "--power", "8", "--index", "1.53", "--at", "35"], &["sag_mm"]),
        (vec!["curve", "--power", "5", "--index", "1.53"], &["power_d", "radius_mm"]),
    ] {
        let answer = answer(&args);
        let mut fields: Vec<&String> = answer.as_object().unwrap().keys().collect();
        fields.sort();
        assert_eq!(fields, agreed, "{args:?}");
    }
}

#[test]
fn edge_of_a_minus_lens() {
    // r = (n - 1)/F, s = r - √(r² - y²), edge = centre - s1 + s2, back surface from the back vertex power.
    for (at, edge) in [("25", "4.720"), ("30", "6.061")] {
        let args = thickness("-4.00 DS", "+4.00", "1.498", &["--centre", "2.0", "--at", at]);
        check(&args, "edge_mm", edge, RECOMPUTED);
        check(&args, "centre_mm", "2.000", RECOMPUTED);
        // And back: from the edge to the centre.
        let back = thickness("-4.00 DS", "+4.00", "1.498", &["--edge", edge, "--at", at]);
        assert!((answer(&back)["centre_mm"].as_f64().unwrap() - 2.0).abs() <= 0.001, "{at}");
    }
}

#[test]
fn the_back_surface_is_that_of_the_back_vertex_power() {
    // F1 +3.00, F2 -8.50, t 2.2, n 1.498 has a back vertex power of -5.49: the edge of that lens is that of surfaces of
    // +3.00 and -8.50 D (NFOS course, module 11, prints two decimals). Without the centre thickness the back would be
    // -8.49 D.
    let edge = answer(&thickness("-5.49 DS", "+3.00", "1.498", &["--centre", "2.2", "--at", "30"]));
    let sag = |power| {
        answer(&["sag", "--power", power, "--index", "1.498", "--at", "30"])["sag_mm"].as_f64().unwrap()
    };
    let expected = 2.2 - sag("+3.00") + sag("+8.50");
    let got = edge["edge_mm"].as_f64().unwrap();
    assert!((got - expected).abs() < 0.01, "{got}, expected {expected} ({NFOS_11})");
}

#[test]
fn prism_thickens_the_side_of_its_base() {
    // Exact spheres, the back tilted (tests/reference/wedge.py): -0.50 with 2 Δ, front 5.75, the dot 3 mm in of a lens of
    // radius 25: 22 mm from it at the base, 28 mm across it.
    for (prism, at, edge) in [("2", "22", "3.207"), ("-2", "28", "1.282")] {
        let args = thickness("-0.50 DS", "5.75", "1.498", &["--centre", "2", "--at", at, "--prism", prism]);
        check(&args, "edge_mm", edge, RECOMPUTED);
    }
    // Plano on a flat front: a wedge, (n - 1)·α for 1 Δ is 0.0201 mm a millimetre.
    let plano = ["--centre", "3", "--at", "10", "--prism", "1"];
    check(&thickness("pl", "0", "1.498", &plano), "edge_mm", "3.20", RECOMPUTED);
    refused(
        &thickness("pl", "0", "1.498", &["--centre", "3", "--at", "10", "--prism", "2 in"]),
        &["write it like: 2.5"],
    );
}

#[test]
fn a_toric_lens_has_another_edge_in_each_meridian() {
    let edge = |rx: &str, meridian: &str| {
        let more = ["--centre", "2.5", "--at", "28.4", "--meridian", meridian];
        answer(&thickness(rx, "+5.00", "1.60", &more))["edge_mm"].as_f64().unwrap()
    };
    // Along its principal meridians it is a sphere of that power.
    for (meridian, sphere) in [("33", "-2.00 DS"), ("123", "-3.75 DS"), ("213", "-2.00 DS")] {
        assert_eq!(edge("-2.00 -1.75 x 33", meridian), edge(sphere, "0"), "{meridian}");
    }
    // Either form is the same lens; between the two the edge lies between.
    let between = edge("-2.00 -1.75 x 33", "70");
    assert_eq!(between, edge("-3.75 +1.75 x 123", "70"));
    assert!(edge("-2.00 DS", "0") < between && between < edge("-3.75 DS", "0"));
    assert_eq!(between, edge("-2.00 -1.75 x 33", "356"), "as far on the other side of the axis");
    refused(
        &thickness("-2.00 -1.75 x 33", "+5.00", "1.60", &["--centre", "2.5", "--at", "28"]),
        &["say which one, for example --meridian 180"],
    );
}

#[test]
fn sagitta() {
    // r = 66.25 mm; √(66.25² - 35²) = 56.25 mm, so 10 mm exactly.
    let args = ["sag", "--power", "8.00", "--index", "1.530", "--at", "35"];
    assert_eq!(answer(&args), serde_json::json!({ "sag_mm": 10.0 }));
    check(&["sag", "--power", "-8.00", "--index", "1.530", "--at", "35"], "sag_mm", "-10.000", RECOMPUTED);
    check(&["sag", "--power", "0", "--index", "1.530", "--at", "35"], "sag_mm", "0.000", RECOMPUTED);
    // The parabola y²/2r = 9.245 mm, which some tables print for the sagitta, is not met.
    assert!(!meets(&answer(&args)["sag_mm"], "9.245"));
    refused(
        &["sag", "--power", "+8.00", "--index", "1.530", "--at", "66.251"],
        &["a curve of radius 66.25 mm does not reach 66.251 mm"],
    );
}

#[test]
fn radius_and_power() {
    check(&["curve", "--radius", "84", "--index", "1.530"], "power_d", "6.31", NFOS_6);
    check(&["curve", "--radius", "84", "--index", "1.530"], "radius_mm", "84.000", NFOS_6);
    check(&["curve", "--power", "+5.00", "--index", "1.530"], "radius_mm", "106", NFOS_6);
    check(&["curve", "--power", "5", "--index", "1.530"], "power_d", "5.000", NFOS_6);
    check(&["curve", "--radius", "-84", "--index", "1.530"], "power_d", "-6.31", RECOMPUTED);
    let flat = answer(&["curve", "--power", "0", "--index", "1.530"]);
    assert_eq!(flat, serde_json::json!({ "power_d": 0.0, "radius_mm": null }));
}

#[test]
fn what_a_clock_shows_on_other_materials() {
    for (index, printed) in [("1.498", "5.71"), ("1.586", "6.72"), ("1.67", "7.69")] {
        let args = ["curve", "--clock", "+6.00", "--clock-index", "1.523", "--index", index];
        check(&args, "power_d", printed, CLOCKS);
        // True = shown·(n - 1)/(n of the clock - 1): the radius is that of the clock's own index.
        check(&args, "radius_mm", "87.17", RECOMPUTED);
    }
    // Without an index of its own a clock is taken for one of 1.530.
    let own = answer(&["curve", "--clock", "+6.00", "--index", "1.53"]);
    assert!(meets(&own["power_d"], "6.000"), "{own}");
    assert!(!meets(&answer(&["curve", "--clock", "+6.00", "--index", "1.498"])["power_d"], "5.71"));
    let help = bevelbook(["calc", "curve", "--help"]).stdout;
    assert!(help.contains("1.530 unless said"), "{help}");
}

#[test]
fn what_cannot_be_worked_out_is_refused_with_what_would_be_right() {
    let minus = |more: &[&'static str]| thickness("-4.00 DS", "+4.00", "1.498", more);
    for (args, hints) in [
        (
            minus(&["--centre", "2", "--edge", "4", "--at", "25"]),
            ["'--centre <MM>' cannot be used with '--edge <MM>'", "Usage"],
        ),
        (minus(&["--at", "25"]), ["not provided:\n  <--centre <MM>|--edge <MM>>", "Usage"]),
        (minus(&["--centre", "0", "--at", "25"]), ["a size above zero", "write it like: 52.5"]),
        (minus(&["--centre", "2", "--at", "120"]), ["--at 120 mm", "at most 100 mm"]),
        (minus(&["--edge", "1", "--at", "25"]), ["leaves no glass in the middle", "above 2."]),
        (
            thickness("+4.00 DS", "+4.00", "1.498", &["--centre", "2", "--at", "25"]),
            ["the surfaces meet before 25 mm", "--edge 1 to learn which one"],
        ),
        (
            thickness("+8.00 DS", "+20.00", "1.498", &["--centre", "9", "--at", "25"]),
            ["the front surface ends before --at 25 mm", "give a shorter distance"],
        ),
        (
            thickness("-4.00 DS", "+4.00", "0.9", &["--centre", "2", "--at", "25"]),
            ["a refractive index from 1 to 3", "write it like: 1.498"],
        ),
        (
            thickness("-4.00 DS", "+4.00", "1", &["--centre", "2", "--at", "25"]),
            ["index 1 bends no light", "about 1.5"],
        ),
        (vec!["sag", "--power", "+4.00", "--index", "0.5", "--at", "25"], ["index from 1 to 3", "1.498"]),
        (vec!["sag", "--power", "+4.00", "--index", "1", "--at", "25"], ["index 1 bends", "about 1.5"]),
        (vec!["sag", "--power", "+4.00", "--index", "1.5", "--at", "-2"], ["zero or more", "millimetres"]),
        (
            vec!["curve", "--index", "1.5"],
            ["<--radius <MM>|--power <D>|--clock <D>>", "--clock D [--clock-index N]"],
        ),
        (
            vec!["curve", "--radius", "84", "--power", "5", "--index", "1.5"],
            ["'--radius <MM>' cannot be used with '--power <D>'", "--clock D [--clock-index N]"],
        ),
        (
            vec!["curve", "--power", "5", "--clock-index", "1.523", "--index", "1.5"],
            ["'--power <D>' cannot be used with '--clock-index <N>'", "--clock D [--clock-index N]"],
        ),
        (vec!["curve", "--radius", "0", "--index", "1.5"], ["a radius of 0 mm", "makes no surface"]),
        (vec!["curve", "--radius", "1", "--index", "1.5"], ["a surface power", "±100 D"]),
        (
            vec!["curve", "--clock", "6", "--clock-index", "1", "--index", "1.5"],
            ["index 1 bends no light", "about 1.5"],
        ),
    ] {
        refused(&args, &hints);
    }
    let quotes = ["put quotes round it: \"-1.25 -0.75 x 15\""];
    refused(
        &["thickness", "-1.25", "-0.75", "x", "15", "--front", "4", "--index", "1.5", "--at", "20"],
        &quotes,
    );
}

#[test]
fn people_get_one_line_with_units() {
    let minus = ["--centre", "2", "--at", "25"];
    let toric = ["--centre", "2", "--at", "25", "--meridian", "90"];
    for (args, text) in [
        (thickness("-4.00 DS", "4", "1.498", &minus), "centre 2 mm, edge 4.72 mm at 25 mm"),
        (
            thickness("-3.00 -1.00 x 180", "4", "1.498", &toric),
            "centre 2 mm, edge 4.72 mm at 25 mm along 90°",
        ),
        (vec!["sag", "--power", "8", "--index", "1.53", "--at", "35"], "10 mm"),
        (vec!["curve", "--power", "5", "--index", "1.53"], "+5.00 D, radius 106 mm"),
        (vec!["curve", "--power", "0", "--index", "1.53"], "0.00 D, flat"),
    ] {
        let output = bevelbook(["calc"].iter().chain(&args));
        assert_eq!((output.status, output.stdout.trim_end()), (Some(0), text), "{args:?}");
    }
}
