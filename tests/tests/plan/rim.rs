//! How a lens sits in its rim: bevel, groove or neither, the curves of bevel and rim, and the girth in space.

use super::{RECORD, assert_near, done, number, plan, shop, traced, whole};
use bevelbook_tests::{Shop, answer, meets, usual_order};
use serde_json::Value;
use std::f64::consts::TAU;
use std::fs;

/// −4.00 on +4.00 in CR-39, 2.0 mm in the middle of an ellipse of 50 by 38 mm, with `changes`.
fn minus_four(changes: &[[&str; 2]]) -> Shop {
    let order = [
        ["--right", "-4.00"],
        ["--left", "-4.00"],
        ["--dbl", "20"],
        ["--pd", "35/35"],
        ["--base-curve", "4.00"],
        ["--centre-thickness", "2.0"],
    ];
    let shop = Shop::new();
    done(shop.run(usual_order(&[&order, changes].concat())));
    shop
}

fn within(found: &Value, expected: f64, bound: f64) {
    assert!((number(found) - expected).abs() <= bound, "{found} for {expected}");
}

#[test]
fn the_bevel_runs_on_a_curve_between_those_of_the_surfaces() {
    // Worked out with numpy apart from this program (tests/reference/ring.py prints it): 5.757, 4.257 before, 8.537 behind.
    let shop = minus_four(&[]);
    let body = plan(&shop)["right"]["thickness"].clone();
    within(&body["bevel_curve_d"], 5.757, 0.003);
    assert!(body["bevel_off_rim_mm"].is_null(), "{body}");
    let text = whole(&shop);
    assert!(text.contains("+5.76 D in 1.530") && !text.contains("the bevel runs"), "{text}");
    fs::write(shop.settings(), "bevel.place = \"front-curve\"\n").unwrap();
    within(&plan(&shop)["right"]["thickness"]["bevel_curve_d"], 4.257, 0.003);
}

