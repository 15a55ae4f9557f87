//! Prism at a point, solved for, combined, split, and between the eyes.

use super::{RECOMPUTED, answer, check, told, words};
use serde_json::json;

const INDIAN_OPTICIAN_2024: &str = "The Indian Optician, November-December 2024, pages 139-140";
const INDIAN_OPTICIAN_2022: &str = "The Indian Optician, September-October 2022, page 108";
const SLIDES: &str = "course slides, fitting single-vision lenses, topic 8, prismatic effects";
const MOCK_EXAM: &str = "mrcophth mock exam 13, station 7";
const DURHAM_PRISM: &str = "Durham Tech opticianry course, prism module 1";
const DURHAM_9: &str = "Durham Tech opticianry course, module 9";
const EXAM_GUIDE: &str = "open-exam-prep, opticianry 3.1";
const MCCARTHY: &str = "P. McCarthy, Back to basics in dispensing, part 8";
const COOK: &str = "P. R. Cook, 20/20 Magazine, on vertical imbalance";

#[test]
fn prism_at_a_point_of_a_lens() {
    for (rx, rest, horizontal, vertical, source) in [
        // Printed from sines of four figures: the horizontal part is 2.8151.
        (
            "+6.00 -3.00 x 140",
            "--eye r --in 2.5 --down 11",
            ("2.81", "out"),
            ("5.03", "up"),
            INDIAN_OPTICIAN_2024,
        ),
        ("-3.00 -2.00 x 30", "--eye r --out 4 --up 2", ("1.573", "out"), ("1.246", "up"), RECOMPUTED),
        // The same point of the same lens before the left eye, whose nose is on the other side.
        ("-3.00 -2.00 x 30", "--eye l --in 4 --up 2", ("1.573", "in"), ("1.246", "up"), RECOMPUTED),
    ] {
        let expected = [
            ("horizontal_pd", horizontal.0),
            ("horizontal_base", horizontal.1),
            ("vertical_pd", vertical.0),
            ("vertical_base", vertical.1),
        ];
        check("prism", &[rx], rest, &expected, source);
    }
    // On the axis of the cylinder, which has no part in it; only the vertical part is printed.
    let vertical = [("vertical_pd", "2.00"), ("vertical_base", "down")];
    let rest = "--eye r --in 3.85 --up 6.67";
    check("prism", &["+3.00 +2.00 x 60"], rest, &vertical, INDIAN_OPTICIAN_2022);
    // The slides name no eye and no direction.
    check("prism", &["+2.00 DS"], "--eye l --out 10", &[("total_pd", "2.00")], SLIDES);
}

#[test]
fn opposite_flags_are_one_distance_with_a_sign() {
    let lens = "-3.00 -2.00 x 30";
    let by_names = answer(&["prism", lens, "--eye", "r", "--out", "4", "--down", "2"]);
    assert_eq!(answer(&["prism", lens, "--eye", "r", "--in", "-4", "--up", "-2"]), by_names);
    // A direction left out is zero.
    let level = answer(&["prism", lens, "--eye", "r", "--in", "4", "--up", "0"]);
    assert_eq!(answer(&["prism", lens, "--eye", "r", "--in", "4"]), level);
}

#[test]
fn the_optical_centre_has_no_prism_and_no_base() {
    let none = json!({
        "horizontal_pd": 0.0, "horizontal_base": null, "vertical_pd": 0.0, "vertical_base": null,
        "total_pd": 0.0, "base_deg": null,
    });
    assert_eq!(answer(&["prism", "-3.00 DS", "--eye", "l", "--in", "0"]), none);
    assert_eq!(answer(&["prism", "--horizontal", "0", "--eye", "l"]), none);
    assert_eq!(answer(&["prism", "--total", "0", "--base", "37", "--eye", "l"]), none);
}

