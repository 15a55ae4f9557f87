//! How thick a lens has to be, by its rim, its material and a safety rule, and what is said of one that is not.

use super::{assert_near, done, number, plan, whole};
use bevelbook_tests::{Output, Shop, usual_order};
use std::fs;

/// A round shape of radius 25, the dot in its middle; glass and the usual frame.
fn shop(changes: &[[&str; 2]]) -> Shop {
    let shop = Shop::new();
    open(&shop, changes);
    shop
}

fn open(shop: &Shop, changes: &[[&str; 2]]) {
    let round = [["--a", "50"], ["--b", "50"], ["--ed", "50"], ["--dbl", "20"], ["--pd", "35/35"]];
    done(shop.run(usual_order(&[&round, changes].concat())));
}

/// The cautions on the right lens.
fn cautions(shop: &Shop) -> Vec<String> {
    let said = plan(shop)["right"]["cautions"].clone();
    said.as_array().unwrap().iter().map(|caution| caution.as_str().unwrap().to_owned()).collect()
}

fn amend(shop: &Shop, centre: &str) -> Output {
    done(shop.run(["job", "amend", "1", "--why", "thicker", "--centre-thickness", centre]))
}

#[test]
fn the_rim_says_how_thick_an_assumed_edge_is() {
    // Grooved 1.5 to 2.0: a laboratory's guide on bevels; drilled and full rims: common practice, no source.
    for (rim, edge) in [("metal", 1.0), ("plastic", 1.0), ("grooved", 2.0), ("rimless", 1.8)] {
        let shop = shop(&[["--right", "+3.00"], ["--left", "+3.00"], ["--rim", rim]]);
        let thickness = &plan(&shop)["right"]["thickness"];
        assert_near(&thickness["thinnest_mm"], edge);
        assert_near(&thickness["least_edge_mm"], edge);
        assert_eq!((&thickness["bound_by_edge"], cautions(&shop).len()), (&true.into(), 0), "{rim}");
        let text = whole(&shop);
        assert!(text.contains(&format!("mm, for a {edge:.1} mm edge")), "{text}");
    }
}

#[test]
fn a_shop_has_rules_of_its_own() {
    let shop = shop(&[["--right", "+3.00"], ["--left", "+3.00"], ["--rim", "rimless"]]);
    fs::write(shop.settings(), "thickness.rimless_edge = 2.4\n").unwrap();
    assert_near(&plan(&shop)["right"]["thickness"]["thinnest_mm"], 2.4);
    // A material with a thicker edge of its own goes before the rim's.
    fs::write(shop.settings(), "material.cr39.least_edge = 3.0\n").unwrap();
    assert_near(&plan(&shop)["right"]["thickness"]["thinnest_mm"], 3.0);
    fs::write(shop.settings(), "thickness.rimless_edge = 0\n").unwrap();
    let refused = shop.run(["plan", "1"]);
    assert!(refused.stderr.contains("thickness.rimless_edge is 0 mm and must be above 0"), "{refused:?}");
}

#[test]
fn a_thin_ordered_edge_is_told_with_the_centre_that_mends_it() {
    // 2.3 mm in the middle of +2.00 leaves about 1 mm at the edge of a drilled lens.
    let order = [["--right", "+2.00"], ["--left", "+2.00"], ["--rim", "rimless"]];
    let shop = shop(&[&order[..], &[["--centre-thickness", "2.3"]]].concat());
    let thickness = plan(&shop)["right"]["thickness"].clone();
    let needed = number(&thickness["needed_centre_mm"]);
    let said = cautions(&shop);
    let [edge] = said.as_slice() else { panic!("{said:?}") };
    let found = number(&thickness["thinnest_mm"]);
    assert!(found < 1.8 && edge.starts_with(&format!("thinnest edge {found:.3} mm")), "{edge}");
    assert!(edge.contains("at least 1.8 mm for a drilled rimless lens"), "{edge}");
    // Never understated.
    let needed = (needed * 10.0).ceil() / 10.0;
    assert!(edge.contains(&format!("the centre has to be {needed:.1} mm")), "{edge}");
    // That centre mends it, and a tenth less does not.
    amend(&shop, &format!("{:.1}", needed - 0.1));
    assert_eq!(cautions(&shop).len(), 1);
    amend(&shop, &format!("{needed:.1}"));
    assert_eq!(
        (cautions(&shop), plan(&shop)["right"]["thickness"]["needed_centre_mm"].is_null()),
        (vec![], true)
    );
}

