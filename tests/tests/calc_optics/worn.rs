//! Lenses at another distance, tilted, thick, magnifying; and sums with a plus cylinder.

use super::{RECOMPUTED, answer, check, told, words};
use bevelbook_tests::meets;
use serde_json::json;

const DURHAM_TILT: &str = "Durham Tech opticianry course, lens tilt";
const VERTEX_TABLE: &str = "published vertex table, 12 mm to the eye";
const EXAM_CARDS: &str = "exam cards on spectacle magnification, brainscape 17752956";
const NFOS_11: &str = "NFOS course, module 11, vertex power worksheet";
const OPTICALED: &str = "opticaled 2009/11, back vertex power";

#[test]
fn vertex_distance() {
    for (worn, at_eye) in [
        ("-12.00", "-10.49"),
        ("-10.00", "-8.93"),
        ("-8.00", "-7.30"),
        ("-6.00", "-5.60"),
        ("-5.00", "-4.72"),
        ("-4.00", "-3.82"),
    ] {
        check("vertex", &[worn], "--from 12 --to 0", &[("sphere_d", at_eye)], VERTEX_TABLE);
    }
    check("vertex", &["-12.00"], "--from 10 --to 14", &[("sphere_d", "-12.605")], EXAM_CARDS);
    // Each principal power by itself: -10.00 and -12.00 of the table; the axis stays.
    let toric = [("sphere_d", "-8.93"), ("cylinder_d", "-1.56"), ("axis_deg", "35")];
    check("vertex", &["-10.00 -2.00 x 35"], "--from 12 --to 0", &toric, RECOMPUTED);
    let unmoved = json!({ "sphere_d": -10.0, "cylinder_d": -2.0, "axis_deg": 35.0 });
    assert_eq!(answer(&["vertex", "-10.00 -2.00 x 35", "--from", "12", "--to", "12"]), unmoved);
}

#[test]
fn tilt() {
    // The course takes 3 for 2n.
    for (rx, about, sphere, cylinder, axis) in [
        ("+15.00 DS", "", "15.15", "0.47", "180"),
        ("-15.00 DS", "", "-15.15", "-0.47", "180"),
        ("-15.00 DS", "--about 90", "-15.15", "-0.47", "90"),
    ] {
        let expected = [("sphere_d", sphere), ("cylinder_d", cylinder), ("axis_deg", axis)];
        check("tilt", &[rx], &format!("--by 10 --index 1.5 {about}"), &expected, DURHAM_TILT);
    }
    // (1 + sin² a/2n) D F D of the power matrix F, D = diag(1, 1/cos a) in axes along and across the tilt.
    for (about, sphere, cylinder, axis) in
        [("180", "-6.141", "-2.250", "26.45"), ("90", "-6.277", "-1.932", "34.13")]
    {
        let expected = [("sphere_d", sphere), ("cylinder_d", cylinder), ("axis_deg", axis)];
        let rest = format!("--by 12 --index 1.6 --about {about}");
        check("tilt", &["-6.00 -2.00 x 30"], &rest, &expected, RECOMPUTED);
    }
}

#[test]
fn vertex_powers_of_thick_lenses() {
    for (lens, front, back, source) in [
        ("--front +3.00 --back -8.50 --centre 2.2 --index 1.498", "-5.40", "-5.49", NFOS_11),
        ("--front +9.50 --back -3.25 --centre 5.7 --index 1.498", "6.29", "6.61", NFOS_11),
        ("--front +9.50 --back -3.25 --centre 3.3 --index 1.66", "6.27", "6.43", NFOS_11),
    ] {
        check("backvertex", &[], lens, &[("front_d", front), ("back_d", back)], source);
    }
    for (lens, back) in [
        ("--front +10.25 --back -3.00 --centre 4 --index 1.586", "7.52"),
        ("--front +15.00 --back -6.00 --centre 6.5 --index 1.523", "10.03"),
    ] {
        check("backvertex", &[], lens, &[("back_d", back)], OPTICALED);
    }
}

#[test]
fn a_front_curve_without_a_sign_is_plus() {
    let lens = |front| {
        answer(&words(&format!("backvertex --front {front} --back -8.50 --centre 2.2 --index 1.498")))
    };
    assert_eq!(lens("3"), lens("+3.00"));
    assert_ne!(lens("3"), lens("-3.00"));
}

#[test]
fn spectacles_magnify() {
    for (lens, shape, power, total) in [
        ("--bvp +4.00 --front +8.00 --centre 4 --index 1.498 --vertex 15", "1.022", "1.064", "1.087"),
        ("--bvp -3.00 --front +4.00 --centre 2 --index 1.498 --vertex 15", "1.005", "0.957", "0.962"),
    ] {
        check("magnify", &[], lens, &[("shape", shape), ("power", power), ("total", total)], EXAM_CARDS);
    }
    // Ratios are answered in millionths.
    let lens = "--bvp +4.00 --front +8.00 --centre 4 --index 1.498 --vertex 15";
    check("magnify", &[], lens, &[("shape", "1.021828"), ("power", "1.063830")], RECOMPUTED);
}

#[test]
fn what_is_printed_wrongly_is_not_met() {
    for (args, field, misprint, printed_in) in [
        ("vertex -6.00 --from 12 --to 0", "sphere_d", "-5.25", "another published vertex table"),
        // 1/(1 - 0.06) is 1.0638; the product of the same card is right.
        (
            "magnify --bvp +4.00 --front +8.00 --centre 4 --index 1.498 --vertex 15",
            "power",
            "1.065",
            EXAM_CARDS,
        ),
    ] {
        let answer = answer(&words(args));
        assert!(answer[field].is_f64() && !meets(&answer[field], misprint), "{printed_in}, yet {answer}");
    }
}

#[test]
fn a_plus_cylinder_is_rounded_by_itself() {
    // Exactly -2.42772 +2.35545 x 117.082 or -0.07228 -2.35545 x 27.082: the rounded minus form, transposed, would have
    // a sphere of -2.427.
    let lenses = ["pl -1.00 x 15", "pl -1.50 x 35"];
    let plus = [("sphere_d", "-2.428"), ("cylinder_d", "2.355"), ("axis_deg", "117.082")];
    check("combine", &lenses, "--plus", &plus, RECOMPUTED);
    let minus = [("sphere_d", "-0.072"), ("cylinder_d", "-2.355"), ("axis_deg", "27.082")];
    check("combine", &lenses, "", &minus, RECOMPUTED);
    // What takes one away and adds the other is their sum again.
    check("residual", &["pl +1.00 x 15", "pl -1.50 x 35"], "--plus", &plus, RECOMPUTED);
}

#[test]
fn people_get_one_line_with_units() {
    for (args, text) in [
        (&["vertex", "-10.00 -2.00 x 35", "--from", "12", "--to", "14"][..], "-10.204 -2.091 x 35"),
        (&["tilt", "+15.00 DS", "--by", "10", "--index", "1.5"], "+15.151 +0.471 x 180"),
        (
            &words("magnify --bvp -3.00 --front +4.00 --centre 2 --index 1.498 --vertex 15"),
            "0.9621, 3.79 % smaller; shape 1.0054, power 0.9569",
        ),
        (
            &words("backvertex --front +3.00 --back -8.50 --centre 2.2 --index 1.498"),
            "back vertex -5.487 D, front vertex -5.395 D",
        ),
    ] {
        told(args, text);
    }
}