#[test]
fn a_rim_on_another_curve_is_said_with_what_would_bring_them_together() {
    // 0.249 mm with each dioptre: (25² − 19²)/(2 · 530) and a little.
    let near = minus_four(&[["--frame-curve", "6.00"]]);
    assert!(!whole(&near).contains("the bevel runs"));
    within(&plan(&near)["right"]["thickness"]["bevel_off_rim_mm"], 0.243 * 0.249, 0.01);
    let steep = minus_four(&[["--frame-curve", "8.00"]]);
    let (body, text) = (plan(&steep)["right"].clone(), whole(&steep));
    assert_eq!(
        (&body["shape"]["rim_curve_d"], &body["shape"]["rim_curve_from"]),
        (&8.0.into(), &"order".into())
    );
    assert!(text.contains("+5.76 D, rim +8.00 D"), "{text}");
    // (8.00 − 4.257)/(8.537 − 4.257) is 0.87 of the edge.
    for said in [
        "the bevel runs on +5.76 D, the rim on +8.00 D (as ordered): round the lens they part by 0.56 mm",
        "about 9 tenths",
        "steeper",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let short = done(steep.run(["plan", "1"])).words();
    assert!(
        short.contains("! both: the bevel runs on +5.76 D, the rim on +8.00 D: 0.56 mm apart"),
        "{short}"
    );
    let flat = whole(&minus_four(&[["--frame-curve", "2.00"]]));
    assert!(flat.contains("no place on this edge runs with the rim: a flatter base curve"), "{flat}");
    // What counts as far is the shop's.
    fs::write(steep.settings(), "bevel.curve_apart = 3\n").unwrap();
    assert!(!whole(&steep).contains("the bevel runs"));
    // A round lens runs with any rim.
    let round = minus_four(&[["--b", "50"], ["--frame-curve", "8.00"]]);
    let text = whole(&round);
    assert!(text.contains("round: runs with any rim") && !text.contains("the bevel runs"), "{text}");
}

/// Radii of the right eye of the record, in mm.
fn radii() -> Vec<f64> {
    let right = RECORD.split("TRCFMT=1;36;E;R;F").nth(1).unwrap().split("TRCFMT").next().unwrap();
    let lines = right.lines().filter_map(|line| line.strip_prefix("R="));
    lines.flat_map(|line| line.split(';')).map(|radius| radius.parse::<f64>().unwrap() / 100.0).collect()
}

/// How deep a curve of this power in 1.530 lies at a distance from its vertex, in mm: r − √(r² − y²).
fn sag(power: f64, y: f64) -> f64 {
    let r = 530.0 / power;
    r - r.signum() * (r * r - y * y).sqrt()
}

/// The record with depths of a rim of this power, toward the viewer, about the origin of the trace.
fn with_depths(power: f64) -> String {
    let depths: Vec<String> =
        radii().iter().map(|radius| format!("{:.0}", -100.0 * sag(power, *radius))).collect();
    format!("{RECORD}ZFMT=1;36;E;R;F\r\nZ={}\r\n", depths.join(";"))
}

/// Closed chords of points at equal angles with such depths, in mm.
fn chords(radii: &[f64], depth: impl Fn(f64, f64) -> f64) -> f64 {
    let count = radii.len();
    let point = |at: usize| {
        let (sin, cos) = (at as f64 * TAU / count as f64).sin_cos();
        let (x, y) = (radii[at % count] * cos, radii[at % count] * sin);
        [x, y, depth(x, y)]
    };
    let apart = |[a, b, c]: [f64; 3], [x, y, z]: [f64; 3]| (a - x).hypot(b - y).hypot(c - z);
    (0..count).map(|at| apart(point(at), point(at + 1))).sum()
}

#[test]
fn a_trace_with_depths_shows_the_curve_of_its_rim() {
    for power in [4.0, 6.0, 8.0] {
        let shop = shop(&with_depths(power));
        done(shop.run(traced(&[["--frame-curve", "6.00"]])));
        let text = whole(&shop);
        let shape = &plan(&shop)["right"]["shape"];
        // Depths are whole hundredths, and some 0.3 mm part with each dioptre.
        within(&shape["rim_curve_d"], power, 0.03);
        assert_eq!(shape["rim_curve_from"], "trace");
        let differs = format!("right: the rim is ordered as +6.00 D and traced as +{power:.1}");
        assert_eq!(text.contains(&differs), (power - 6.0).abs() > 1.0, "{text}");
        // The girth in space is that of the depths, whatever the order says.
        let depth = |x: f64, y: f64| -(sag(power, x.hypot(y)) * 100.0).round() / 100.0;
        within(&shape["girth_in_space_mm"], chords(&radii(), depth), 0.001);
        assert!(shape["girth_on_curve_mm"].is_null() && text.contains("with its depths"), "{text}");
    }
    let hollow = shop(&with_depths(-6.0));
    done(hollow.run(traced(&[])));
    let text = done(hollow.run(["plan", "1"])).stdout;
    assert!(text.contains("bend the rim away from the face"), "{text}");
}

#[test]
fn without_depths_the_girth_in_space_is_that_on_a_curve_and_says_so() {
    let shop = shop(RECORD);
    done(shop.run(traced(&[["--frame-curve", "6.00"]])));
    let view = plan(&shop);
    let shape = &view["right"]["shape"];
    // About the boxed centre, which lies at (0.400, 0.246) of the trace.
    let girth = chords(&radii(), |x, y| sag(6.0, (x - 0.4).hypot(y - 0.246)));
    within(&shape["girth_on_curve_mm"], girth, 0.001);
    assert_eq!((&shape["girth_on_curve_d"], &shape["girth_on_curve_of"]), (&6.0.into(), &"rim".into()));
    assert_near(&shape["girth_mm"], 140.344);
    assert!(girth - 140.344 > 0.05, "{girth}");
    let text = whole(&shop);
    assert!(
        text.contains("140.34 mm, 2-D chords") && text.contains(&format!("{girth:.2} mm, rim at +6.00 D")),
        "{text}"
    );
    done(shop.run([
        "job",
        "amend",
        "1",
        "--why",
        "not known",
        "--clear",
        "frame-curve",
        "--base-curve",
        "5 nominal",
    ]));
    let shape = plan(&shop)["right"]["shape"].clone();
    assert_eq!((&shape["girth_on_curve_d"], &shape["girth_on_curve_of"]), (&5.0.into(), &"front".into()));
    // Asked for alone.
    let frame = shop.folder().join("frame.txt");
    let asked = ["girth", "--trace", frame.to_str().unwrap(), "--eye", "R", "--curve", "6"];
    within(&answer(&asked)["on_curve_mm"], girth, 0.001);
    assert_near(&answer(&asked)["girth_mm"], 140.344);
    let steep = shop.run(["calc", "girth", "--a", "52", "--b", "30", "--curve", "25"]);
    assert!(
        steep.status == Some(2) && steep.stderr.contains("--curve: a curve of radius 21.2 mm"),
        "{steep:?}"
    );
}

#[test]
fn a_rim_is_called_what_it_is_and_only_one_with_a_groove_has_a_bevel() {
    for (rim, named, edge) in [
        ("metal", "metal rim", "bevel"),
        ("plastic", "plastic rim", "bevel"),
        ("grooved", "nylon groove", "flat; groove 0.6 mm wide, 0.4 mm deep"),
        ("rimless", "rimless", "flat, drilled"),
    ] {
        let shop = minus_four(&[["--rim", rim], ["--frame-curve", "8.00"]]);
        let text = whole(&shop);
        assert!(text.contains(&format!("frame Lindgren 7 50□20, {named} ")), "{text}");
        assert!(text.contains(edge), "{text}");
        let bevels = text.contains("bevel there") && text.contains("bevel curve");
        assert_eq!((bevels, text.contains("the bevel runs")), (edge == "bevel", edge == "bevel"), "{text}");
        assert_eq!(text.replace("bevelbook", "").contains("bevel"), edge == "bevel", "{text}");
        let short = done(shop.run(["plan", "1"])).words();
        assert!(short.contains(&format!("50□20, {named} ")) && short.contains(edge), "{short}");
        let show = done(shop.run(["job", "show", "1"])).stdout;
        assert!(show.contains(&format!("50□20, {named}\n")), "{show}");
        let sheet = done(shop.run(["sheet", "1", "--out", "-"])).stdout;
        assert!(sheet.contains(named) && !sheet.contains("grooved rim"), "{rim}");
    }
}

#[test]
fn a_bevel_that_would_be_absurd_is_said_so() {
    let shop = minus_four(&[]);
    let text = done(shop.run(["plan", "1", "--full"]));
    let body = plan(&shop)["right"]["thickness"].clone();
    let row = text.stdout.lines().find(|line| line.starts_with("bevel there")).unwrap();
    assert!(row.contains(" front, ") && meets(&body["before_bevel_mm"], "1.57"), "{row} {body}");
    assert!(row.contains("1.57 front, 3.15 back"), "{row}");
    // A third of a thick edge: 10.6 mm of −12.00.
    let thick = minus_four(&[["--right", "-12.00"], ["--base-curve", "1.00"]]);
    let text = done(thick.run(["plan", "1"])).words();
    assert!(text.contains("! right: ") && text.contains("there the lens stands out of its rim"), "{text}");
    fs::write(thick.settings(), "bevel.place = \"front-curve\"\n").unwrap();
    assert!(!whole(&thick).contains("stands out of its rim"));
    // A plano of 1.5 mm is thinner than the foot of its bevel.
    let thin = minus_four(&[["--right", "pl"], ["--left", "pl"], ["--centre-thickness", "1.5"]]);
    let text = whole(&thin);
    assert!(text.contains("the whole edge is bevel"), "{text}");
    fs::write(thin.settings(), "bevel.foot = 1.4\n").unwrap();
    assert!(whole(&thin).contains("0.50 front, "));
    // On the front curve a bevel leaves a thin edge.
    let plus = minus_four(&[
        ["--right", "+4.00"],
        ["--left", "+4.00"],
        ["--base-curve", "9.00"],
        ["--centre-thickness", "4.0"],
    ]);
    fs::write(plus.settings(), "bevel.place = \"front-curve\"\nbevel.from_front = 1.5\n").unwrap();
    let text = done(plus.run(["plan", "1"])).words();
    assert!(text.contains("a bevel 1.5 mm behind the front lies off an edge of"), "{text}");
    // A groove in a thin edge.
    let cord = minus_four(&[
        ["--right", "+4.00"],
        ["--rim", "grooved"],
        ["--base-curve", "9.00"],
        ["--centre-thickness", "4.0"],
    ]);
    let text = whole(&cord);
    assert!(text.contains("at least 2.0 mm for a grooved lens"), "{text}");
}
