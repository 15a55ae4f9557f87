//! Treatments and materials as orders write them, and what the bench is told of them.
//!
//! A slippery coat wants an anti-slip pad and an axis check after roughing; a light clamp is for coats that craze and for
//! thin lenses: common practice, no source.

use super::{assert_refused, done, opened};
use bevelbook_tests::Shop;
use serde_json::{Value, json};
use std::fs;

fn plan(shop: &Shop) -> (Value, String) {
    let output = shop.run(["plan", "1", "--json"]);
    assert_eq!(output.status, Some(0), "{output:?}");
    (output.json(), shop.run(["plan", "1"]).words())
}

#[test]
fn a_coat_is_known_by_its_letters_and_asks_for_pad_and_clamp() {
    for (written, grip, pad) in [
        ("AR", "light", "anti-slip"),
        ("anti-reflective", "light", "anti-slip"),
        ("Hydrophobic", "normal", "anti-slip"),
        ("HC", "normal", "normal"),
        ("uv,tint", "normal", "normal"),
        ("HC,ar", "light", "anti-slip"),
        ("HC AR", "light", "anti-slip"),
        ("gold leaf", "unknown", "unknown"),
    ] {
        let (shop, output) = done(opened(&[["--treatment", written]]));
        assert_eq!(output.stderr.contains("is not in the settings"), grip == "unknown", "{output:?}");
        let (json, text) = plan(&shop);
        assert_eq!([&json["grip"], &json["pad"]], [grip, pad], "{written}");
        assert_eq!(text.contains("check the axis after roughing"), pad == "anti-slip", "{text}");
        assert_eq!(
            text.contains("gold leaf is not in the settings: ask its maker"),
            grip == "unknown",
            "{text}"
        );
    }
}

#[test]
fn a_thin_lens_is_clamped_lightly_whatever_its_coats() {
    let thin = [["--right", "-3.00 DS"], ["--left", "-3.00 DS"], ["--centre-thickness", "0.9/2.0"]];
    let (shop, _) = done(opened(&thin));
    let (json, text) = plan(&shop);
    assert_eq!([&json["grip"], &json["pad"]], ["light", "normal"]);
    assert!(text.contains("light, the right lens is thinner than 1.0 mm"), "{text}");
    fs::write(shop.settings(), "clamp.light_below = 0.8\n").unwrap();
    assert_eq!(plan(&shop).0["grip"], "normal");
}

#[test]
fn the_shop_says_what_its_coats_do_and_hears_what_to_write_in_place_of_the_former_list() {
    let (shop, _) = done(opened(&[["--treatment", "Nano"]]));
    fs::write(shop.settings(), "[treatment.nano]\nslippery = true\n").unwrap();
    let (json, _) = plan(&shop);
    assert_eq!([&json["grip"], &json["pad"]], ["normal", "anti-slip"]);
    fs::write(shop.settings(), "[grip]\nlight = [\"nano\"]\n").unwrap();
    let refused = shop.run(["plan", "1"]);
    for line in ["[treatment.nano]\n", "slippery = true\n", "crazes = true\n"] {
        assert!(refused.stderr.contains(line), "{refused:?}");
    }
}

#[test]
fn a_material_is_known_in_any_case_and_by_its_index() {
    for (written, key) in
        [("CR39", "cr39"), ("cr-39", "cr39"), ("1.5", "cr39"), ("1.60", "i160"), ("poly", "polycarbonate")]
    {
        let (shop, output) = done(opened(&[["--material", written]]));
        assert_eq!(output.json()["lens"]["material"], key, "{written}");
        let amended = shop.run(["job", "amend", "1", "--why", "new", "--material", "1.67", "--json"]);
        assert_eq!(amended.json()["lens"]["material"], "i167", "{amended:?}");
    }
    assert_refused(&[["--material", "1.9"]], &["no material `1.9`", "cr39 (1.498)", "i167 (1.670)"]);
}

