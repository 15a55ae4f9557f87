//! `calc blank` and `calc girth` with shapes: the ellipse in a box, and a traced frame.
//!
//! The record is made up for this project, 36 points an eye, the left one the mirror of the right one. What is
//! expected of it and of ellipses was worked out in double precision with general numerical libraries; formulas are
//! named beside their checks.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

use bevelbook_tests::{Output, Shop, bevelbook};
use std::f64::consts::TAU;

const RECORD: &str = include_str!("../../core/tests/vectors/record.txt");

/// A shop whose folder holds `frame.txt`.
fn shop(record: &str) -> Shop {
    let shop = Shop::new();
    std::fs::write(shop.folder().join("frame.txt"), record).unwrap();
    shop
}

fn calc(shop: &Shop, args: &[&str]) -> Output {
    shop.run(["calc", "--json"].iter().chain(args))
}

/// The figure of an answer without hints.
fn figure(shop: &Shop, args: &[&str], field: &str) -> f64 {
    let output = calc(shop, args);
    assert_eq!((output.status, output.stderr.as_str()), (Some(0), ""), "{args:?}");
    output.json()[field].as_f64().unwrap()
}

fn girth(shop: &Shop, args: &[&str]) -> f64 {
    figure(shop, &[&["girth"], args].concat(), "girth_mm")
}

fn blank(shop: &Shop, args: &[&str]) -> f64 {
    figure(shop, &[&["blank"], args].concat(), "diameter_mm")
}

const TRACED: [&str; 4] = ["--trace", "frame.txt", "--eye", "R"];
const ELLIPSE: [&str; 4] = ["--a", "52", "--b", "35"];

fn with<'a>(shape: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    [shape, more].concat()
}

#[test]
fn the_fields_are_those_agreed_and_a_traced_girth_has_more() {
    let shop = shop(RECORD);
    let fields = |command: &str, shape: &[&str]| {
        let json = calc(&shop, &with(&[command], shape)).json();
        let mut fields: Vec<String> = json.as_object().unwrap().keys().cloned().collect();
        fields.sort();
        fields
    };
    assert_eq!(fields("blank", &ELLIPSE), ["diameter_mm"]);
    assert_eq!(fields("blank", &TRACED), ["diameter_mm"]);
    assert_eq!(fields("girth", &ELLIPSE), ["girth_mm"]);
    assert_eq!(fields("girth", &TRACED), ["circ_mm", "eye", "girth_mm", "in_space_mm"]);
}

/// As near as two figures in micrometres can be.
fn close(got: f64, expected: f64, within: f64) -> bool {
    (got - expected).abs() <= within + 1e-9
}

#[test]
fn girth_of_the_record_is_that_of_its_chords_for_both_eyes() {
    let shop = shop(RECORD);
    for eye in ["R", "L", "right", "left"] {
        assert_eq!(girth(&shop, &["--trace", "frame.txt", "--eye", eye]), 140.344);
    }
    let text = shop.run(["calc", "girth", "--trace", "frame.txt"]).stdout;
    assert!(text.starts_with("140.344 mm, right eye\n"), "{text}");
    assert!(text.contains("CIRC 140.344 mm is the chord length of its own points: 2-D"), "{text}");
}

#[test]
fn girth_of_an_ellipse_is_not_rounded() {
    let shop = Shop::new();
    // Half axes 26 and 17.5 mm: 137.96691 mm (scipy, complete elliptic integral).
    assert!(close(girth(&shop, &ELLIPSE), 137.96691, 5e-6));
    // A circle of 50 mm: 50 π.
    assert!(close(girth(&shop, &["--a", "50", "--b", "50"]), 25.0 * TAU, 1e-6));
    let output = shop.run(["calc", "girth", "--a", "52", "--b", "35"]);
    assert_eq!(output.stdout, "137.967 mm\n");
}

#[test]
fn a_parallel_curve_is_longer_by_two_pi_steps() {
    // Steiner's formula for parallel curves.
    let shop = shop(RECORD);
    for shape in [&ELLIPSE[..], &TRACED] {
        let within = if shape == ELLIPSE { 2e-6 } else { 1e-3 };
        let own = girth(&shop, shape);
        for step in ["0.05", "0.25", "2", "-0.05", "-0.25", "-2"] {
            let expected = own + TAU * step.parse::<f64>().unwrap();
            let got = girth(&shop, &with(shape, &["--offset", step]));
            assert!(close(got, expected, within), "{shape:?} {step}: {got}, expected {expected}");
        }
    }
    // 0.25 mm on the radius: a quarter of 2π.
    let change = girth(&shop, &with(&ELLIPSE, &["--offset", "-0.25"])) - girth(&shop, &ELLIPSE);
    assert!(close(change, -TAU / 4.0, 2e-6), "{change}");
}

