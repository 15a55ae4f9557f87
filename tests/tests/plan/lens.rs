//! Blank, optical centre, thickness, and the materials they rest on.

use super::{RECORD, assert_near, done, number, plan, shop, traced, whole};
use bevelbook_tests::{Shop, usual_order};
use serde_json::Value;
use std::fs;

#[test]
fn the_blank_of_a_circle_is_its_closed_form() {
    // Radius 25 decentred by 3: 2 · (25 + 3).
    let shop = Shop::new();
    let sizes = [["--a", "50"], ["--b", "50"], ["--dbl", "20"], ["--ed", "50"], ["--pd", "32/32"]];
    done(shop.run(usual_order(&sizes)));
    let plan = plan(&shop);
    for (eye, temple) in [("right", 180.0), ("left", 0.0)] {
        let blank = &plan[eye]["blank"];
        assert_near(&blank["of_shape_mm"], 56.000);
        assert_near(&blank["farthest_deg"], temple);
        assert_eq!(blank["farthest_at"], "temporal");
        // ⌀ 60 with 2 of allowance leaves 1 all round.
        assert_near(&blank["looked_at_mm"], 60.0);
        assert_near(&blank["spare_mm"], 1.0);
        assert_near(&blank["largest_decentration_in_mm"], 4.0);
    }
}

#[test]
fn a_blank_that_is_short_says_where_and_by_how_much() {
    let shop = shop(RECORD);
    fs::write(shop.settings(), "blank.stocked = [50, 55]\n").unwrap();
    done(shop.run(traced(&[])));
    let plan = plan(&shop);
    let right = &plan["right"];
    assert!(right["stocked_blank_mm"].is_null());
    assert_eq!(
        (&right["blank"]["covers"], number(&right["blank"]["looked_at_mm"])),
        (&Value::Bool(false), 55.0)
    );
    let missing = number(&right["least_blank_mm"]) - 55.0;
    assert_near(&right["blank"]["spare_mm"], -missing / 2.0);
    assert_eq!(right["blank"]["spare_at"], "temporal");
    let text = whole(&shop);
    assert!(text.contains("; NO STOCKED BLANK") && text.contains(" SHORT temporal"), "{text}");
    assert!(done(shop.run(["plan", "1"])).stdout.contains("; NO STOCKED BLANK"));
}

#[test]
fn prism_parts_the_optical_centre_from_the_dot() {
    // Course worked example: +4.00 with 2 Δ out each: 5 mm out.
    let shop = Shop::new();
    let lens = "+4.00 DS prism 2 out";
    done(shop.run(usual_order(&[["--right", lens], ["--left", lens], ["--ed", "53"]])));
    let plan = plan(&shop);
    for eye in ["right", "left"] {
        assert_near(&plan[eye]["optical_centre_in_mm"], -5.0);
        assert_near(&plan[eye]["optical_centre_up_mm"], 0.0);
        assert_eq!(plan[eye]["dot_is_optical_centre"], false);
    }
    let text = done(shop.run(["plan", "1"]));
    assert!(text.stdout.contains("5.0 out from dot"), "{text:?}");
    let shop = Shop::new();
    done(shop.run(usual_order(&[["--right", "pl prism 2 out"], ["--ed", "53"]])));
    let text = done(shop.run(["plan", "1"]));
    assert!(text.stdout.contains("nowhere on the lens"), "{text:?}");
    assert!(text.stdout.contains("! right: its prism has to be ground, no decentring gives it"), "{text:?}");
}