#[test]
fn a_mirrored_lens_gives_the_other_eye_the_same_parts_and_a_mirrored_base() {
    for (right, left) in [
        ("-3.00 -2.00 x 30", "-3.00 -2.00 x 150"),
        ("+6.00 -3.00 x 140", "+6.00 -3.00 x 40"),
        ("-1.25 DS", "-1.25 DS"),
        ("pl +2.50 x 67", "pl +2.50 x 113"),
    ] {
        for rest in ["--in 2.5 --down 11", "--out 4 --up 2", "--in 3", "--want 1.5up2in"] {
            if right.starts_with("pl") && rest.contains("want") {
                continue; // A plano cylinder reaches only the prism across its axis.
            }
            let seen =
                |eye: &str, rx: &str| answer(&[&["prism", rx, "--eye", eye], &words(rest)[..]].concat());
            let (mut one, mut other) = (seen("r", right), seen("l", left));
            let bases = [&mut one, &mut other].map(|answer| answer["base_deg"].take().as_f64());
            assert_eq!(one, other, "{right} {rest}");
            let [Some(one), Some(other)] = bases else { panic!("{right} {rest}: {bases:?}") };
            let mirrored = (180.0 - one).rem_euclid(360.0);
            assert!((other - mirrored).abs() < 1e-9, "{right} {rest}: {one} {other}");
        }
    }
}

#[test]
fn a_wanted_prism_has_its_point() {
    for eye in ["r", "l"] {
        // The optical centres go 5 mm out, so each eye looks 5 mm in of its own.
        let answer = answer(&["prism", "+4.00 DS", "--eye", eye, "--want", "2 out"]);
        assert_eq!((&answer["in_mm"], &answer["up_mm"]), (&json!(5.0), &json!(0.0)), "{eye} ({MOCK_EXAM})");
    }
}

/// The solved point is rounded to 0.001 mm: each part of it is at most 0.51 µm off, so the prism at most 0.00073 Δ for
/// every 10 D of the stronger principal power; and the prism is rounded to 0.001 Δ.
#[test]
fn the_prism_at_the_solved_point_is_the_one_wanted() {
    for (rx, strongest) in [
        ("-3.00 -2.00 x 30", 5.0),
        ("+6.00 -3.00 x 140", 6.0),
        ("+0.25 +0.50 x 77", 0.75),
        ("-18.25 +3.75 x 111", 18.25),
        ("-1.00 DS", 1.0),
    ] {
        for eye in ["r", "l"] {
            for (wanted, base_in, base_up) in
                [("1.5 up 2 in", 2.0, 1.5), ("0.75 down", 0.0, -0.75), ("3.25 out 0.125 down", -3.25, -0.125)]
            {
                let solved = answer(&["prism", rx, "--eye", eye, "--want", wanted]);
                let [inward, up] = ["in_mm", "up_mm"].map(|field| solved[field].to_string());
                let met = answer(&["prism", rx, "--eye", eye, "--in", &inward, "--up", &up]);
                let part = |size: &str, base: &str, negative: &str| {
                    let sign = if met[base] == negative { -1.0 } else { 1.0 };
                    met[size].as_f64().map_or(f64::NAN, |size| sign * size)
                };
                let bound = 0.0005 + 0.000_073 * strongest + 1e-9;
                let off = [
                    part("horizontal_pd", "horizontal_base", "out") - base_in,
                    part("vertical_pd", "vertical_base", "down") - base_up,
                ];
                assert!(off.iter().all(|off| off.abs() <= bound), "{rx} {eye} {wanted}: {solved} {met}");
                // The prism that the solution shows is that of its own point.
                assert_eq!(solved["total_pd"], met["total_pd"], "{rx} {eye} {wanted}");
            }
        }
    }
}

#[test]
fn prism_combined_and_split() {
    let combined = [
        ("--eye r --horizontal 2in --vertical 1.5up", "2.5", "37", DURHAM_PRISM),
        ("--eye l --horizontal 2in --vertical 1.5down", "2.5", "217", DURHAM_PRISM),
        // About 36.9° from the horizontal; toward the viewer's left before the right eye.
        ("--eye r --horizontal 4out --vertical 3up", "5", "143.1", EXAM_GUIDE),
        ("--eye l --horizontal 4out --vertical 3up", "5", "36.9", EXAM_GUIDE),
    ];
    for (rest, total, base, source) in combined {
        check("prism", &[], rest, &[("total_pd", total), ("base_deg", base)], source);
    }
    for (rest, horizontal, vertical, source) in [
        ("--eye r --total 2.5 --base 37", ("2.0", "in"), ("1.5", "up"), DURHAM_PRISM),
        ("--eye l --total 2.5 --base 217", ("2.0", "in"), ("1.5", "down"), DURHAM_PRISM),
        ("--eye l --total 2.5 --base 37", ("1.997", "out"), ("1.505", "up"), RECOMPUTED),
    ] {
        let expected = [
            ("horizontal_pd", horizontal.0),
            ("horizontal_base", horizontal.1),
            ("vertical_pd", vertical.0),
            ("vertical_base", vertical.1),
        ];
        check("prism", &[], rest, &expected, source);
    }
    // A whole is answered as it was given, its base counted once round.
    check(
        "prism",
        &[],
        "--eye r --total 2.5 --base 37",
        &[("total_pd", "2.500"), ("base_deg", "37.000")],
        "",
    );
    assert_eq!(answer(&words("prism --eye r --total 2 --base 360"))["base_deg"], json!(0.0));
}