#[test]
fn inward_beyond_the_smallest_radius_of_curvature_is_right_and_said() {
    // 17.5²/26 = 11.779 mm; up to there Steiner's formula holds: 137.966907 - 2π·11.778. Beyond, scipy's incomplete
    // elliptic integral: 62.56653 mm at 12 mm; Steiner would say 62.57 and be wrong, at 15 mm 43.72 for 41.38112.
    let shop = Shop::new();
    assert!(close(girth(&shop, &with(&ELLIPSE, &["--offset", "-11.778"])), 63.963550, 2e-6));
    for (step, expected) in [("-12", 62.56653), ("-15", 41.38112)] {
        let output = calc(&shop, &with(&["girth"], &with(&ELLIPSE, &["--offset", step])));
        let got = output.json()["girth_mm"].as_f64().unwrap();
        assert!(close(got, expected, 1.1e-3), "{step}: {got}");
        assert!(output.stderr.contains("smallest radius of curvature, 11.778 mm"), "{output:?}");
    }
    // A trace whose tightest bend is smaller than the step: the curve of its chords, by shapely 77.24030 mm.
    let traced = calc(&self::shop(RECORD), &with(&["girth"], &with(&TRACED, &["--offset", "-10"]))).json();
    assert!(close(traced["girth_mm"].as_f64().unwrap(), 77.240, 4e-3), "{traced}");
}

#[test]
fn a_step_that_leaves_nothing_is_refused_with_the_room_there_is() {
    let shop = shop(RECORD);
    for (args, said) in [
        (with(&ELLIPSE, &["--offset", "-17.5"]), "comes within 17.5 mm of its origin"),
        (with(&ELLIPSE, &["--offset", "20.001"]), "expected at most 20 mm"),
        (with(&TRACED, &["--offset", "-19"]), "leaves nothing"),
    ] {
        let output = calc(&shop, &with(&["girth"], &args));
        assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{args:?}");
        assert!(output.stderr.contains(said), "{output:?}");
    }
}

#[test]
fn a_circ_of_another_basis_is_shown_beside_the_chords() {
    let record = RECORD.replace("CIRC=140.344;140.344", "CIRC=141.10;139.90");
    let shop = shop(&record);
    let said = |eye| shop.run(["calc", "girth", "--trace", "frame.txt", "--eye", eye]).stdout;
    assert!(said("R").contains("CIRC 141.1 mm is 0.756 mm longer than the chords"), "{}", said("R"));
    assert!(said("R").contains("3-D or another basis"));
    assert!(said("L").contains("0.444 mm shorter"), "{}", said("L"));
    let json = calc(&shop, &with(&["girth"], &TRACED)).json();
    assert_eq!((json["circ_mm"].as_f64(), json["girth_mm"].as_f64()), (Some(141.1), Some(140.344)));
    let silent = RECORD.replace("CIRC=140.344;140.344\n", "");
    let json = calc(&self::shop(&silent), &with(&["girth"], &TRACED)).json();
    assert!(json["circ_mm"].is_null() && json["girth_mm"] == 140.344, "{json}");
}

#[test]
fn a_circle_of_four_hundred_chords() {
    // 2·400·25 mm·sin(π/400) = 157.0780 mm, the circle itself 157.0796 mm (computed).
    let radii = "R=2500;2500;2500;2500;2500;2500;2500;2500;2500;2500\n".repeat(40);
    let shop = shop(&format!("TRCFMT=1;400;E;R;F\n{radii}"));
    assert!(close(girth(&shop, &TRACED), 157.0780, 5e-5));
    assert!(close(girth(&shop, &["--a", "50", "--b", "50"]), 157.0796, 5e-5));
    // Centre 3 in and 4 up of a circle of radius 25: 2·(25 + 5), and 2 mm of allowance; the point nearest that direction.
    let least = blank(&shop, &with(&TRACED, &["--in", "3", "--up", "4", "--allowance", "2"]));
    assert!(close(least, 62.0, 1e-3), "{least}");
}