#[test]
fn a_thin_ordered_centre_is_told_of_any_material() {
    for (material, name, least) in
        [("glass", "crown glass", "2.0"), ("polycarbonate", "polycarbonate", "1.5")]
    {
        let shop = shop(&[["--right", "-2.00"], ["--material", material], ["--centre-thickness", "0.8"]]);
        let said = cautions(&shop);
        let [centre] = said.as_slice() else { panic!("{said:?}") };
        assert_eq!(
            *centre,
            format!(
                "centre 0.80 mm, at least {least} mm for {name}: the centre has to be {least} mm for this shape"
            )
        );
    }
}

#[test]
fn surfaces_that_meet_are_told_with_the_centre_that_parts_them() {
    let shop = shop(&[["--right", "+4.00"], ["--left", "+4.00"], ["--centre-thickness", "2"]]);
    let said = cautions(&shop);
    let [meet, thin] = said.as_slice() else { panic!("{said:?}") };
    assert!(meet.starts_with("no thickness: the surfaces meet before the edge "), "{meet}");
    let (rule, needed) = thin.split_once(": the centre has to be ").unwrap();
    assert_eq!(rule, "thinnest edge 0.00 mm, at least 1.0 mm for CR-39");
    let needed = needed.strip_suffix(" mm for this shape").unwrap();
    amend(&shop, needed);
    assert_eq!(cautions(&shop), [""; 0]);
    let edge = number(&plan(&shop)["right"]["thickness"]["thinnest_mm"]);
    // The figure is rounded up to a tenth, and the edge grows a little faster than the middle.
    assert!((1.0..1.11).contains(&edge), "{edge}");
}

#[test]
fn a_measured_centre_goes_before_the_ordered_one() {
    let shop = shop(&[["--right", "-2.00"], ["--centre-thickness", "2.2"]]);
    done(shop.run(["record", "made", "1", "r", "--centre", "1.6"]));
    let plan = plan(&shop);
    let right = &plan["right"]["thickness"];
    assert_near(&right["centre_mm"], 1.6);
    assert_eq!(
        (&right["centre_from"], &plan["left"]["thickness"]["centre_from"]),
        (&"measured".into(), &"order".into())
    );
    assert!(
        cautions(&shop)[0].starts_with("centre 1.60 mm, at least 2.0 mm for CR-39"),
        "{:?}",
        cautions(&shop)
    );
}

#[test]
fn a_safety_rule_of_the_shop_is_kept_to_and_named() {
    let shop = Shop::new();
    let rule = "[thickness.safety.workshop]\nleast_centre = 3.0\nsource = \"the works' own rule 7\"\n";
    fs::write(shop.settings(), rule).unwrap();
    open(&shop, &[["--right", "-2.00"], ["--left", "-2.00"], ["--safety", "workshop"]]);
    let assumed = plan(&shop)["right"]["thickness"].clone();
    assert_near(&assumed["centre_mm"], 3.0);
    let text = whole(&shop);
    assert!(text.contains("workshop: centre at least 3.0 mm (the works' own rule 7)"), "{text}");
    amend(&shop, "2.2");
    let said = cautions(&shop);
    assert!(said[0].contains("at least 3.0 mm by the safety rule workshop"), "{said:?}");
    // One that is not there is refused, with those that are.
    let refused = shop.run(["job", "amend", "1", "--why", "slip", "--safety", "worksop"]);
    assert_eq!(refused.status, Some(2), "{refused:?}");
    assert!(
        refused.stderr.contains("no safety rule `worksop` in the settings; known are workshop"),
        "{refused:?}"
    );
    fs::write(shop.settings(), "").unwrap();
    let gone = shop.run(["plan", "1"]);
    assert!(gone.stderr.contains("no safety rule `workshop` in the settings; there is none"), "{gone:?}");
    fs::write(shop.settings(), "thickness.safety.x.least_centre = 3\n").unwrap();
    assert!(shop.run(["plan", "1"]).stderr.contains("source"), "a rule says where it is from");
}