#[test]
fn every_field_is_shown_changed_and_taken_out() {
    let progressive = [
        ["--right", "-1.25 DS add 2"],
        ["--left", "none, old -2.00 DS add 2"],
        ["--design", "progressive"],
        ["--heights", "18"],
        ["--reference-below", "3"],
        ["--tilt", "9"],
        ["--wrap", "6"],
        ["--frame-curve", "4.5"],
        ["--base-curve", "6 nominal"],
        ["--lab-power-right", "-1.31 -0.12 x 90 prism 1.2 down"],
    ];
    let (shop, output) = done(opened(&progressive));
    fs::write(shop.settings(), "thickness.safety.work = { least_centre = 2.0, source = \"ours\" }\n")
        .unwrap();
    let order = output.json();
    assert_eq!(order["lens"]["reference_below_mm"], json!(3.0));
    assert_eq!(order["lens"]["curve_basis"], "nominal");
    assert_eq!([&order["frame"]["tilt_deg"], &order["frame"]["wrap_deg"]], [&json!(9.0), &json!(6.0)]);
    assert_eq!(order["frame"]["curve_d"], json!(4.5));
    assert_eq!(order["right_verify"]["base_up_pd"], json!(-1.2));
    let shown = shop.run(["job", "show", "1"]).stdout;
    for words in [
        "; lab power -1.31 -0.12 x 90, prism 1.20 down",
        "none, old -2.00 DS add +2.00",
        "+6.00/+6.00 D nominal (1.530)",
        "tilt 9°, wrap 6°, rim curve +4.50 D (1.530)",
        "3 mm below the fitting cross",
    ] {
        assert!(shown.contains(words), "{words:?} is not in\n{shown}");
    }
    let amend = ["job", "amend", "1", "--why", "anew", "--json"];
    let bifocal = ["--design", "bifocal", "--segment", "flat top 28", "--safety", "work", "--tilt", "4"];
    let empty = ["reference-below", "wrap", "frame-curve", "base-curve", "lab-power-right"];
    let empty = empty.iter().flat_map(|field| ["--clear", field]);
    let amended = shop.run(amend.into_iter().chain(bifocal).chain(empty));
    assert_eq!(amended.status, Some(0), "{amended:?}");
    let order = amended.json();
    assert_eq!([&order["lens"]["segment"], &order["lens"]["safety"]], ["flat-top", "work"]);
    assert_eq!(order["lens"]["segment_width_mm"], json!(28.0));
    assert!(order["right_verify"].is_null() && order["frame"]["wrap_deg"].is_null());
    assert_eq!(
        (&order["frame"]["tilt_deg"], &order["lens"]["curve_basis"]),
        (&json!(4.0), &json!("material"))
    );
    let shown = shop.run(["job", "show", "1"]).stdout;
    assert!(
        shown.contains("multifocal, segment flat top 28") && shown.contains("safety       work"),
        "{shown}"
    );
}

#[test]
fn what_makes_no_order_is_refused_and_says_what_would() {
    assert_refused(&[["--for", "near"]], &["near PD", "for example 28.5/28.5"]);
    assert_refused(&[["--segment", "round 22"]], &["segment", "is a multifocal meant?"]);
    assert_refused(&[["--thinning", "1.2"]], &["thinning", "progressives"]);
    assert_refused(&[["--left", "none"], ["--right", "none"]], &["nothing is made for either"]);
    assert_refused(&[["--left", "bal"], ["--lab-power-left", "-1.00 DS"]], &["balance lens", "not judged"]);
    assert_refused(
        &[["--left", "none"], ["--lab-power-left", "-1.00 DS"]],
        &["no lens is made for this eye"],
    );
    let (_, output) = done(opened(&[["--left", "none"], ["--tilt", "24"]]));
    assert!(output.stderr.contains("tilt: 24° is more than the 20°"), "{output:?}");
    assert!(!output.stderr.contains("usually match"), "{output:?}");
}