#[test]
fn blank_of_the_record_is_twice_the_way_to_its_farthest_point() {
    // The points in double precision from the radii, boxed centre +0.400, +0.246 for the right eye.
    let shop = shop(RECORD);
    let right = RECORD.split("TRCFMT").nth(1).unwrap();
    let radii: Vec<f64> = right
        .lines()
        .filter_map(|line| line.strip_prefix("R="))
        .flat_map(|line| line.split(';').map(|radius| radius.parse::<f64>().unwrap() / 100.0))
        .collect();
    assert_eq!(radii.len(), 36);
    let at = |index: usize| (index as f64 * TAU / 36.0).sin_cos();
    let points: Vec<(f64, f64)> =
        radii.iter().enumerate().map(|(i, radius)| (radius * at(i).1, radius * at(i).0)).collect();
    let (low, high) = points.iter().fold(((0.0_f64, 0.0_f64), (0.0_f64, 0.0_f64)), |(low, high), (x, y)| {
        ((low.0.min(*x), low.1.min(*y)), (high.0.max(*x), high.1.max(*y)))
    });
    let centre = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
    assert!(close(high.0 - low.0, 50.400, 5e-4) && close(high.1 - low.1, 38.092, 5e-4), "{low:?} {high:?}");
    assert!(close(centre.0, 0.400, 5e-4) && close(centre.1, 0.246, 5e-4), "{centre:?}");
    for (inward, up) in [("0", "0"), ("2.5", "1"), ("-3", "0.5"), ("4.2", "-2.75")] {
        let middle = (centre.0 + inward.parse::<f64>().unwrap(), centre.1 + up.parse::<f64>().unwrap());
        let way = |(x, y): &(f64, f64)| (x - middle.0).hypot(y - middle.1);
        let exact = 2.0 * points.iter().map(way).fold(0.0, f64::max);
        for eye in ["R", "L"] {
            // In is in for both: the left shape is the mirror.
            let got = blank(&shop, &["--trace", "frame.txt", "--eye", eye, "--in", inward, "--up", up]);
            // Rounded up to the micrometre.
            assert!(
                got >= exact - 1e-5 && got <= exact + 1.1e-3,
                "{eye} {inward} {up}: {got}, exact {exact}"
            );
        }
    }
}

#[test]
fn blank_of_an_ellipse() {
    let shop = Shop::new();
    // scipy, the farthest point searched from 64 starts; the diameter is rounded up to the micrometre.
    for (inward, up, exact) in [
        ("0", "0", 52.0),
        ("2.5", "0", 57.0),
        ("0", "-1.5", 52.157_975_0),
        ("-4.321", "2.345", 60.937_798_7),
        ("7", "6", 67.673_387_2),
    ] {
        let got = blank(&shop, &with(&ELLIPSE, &["--in", inward, "--up", up]));
        assert!(got >= exact - 1e-5 && got <= exact + 1.01e-3, "{inward} {up}: {got}");
        let wide = blank(&shop, &with(&ELLIPSE, &["--in", inward, "--up", up, "--allowance", "2"]));
        assert!(close(wide, got + 2.0, 0.0), "{wide}");
    }
    let out_and_down = blank(&shop, &with(&ELLIPSE, &["--out", "4.321", "--down", "2.345"]));
    assert_eq!(out_and_down, blank(&shop, &with(&ELLIPSE, &["--in", "-4.321", "--up", "-2.345"])));
}

#[test]
fn a_blank_is_never_smaller_than_the_outline_nor_larger_than_the_rule_of_thumb() {
    // ED + 2·√(in² + up²) is an upper bound; the trade's formula for a decentration along one line.
    let shop = shop(RECORD);
    for (shape, ed, a) in [(&ELLIPSE[..], 52.0, 52.0), (&TRACED, 51.5, 50.4)] {
        let centred = blank(&shop, shape);
        assert!(centred >= a && centred <= ed, "{centred}");
        for way in ["1", "3.3", "8"] {
            let moved = blank(&shop, &with(shape, &["--in", way]));
            let bound = centred + 2.0 * way.parse::<f64>().unwrap();
            assert!(moved >= a && moved > centred - 1e-9 && moved <= bound + 2e-3, "{way}: {moved} {bound}");
        }
    }
}

#[test]
fn an_eye_that_was_not_traced_is_mirrored_and_said() {
    let left = RECORD.find("TRCFMT=1;36;E;L;F").unwrap();
    let shop = shop(&RECORD[..left]);
    let whole = self::shop(RECORD);
    let args = ["blank", "--trace", "frame.txt", "--eye", "L", "--in", "2", "--up", "1"];
    let output = calc(&shop, &args);
    assert_eq!(output.json(), calc(&whole, &args).json());
    assert!(
        output.stderr.contains("the left eye has no radii: it is the mirror of the right one"),
        "{output:?}"
    );
    assert_eq!(calc(&shop, &["blank", "--trace", "frame.txt", "--eye", "R"]).stderr, "");
}