#[test]
fn prism_between_the_eyes() {
    for (rx, rest, vertical, source) in [
        (["-1.00 DS", "-3.00 DS"], "--down 8", "1.60", DURHAM_9),
        (["+1.00 DS", "+3.00 DS"], "--down 10", "2.00", MCCARTHY),
        (["-1.00 DS", "+1.00 DS"], "--down 5", "1.00", COOK),
    ] {
        check("imbalance", &rx, rest, &[("vertical_pd", vertical), ("horizontal_pd", "0.00")], source);
    }
    // Equal lenses differ in nothing below; in of both centres their bases add. Prentice's rule.
    let equal = [("vertical_pd", "0.000"), ("horizontal_pd", "0.800")];
    check("imbalance", &["-4.00 DS"; 2], "--in 1 --down 8", &equal, RECOMPUTED);
    // Each eye at its own point: 0.3 in and 0.8 down, 0.6 out and none.
    let args = ["imbalance", "-1.00 DS", "-3.00 DS", "--right", "3 in 8 down", "--left", "2 out"];
    let expected =
        json!({ "horizontal_pd": 0.3, "horizontal_base": "out", "vertical_pd": 0.8, "base_up_eye": "left" });
    assert_eq!(answer(&args), expected, "{RECOMPUTED}");
}

#[test]
fn a_pair_differs_by_what_its_lenses_do() {
    let lenses = ["-3.00 -2.00 x 30", "+1.50 -0.75 x 165"];
    let signed = |eye, rx| {
        let at = answer(&["prism", rx, "--eye", eye, "--in", "2", "--down", "8"]);
        let part = |part: &str, negative: &str| {
            let size = at[format!("{part}_pd")].as_f64().unwrap_or(f64::NAN);
            if at[format!("{part}_base")] == negative { -size } else { size }
        };
        [part("horizontal", "out"), part("vertical", "down")]
    };
    let (right, left) = (signed("r", lenses[0]), signed("l", lenses[1]));
    let pair = answer(&["imbalance", lenses[0], lenses[1], "--in", "2", "--down", "8"]);
    // The pair is rounded once, its parts twice.
    let (across, upright) = (right[0] + left[0], right[1] - left[1]);
    for (field, sum) in [("horizontal_pd", across.abs()), ("vertical_pd", upright.abs())] {
        assert!(pair[field].as_f64().is_some_and(|got| (got - sum).abs() < 0.0016), "{field}: {pair} {sum}");
    }
    let words = [if across > 0.0 { "in" } else { "out" }, if upright > 0.0 { "right" } else { "left" }];
    assert_eq!([&pair["horizontal_base"], &pair["base_up_eye"]], words);
}

#[test]
fn people_get_one_line_with_units_and_base_words() {
    for (args, text) in [
        (
            &["prism", "+6.00 -3.00 x 140", "--eye", "r", "--in", "2.5", "--down", "11"][..],
            "5.033 up 2.815 out; as one 5.767 Δ, base 119.2°",
        ),
        (&["prism", "-3.00 DS", "--eye", "r", "--in", "0"], "no prism"),
        (
            &["prism", "+4.00 DS", "--eye", "r", "--want", "2 out"],
            "look through 5 mm in of the optical centre (decentre the lens 5 mm out): 2.00 out; as one 2.00 Δ, \
             base 180.0°",
        ),
        (&["prism", "pl", "--eye", "r", "--want", "0"], "look through the optical centre: no prism"),
        (
            &["imbalance", "+1.00 DS", "+3.00 DS", "--down", "10"],
            "horizontal none; vertical 2.00 up before the left eye",
        ),
        (
            &["imbalance", "-4.00 DS", "-4.00 DS", "--out", "1"],
            "horizontal 0.80 out, both eyes together; vertical none",
        ),
    ] {
        told(args, text);
    }
}
