//! Base curves, said in the lens's material or in 1.530, and whether those of a pair match.

use super::{assert_near, done, number, plan, whole};
use bevelbook_tests::{Shop, meets, usual_order};
use std::fs;

/// An order with this base curve in this material.
fn ordered(curve: &str, material: &str) -> Shop {
    let shop = Shop::new();
    done(shop.run(usual_order(&[["--base-curve", curve], ["--material", material], ["--ed", "53"]])));
    shop
}

#[test]
fn a_nominal_curve_is_worked_out_in_the_material() {
    // true = nominal · (n − 1)/0.530; for a clock of 1.523 the like is published (exam preparation page).
    for (material, index, printed) in [
        ("cr39", 1.498, "5.64"),
        ("polycarbonate", 1.586, "6.63"),
        ("i167", 1.67, "7.58"),
        ("u153", 1.53, "6.00"),
    ] {
        let shop = ordered("6.00 nominal", material);
        let plan = plan(&shop);
        let body = &plan["right"]["thickness"];
        assert!(meets(&body["front_curve_d"], printed), "{material}: {body}");
        assert_near(&body["front_curve_d"], 6.0 * (index - 1.0) / 0.53);
        assert_near(&body["front_curve_nominal_d"], 6.0);
        assert_eq!(
            (&body["front_curve_basis"], &body["front_curve_from"]),
            (&"nominal".into(), &"order".into())
        );
        let text = whole(&shop);
        assert!(text.contains("+6.00 D nominal, ordered"), "{text}");
    }
}

#[test]
fn the_same_figure_in_the_material_is_another_lens() {
    let lens = |curve| {
        let shop = ordered(curve, "i167");
        let body = plan(&shop)["right"]["thickness"].clone();
        (body, whole(&shop) + &done(shop.run(["job", "show", "1"])).stdout)
    };
    let (own, text) = lens("6.00");
    assert_near(&own["front_curve_d"], 6.0);
    assert_near(&own["front_curve_nominal_d"], 6.0 * 0.53 / 0.67);
    assert!(text.contains("+6.00 D in 1.670, ordered"), "{text}");
    assert!(text.contains("+6.00/+6.00 D in the material"), "{text}");
    let (nominal, text) = lens("6.00 nominal");
    // Steeper, so that both faces bend more: thicker at the edge by some hundredths.
    assert!(number(&nominal["thickest_mm"]) - number(&own["thickest_mm"]) > 0.02, "{own} {nominal}");
    assert!(text.contains("+6.00/+6.00 D nominal (1.530)"), "{text}");
}

#[test]
fn an_assumed_curve_says_its_index_and_the_shop_chooses_it() {
    let shop = Shop::new();
    done(shop.run(usual_order(&[
        ["--right", "-4.00"],
        ["--left", "-4.00"],
        ["--material", "i167"],
        ["--ed", "53"],
    ])));
    let body = || plan(&shop)["right"]["thickness"].clone();
    // The shop's rule: 6 − 4/2.
    assert_eq!(body()["front_curve_basis"], "material");
    assert_near(&body()["front_curve_d"], 4.0);
    fs::write(shop.settings(), "front_curve.basis = \"nominal\"\n").unwrap();
    assert_eq!(body()["front_curve_basis"], "nominal");
    assert_near(&body()["front_curve_nominal_d"], 4.0);
    assert_near(&body()["front_curve_d"], 4.0 * 0.67 / 0.53);
}

#[test]
fn curves_of_a_pair_that_do_not_match_are_remarked_upon() {
    let opened = |changes: &[[&str; 2]]| {
        let shop = Shop::new();
        let opened = done(shop.run(usual_order(changes)));
        opened.stderr + &done(shop.run(["plan", "1"])).stdout
    };
    let apart = opened(&[["--base-curve", "6.00/4.00"], ["--ed", "53"]]);
    assert!(apart.contains("base curve: right +6.00, left +4.00 D"), "{apart}");
    assert!(!opened(&[["--base-curve", "6.00/5.00"], ["--ed", "53"]]).contains("base curve"));
    // Assumed ones: 6 + 3 and 6 + 0.5.
    let assumed = opened(&[["--right", "+3.00"], ["--left", "+0.50"], ["--ed", "53"]]);
    assert!(assumed.contains("the assumed base curves do not match"), "{assumed}");
}

#[test]
fn a_measured_curve_is_told_beside_the_ordered_one_and_the_other_lens() {
    let shop = ordered("6.00", "i167");
    let made = |args: &[&str]| done(shop.run([&["record", "made", "1"], args].concat()));
    let right = made(&["r", "--base-curve", "5.00", "--json"]);
    assert_near(&right.json()["base_curve_d"], 5.0);
    // 6.00 in 1.67 is 4.746 in 1.530.
    assert!(right.stderr.contains("ordered +4.746 D in 1.530: +0.254 D from it"), "{right:?}");
    let left = made(&["l", "--base-curve", "6.25"]);
    assert!(left.stdout.contains("left lens 1: base curve +6.25 D in 1.530"), "{left:?}");
    assert!(
        left.stderr.contains("the right lens has +5.00 D: a pair is usually made on curves that match"),
        "{left:?}"
    );
    assert!(!made(&["l", "--base-curve", "5.50"]).stderr.contains("match"));
}