#[test]
fn shapes_given_by_halves_or_twice_are_refused_with_what_would_be_right() {
    let shop = shop(RECORD);
    let trace = ["--trace", "frame.txt"];
    for (args, said) in [
        (vec!["girth", "--a", "52"], "not provided:\n  --b <MM>"),
        (vec!["girth", "--b", "52"], "--a <MM>"),
        (vec!["girth"], "<--a <MM>|--trace <FILE>>"),
        (vec!["girth", "--a", "5", "--b", "35"], "expected A and B from 10 to 100 mm"),
        (
            vec!["girth", "--a", "52", "--b", "35", "--trace", "frame.txt"],
            "'--a <MM>' cannot be used with '--trace <FILE>'",
        ),
        (vec!["girth", "--eye", "R"], "--trace <FILE>"),
        (vec!["girth", "--a", "52", "--b", "35", "--eye", "R"], "cannot be used with '--eye <R|L>'"),
        (vec!["girth", "--trace", "frame.txt", "--eye", "both"], "expected right or left, or r or l"),
        (vec!["blank"], "<--ed <MM>|--a <MM>|--trace <FILE>>"),
        (vec!["blank", "--in", "2"], "<--ed <MM>|--a <MM>|--trace <FILE>>"),
        (with(&["blank"], &trace), "not provided:\n  --eye <R|L>"),
        (with(&["blank", "--ed", "50"], &ELLIPSE), "'--ed <MM>' cannot be used with:\n  --a <MM>"),
        (
            with(&["blank", "--decentration", "2"], &ELLIPSE),
            "'--decentration <MM>' cannot be used with:\n  --a <MM>",
        ),
        (
            with(&["blank", "--ed", "50", "--decentration", "2", "--b", "35"], &[]),
            "--ed <MM>' cannot be used with:",
        ),
        (
            with(&["blank", "--ed", "50", "--decentration", "2", "--eye", "R"], &[]),
            "--ed <MM>' cannot be used with:",
        ),
        (with(&["blank", "--b", "35"], &TRACED), "cannot be used with"),
        (with(&["blank", "--ed", "50"], &[]), "not provided:\n  --decentration <MM>"),
        (with(&["blank", "--decentration", "2"], &[]), "--ed <MM>"),
        (
            with(&["blank", "--ed", "50", "--decentration", "2", "--in", "2"], &[]),
            "'--decentration <MM>' cannot be used with:\n  --in <MM>",
        ),
        (
            with(&["blank", "--in", "2", "--out", "2"], &ELLIPSE),
            "'--in <MM>' cannot be used with '--out <MM>'",
        ),
        (
            with(&["blank", "--up", "2", "--down", "2"], &ELLIPSE),
            "'--up <MM>' cannot be used with '--down <MM>'",
        ),
        (with(&["blank", "--down", "-2"], &ELLIPSE), "zero or more millimetres"),
    ] {
        let output = calc(&shop, &args);
        assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{args:?}: {output:?}");
        assert!(output.stderr.contains(said), "{args:?} lacks `{said}`: {}", output.stderr);
    }
}

#[test]
fn a_record_that_cannot_be_read_names_file_line_and_what_would_be_right() {
    for (from, to, said) in [
        (
            "TRCFMT=1;36;E;R;F",
            "TRCFMT=4;36;E;R;F",
            "frame.txt, line 6: TRCFMT format 4 is not read: expected",
        ),
        ("TRCFMT=1;36;E;R;F", "TRCFMT=1;40;E;R;F", "line 6: 36 numbers in R of the right eye: expected 40"),
        ("R=2560;", "R=25.60;", "line 7: R, number 1: expected a whole number"),
        ("HBOX=50.40;50.40", "HBOX=50.40", "line 3: HBOX has one value, which does not say whose: expected"),
        ("DBL=18.00", "DBL 18.00", "line 2: no `=`: expected LABEL=value"),
    ] {
        let shop = shop(&RECORD.replacen(from, to, 1));
        for args in [with(&["girth"], &TRACED), with(&["blank"], &TRACED)] {
            let output = calc(&shop, &args);
            assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{output:?}");
            assert!(output.stderr.contains(said), "lacks `{said}`: {}", output.stderr);
        }
    }
    let missing = bevelbook(["calc", "girth", "--trace", "none.txt"]);
    assert_eq!((missing.status, missing.stdout.as_str()), (Some(3), ""), "{missing:?}");
    assert!(missing.stderr.contains("none.txt"), "{missing:?}");
    let folder = calc(&shop(RECORD), &["girth", "--trace", "."]);
    assert_eq!(folder.status, Some(4), "a folder is no file: {folder:?}");
}
