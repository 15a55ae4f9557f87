//! Progressives are laid out by their engravings, on the fitting cross and never on an optical centre.

use super::{assert_near, shown};

/// 50□18, B 34 and ED 51.2: the fitting crosses at 17 mm lie on the horizontal through the boxed centre, 3 mm in.
const ORDER: [[&str; 2]; 8] = [
    ["--right", "+1.00 -0.50 x 90 add +2.00"],
    ["--left", "+1.00 add +2.00"],
    ["--design", "progressive"],
    ["--a", "50"],
    ["--b", "34"],
    ["--ed", "51.2"],
    ["--pd", "31/31"],
    ["--heights", "17"],
];

#[test]
fn the_blank_is_centred_on_the_reference_point_below_the_cross() {
    let shown = shown("", &ORDER);
    for eye in ["right", "left"] {
        let lens = &shown.json[eye];
        // ED + 2·√(3² + 4²) + 2 of allowance; with its middle at the cross it would be 59.2 and ⌀ 60 would serve.
        assert_near(&lens["least_blank_mm"], 63.2);
        assert_near(&lens["stocked_blank_mm"], 65.0);
        assert_near(&lens["in_mm"], 3.0);
        assert_near(&lens["up_mm"], 0.0);
        let layout = &lens["layout"];
        assert_eq!(layout["by"], "fitting-cross");
        for (field, figure) in [
            ("fitting_cross_in_mm", 3.0),
            ("fitting_cross_up_mm", 0.0),
            ("reference_in_mm", 3.0),
            ("reference_up_mm", -4.0),
            ("blank_middle_in_mm", 3.0),
            ("blank_middle_up_mm", -4.0),
            ("thinning_pd", 1.2),
        ] {
            assert_near(&layout[field], figure);
        }
        assert_eq!(layout["thinning_assumed"], true);
        assert!(lens["optical_centre_in_mm"].is_null());
    }
    assert_eq!(shown.row("of it thinning").unwrap(), "1.20 down, assumed 1.20 down, assumed");
    let enough = "63.2 mm; 65 mm blank is enough";
    assert_eq!(shown.row("minimum blank").unwrap(), format!("{enough} {enough}"));
    assert_eq!(shown.row("worked out from").unwrap(), "ED 51.2 ED 51.2");
    assert_eq!(shown.row("fitting cross").unwrap(), "3.0 in, 0 up 3.0 in, 0 up");
    assert_eq!(shown.row("reference point").unwrap(), "3.0 in, 4.0 down 3.0 in, 4.0 down");
    for (name, words) in [
        ("block on", "the fitting cross, or its mark"),
        ("power read", "at the distance circle"),
        ("add read", "at the near circle"),
        ("prism read", "at the reference point"),
        ("blank centre", "at the reference point"),
    ] {
        assert_eq!(shown.row(name).unwrap(), format!("{words} {words}"), "{name}");
    }
    for (name, text) in [("text", &shown.text), ("sheet", &shown.sheet)] {
        assert!(!text.contains("optical centre") && !text.contains("centre dot"), "{name}: {text}");
    }
}

#[test]
fn the_order_goes_before_the_shop_in_how_far_the_reference_point_lies_below() {
    let shop = "progressive.reference_below = 2\n";
    for (settings, own, up) in [(shop, None, -2.0), (shop, Some("3"), -3.0), ("", None, -4.0)] {
        let own = own.map(|own| ["--reference-below", own]);
        let shown = shown(settings, &ORDER.into_iter().chain(own).collect::<Vec<_>>());
        assert_near(&shown.json["right"]["layout"]["blank_middle_up_mm"], up);
    }
}

#[test]
fn thinning_shows_with_the_prescribed_prism_at_the_reference_point() {
    let prism = [["--right", "+1.00 prism 2 in 0.5 up add +2.00"], ["--thinning", "1.5"]];
    let shown = shown("", &[&ORDER[1..], &prism].concat());
    assert_eq!(shown.row("prism").unwrap(), "1.00 down 2.00 in 1.50 down");
    assert_eq!(shown.row("of it thinning").unwrap(), "1.50 down 1.50 down");
    assert_near(&shown.json["right"]["prism"]["base_up_pd"], -1.0);
    assert_near(&shown.json["right"]["ordered"]["base_up_pd"], 0.5);
    // No optical centre is looked for, and what thins it moves no blank.
    assert!(shown.json["left"]["blank"]["if_moved_for_prism_mm"].is_null());
}

#[test]
fn a_balance_lens_beside_a_progressive_is_not_said_to_be_thinned() {
    let order = [&ORDER[..1], &[["--left", "bal -1.00"], ["--thinning", "1.5"]], &ORDER[2..]].concat();
    let shown = shown("", &order);
    assert_eq!(shown.row("of it thinning").unwrap(), "1.50 down");
    assert_near(&shown.json["left"]["prism"]["base_up_pd"], 0.0);
}

#[test]
fn a_progressive_without_heights_says_what_is_missing() {
    let shown = shown("", &ORDER[..7]);
    assert!(shown.cautions.contains("no fitting heights were ordered"), "{}", shown.cautions);
    assert_eq!(shown.row("fitting cross").unwrap(), "3.0 in, 0 up 3.0 in, 0 up");
}

#[test]
fn a_progressive_alone_asks_about_the_prism_that_thins_it() {
    let one = [&[["--left", "none"]], &ORDER[..1], &ORDER[2..]].concat();
    let asked = "one lens alone is thinned";
    assert!(shown("", &one).cautions.contains(asked));
    for other in [ORDER.to_vec(), [&one[..], &[["--thinning", "0"]]].concat()] {
        assert!(!shown("", &other).cautions.contains(asked), "{other:?}");
    }
}

#[test]
fn all_that_is_said_of_a_progressive_keeps_to_its_columns() {
    let shown = shown(
        "",
        &[
            ["--right", "-12.25 -2.75 x 105 prism 10.5 down 12 out add +2.25"],
            ["--left", "+10.50 -3.75 x 175 prism 10.5 up 12 in add +2.25"],
            ["--lab-power-left", "+10.37 -3.62 x 173 prism 10.37 up 12.12 in add 2.12"],
            ["--design", "progressive"],
            ["--heights", "10"],
        ],
    );
    let columns = shown.text.lines().skip_while(|line| !line.starts_with("  ")).skip(1);
    for line in columns.take_while(|line| !line.is_empty()) {
        assert!(line.chars().count() <= 80 && line.chars().nth(48).is_none_or(|c| c == ' '), "{line}");
        assert!(!line.starts_with(' '), "{line}");
    }
}
