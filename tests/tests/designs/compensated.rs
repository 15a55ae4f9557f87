//! What a supplier says that a lens is to read as takes the ordered power's place in every figure of the focimeter (a
//! summary of NBR ISO 21987:2019).

use super::{assert_near, shown};

/// Ordered −4.00 −1.00 × 15, the right lens made to read as −3.87 −1.25 × 22.
const ORDER: [[&str; 2]; 4] = [
    ["--right", "-4.00 -1.00 x 15"],
    ["--left", "-4.00 -1.00 x 165"],
    ["--lab-power-right", "-3.87 -1.25 x 22"],
    ["--ed", "53"],
];

#[test]
fn the_lines_are_those_of_the_power_to_verify_and_the_ordered_one_stands_beside_it() {
    let shown = shown("", &ORDER);
    let right = &shown.json["right"];
    for (field, figure) in [
        ("first_line_d", -3.87),
        ("first_line_deg", 22.0),
        ("second_line_d", -5.12),
        ("second_line_deg", 112.0),
    ] {
        assert_near(&right[field], figure);
    }
    for (whose, [sphere, cylinder, axis]) in
        [("minus", [-3.87, -1.25, 22.0]), ("expected", [-3.87, -1.25, 22.0]), ("ordered", [-4.0, -1.0, 15.0])]
    {
        assert_near(&right[whose]["sphere_d"], sphere);
        assert_near(&right[whose]["cylinder_d"], cylinder);
        assert_near(&right[whose]["axis_deg"], axis);
    }
    // S + C·sin²(θ − A): 90 and 180 lie 68° and 158° from the axis.
    let at = |from: f64| -3.87 - 1.25 * from.to_radians().sin().powi(2);
    assert_near(&right["at_90_d"], at(68.0));
    assert_near(&right["at_180_d"], at(158.0));
    // The left lens has no power to verify: its own.
    assert_near(&shown.json["left"]["first_line_deg"], 165.0);
    for (name, words) in [
        ("Rx", ["-4.00 -1.00 x 15", "-4.00 -1.00 x 165"]),
        ("to read as", ["-3.87 -1.25 x 22", ""]),
        ("sphere line", ["-3.87 at 22", "-4.00 at 165"]),
        ("cylinder line", ["-5.12 at 112", "-5.00 at 75"]),
        ("axis", ["22", "165"]),
    ] {
        assert_eq!(shown.row(name).unwrap(), words.join(" ").trim_end(), "{name}");
        let printed = words.map(|words| words.replace('-', "−").replace('x', "×"));
        assert_eq!(shown.printed(name).unwrap(), printed.each_ref().map(String::as_str), "{name}");
    }
    // The drawing's axis: from the viewer's right, anticlockwise.
    let axis = shown.sheet.split("data-part=\"axis\"").nth(1).unwrap();
    let end = |name: &str| -> f64 {
        axis.split(&format!(" {name}=\"")).nth(1).unwrap().split('"').next().unwrap().parse().unwrap()
    };
    let drawn = (end("y1") - end("y2")).atan2(end("x2") - end("x1")).to_degrees().rem_euclid(180.0);
    assert!((drawn - 22.0).abs() < 0.01 && shown.sheet.contains(">axis 22<"), "{drawn}");
    assert!(!shown.sheet.contains(">axis 15<"));
}

#[test]
fn prism_and_addition_to_verify_take_the_place_of_those_ordered() {
    let shown = shown(
        "",
        &[
            ["--right", "-4.00 -1.00 x 15 prism 1 in add +2.00"],
            ["--left", "-4.00 -1.00 x 165 add +2.00"],
            ["--lab-power-right", "-3.87 -1.25 x 22 prism 1.10 down 0.80 in add 2.10"],
            ["--design", "progressive"],
            ["--heights", "21"],
            ["--ed", "53"],
        ],
    );
    // All of it is said, so nothing is added to thin the lens.
    assert_eq!(shown.row("prism").unwrap(), "1.10 down 0.80 in");
    assert_eq!(shown.row("ordered prism").unwrap(), "1.00 in");
    assert_eq!(shown.row("add").unwrap(), "+2.10 +2.00");
    assert_eq!(shown.row("ordered add").unwrap(), "+2.00");
    assert_eq!(shown.row("of it thinning"), None);
}

#[test]
fn nothing_stands_beside_a_power_that_is_marked_as_it_is_ordered() {
    let shown = shown("", &[["--right", "-4.00 -1.00 x 15 prism 1 in"], ["--ed", "53"]]);
    for name in ["to read as", "ordered prism", "ordered add"] {
        assert_eq!((shown.row(name), shown.printed(name)), (None, None));
    }
}