#[test]
fn thickness_is_that_of_the_curves_ordered() {
    // F2 = Fv' − F1/(1 − tF1/n), s = r − √(r² − y²), edge = centre − s1 + s2: −4.00, F1 +4.00, n 1.498, 2.0, y 25.
    let shop = Shop::new();
    let order = [
        ["--right", "-4.00"],
        ["--left", "-4.00"],
        ["--a", "50"],
        ["--b", "50"],
        ["--ed", "50"],
        ["--dbl", "20"],
        ["--pd", "35/35"],
        ["--base-curve", "4.00"],
        ["--centre-thickness", "2.0"],
    ];
    done(shop.run(usual_order(&order)));
    let plan_json = plan(&shop);
    for eye in ["right", "left"] {
        let thickness = &plan_json[eye]["thickness"];
        assert_near(&thickness["thickest_mm"], 4.720);
        assert_near(&thickness["centre_mm"], 2.0);
        assert_eq!(
            (&thickness["front_curve_from"], &thickness["centre_from"]),
            (&"order".into(), &"order".into())
        );
        // One third in front: common practice.
        assert_near(&thickness["before_bevel_mm"], 4.720 / 3.0);
    }
    // A plano-concave bound: the pair weighs more than two plates of 2 mm, less than two of 4.72, at 1.315 g/cm³.
    let plate = |thick: f64| 2.0 * std::f64::consts::PI * 25.0 * 25.0 * thick * 1.315e-3;
    let weight = number(&plan_json["pair_weight_g"]);
    assert!(plate(2.0) < weight && weight < plate(4.72), "{weight}");
    fs::write(shop.settings(), "bevel.place = \"front-curve\"\nbevel.from_front = 1.2\n").unwrap();
    let thickness = &plan(&shop)["right"]["thickness"];
    assert_near(&thickness["before_bevel_mm"], 1.2);
    assert_near(&thickness["behind_bevel_mm"], 3.520);
    // A front that does not reach the edge is an answer.
    done(shop.run(["job", "amend", "1", "--why", "steep", "--base-curve", "24/4"]));
    let text = done(shop.run(["plan", "1"])).words();
    assert!(text.contains("! right: no thickness: the front surface is too steep"), "{text}");
    done(shop.run(["job", "amend", "1", "--why", "as usual", "--clear", "base-curve"]));
    assert_eq!(plan(&shop)["right"]["thickness"]["front_curve_from"], "taken");
}

#[test]
fn a_plan_keeps_to_eighty_columns() {
    let shop = shop(RECORD);
    done(shop.run(traced(&[
        ["--right", "-12.25 -2.75 x 105 prism 10.5 down 12 out"],
        ["--left", "+10.50 -3.75 x 175 prism 10.5 up 12 in"],
        ["--treatment", "hard coat,anti-reflective,hydrophobic,a tint of grey from top to bottom"],
        ["--heights", "10"],
        ["--rim", "grooved"],
    ])));
    fs::write(shop.settings(), "blank.stocked = [50]\n").unwrap();
    for plan in [&["plan", "1"][..], &["plan", "1", "--full"]] {
        let text = done(shop.run(plan)).stdout;
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        // Two columns stay apart.
        let columns = text.lines().skip_while(|line| !line.starts_with("  "));
        for line in columns.take_while(|line| !line.is_empty() && !line.starts_with("wheel")) {
            assert_eq!(line.chars().nth(48).filter(|c| *c != ' '), None, "{line}");
        }
    }
}

#[test]
fn settings_tell_where_the_facts_of_a_material_came_from() {
    let shop = Shop::new();
    fs::write(shop.settings(), "[material.house]\nname = \"house\"\nindex = 1.56\nroughing = \"wet\"\n")
        .unwrap();
    let shown = done(shop.run(["settings", "show", "--json"])).json();
    let origin = |name: &str| {
        let values = shown["values"].as_array().unwrap();
        values.iter().find(|value| value["name"] == name).unwrap()["origin"].as_str().unwrap().to_owned()
    };
    assert_eq!(origin("material.cr39.index"), "facts");
    assert_eq!(origin("material.cr39.roughing"), "default");
    assert_eq!(origin("material.house.index"), "file");
    done(shop.run(usual_order(&[["--material", "house"], ["--ed", "53"]])));
    let plan = plan(&shop);
    assert_eq!((&plan["material"], &plan["pair_weight_g"]), (&"house".into(), &Value::Null));
    // The file to edit is one that can be read back.
    let starting = done(shop.run(["settings", "defaults"])).stdout;
    fs::write(shop.settings(), starting).unwrap();
    done(shop.run(["settings", "show"]));
}
