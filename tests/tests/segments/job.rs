//! Whole jobs. What is expected is worked out by hand beside each.

use super::{assert_near, done, plan, whole};
use bevelbook_tests::{Shop, usual_order};
use serde_json::Value;
use std::fs;

/// A shop with a flat-top bifocal: A 50, B 38, DBL 18, ED 53, decentration 2.5 and 3.0 in.
fn bifocal(changes: &[[&str; 2]]) -> Shop {
    let shop = Shop::new();
    open_bifocal(&shop, changes);
    shop
}

fn open_bifocal(shop: &Shop, changes: &[[&str; 2]]) {
    let usual = [
        ["--right", "-4.00 DS add 2.00"],
        ["--left", "-4.00 DS add 2.00"],
        ["--near-pd", "29.5/29"],
        ["--heights", "16"],
        ["--design", "multifocal"],
        ["--segment", "flat top 28"],
        ["--ed", "53"],
    ];
    let kept = usual.into_iter().filter(|flag| !changes.iter().any(|change| change[0] == flag[0]));
    let changes: Vec<_> =
        kept.chain(changes.iter().copied().filter(|change| !change[1].is_empty())).collect();
    done(shop.run(usual_order(&changes)));
}

fn questions(plan: &Value) -> String {
    plan["questions"].to_string()
}

/// The words of a row for the right and the left lens, in one space each.
fn row(text: &str, name: &str) -> String {
    let row =
        text.lines().find(|line| line.starts_with(name)).unwrap_or_else(|| panic!("no {name} in {text}"));
    row[name.len()..].split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_flat_top_bifocal_from_order_to_sheet() {
    let shop = bifocal(&[]);
    let plan = plan(&shop);
    // Its top 16 − 19 = 3 below, (50 + 18)/2 − 29.5 = 4.5 in; its blank's middle 5 above that and 2 out.
    for (eye, inward) in [("right", 4.5), ("left", 5.0)] {
        let segment = &plan[eye]["segment"];
        for (name, expected) in [
            ("drop_mm", -3.0),
            ("inset_from_box_mm", inward),
            ("inset_mm", 2.0),
            ("width_mm", 28.0),
            ("blank_middle_in_mm", inward - 2.0),
            ("blank_middle_up_mm", 2.0),
            ("optical_centre_in_mm", inward - 2.0),
            ("optical_centre_up_mm", 2.0),
            // 2.00 D over 5 mm.
            ("jump_pd", 1.0),
        ] {
            assert_near(&segment[name], expected, name);
        }
        assert_eq!((&segment["shape"], &segment["inset_from"]), (&"flat-top".into(), &"order".into()));
        assert_near(&plan[eye]["segment_drop_mm"], -3.0, "drop");
        assert_near(&plan[eye]["segment_inset_mm"], 2.0, "inset");
        // The maker sets in what near is closer: the optical centres come before the pupils.
        assert_near(&segment["prism_at_pd"]["base_up_pd"], 0.0, "up at the PD");
        assert_near(&segment["prism_at_pd"]["base_in_pd"], 0.0, "in at the PD");
        // 10 mm below the optical centre is the segment's own one.
        assert_near(&plan[eye]["reading"]["of_segment"]["base_up_pd"], 0.0, "of the segment");
        assert_near(&plan[eye]["reading"]["base_up_pd"], -4.0, "at the reading level");
    }
    // 53 + 2·√(2.5² + 2²) + 2: the blank is larger than about an optical centre on the datum, 60.
    assert_near(&plan["right"]["least_blank_mm"], 61.403, "least blank");
    assert_near(&plan["right"]["stocked_blank_mm"], 65.0, "stocked");
    assert_eq!(plan["questions"], serde_json::json!([]));
    for text in [["plan", "1", "--full"].as_slice(), &["plan", "1"]].map(|plan| done(shop.run(plan)).stdout) {
        assert_eq!(row(&text, "segment top"), "3.0 below, 4.5 in 3.0 below, 5.0 in");
        assert_eq!(row(&text, "OC falls"), "2.5 in, 2.0 up 3.0 in, 2.0 up");
    }
    let text = whole(&shop);
    assert_eq!(row(&text, "pair at the PD"), "nothing in or out together, no vertical difference");
    assert!(text.contains("multifocal flat top 28, -4.00"), "{text}");
    let sheet = done(shop.run(["sheet", "1", "--out", "-"])).stdout;
    assert!(sheet.contains("3.0 below, 4.5 in"), "{sheet}");
    assert_eq!(sheet.matches("data-part=\"segment\"").count(), 2);
}

#[test]
fn a_near_pd_that_was_not_given_is_assumed_and_said() {
    let shop = bifocal(&[["--near-pd", ""]]);
    let right = &plan(&shop)["right"]["segment"];
    assert_eq!(right["inset_from"], "taken");
    assert_near(&right["inset_from_box_mm"], 4.5, "total inset");
    let text = whole(&shop);
    assert_eq!(row(&text, "near inset"), "2.0 assumed 2.0 assumed");
    assert!(text.contains("! no near PD was ordered"), "{text}");
    let short = done(shop.run(["plan", "1"])).stdout;
    assert!(short.contains("! no near PD: the shop's near inset is assumed, ask before marking"), "{short}");
}

#[test]
fn a_segment_inset_as_no_blank_has_it_draws_the_optical_centre_along() {
    // 3.5 and 3 mm closer in for near where the maker sets in 2: 1.5 and 1 mm nasally of the pupils.
    let shop = bifocal(&[["--near-pd", "28/28"]]);
    let found = plan(&shop);
    for (eye, inward, prism) in [("right", 4.0, -0.6), ("left", 4.0, -0.4)] {
        assert_near(&found[eye]["segment"]["optical_centre_in_mm"], inward, "optical centre");
        assert_near(&found[eye]["segment"]["prism_at_pd"]["base_in_pd"], prism, "prism at the PD");
    }
    assert_near(&found["off_centre"]["at_pd"]["base_in_pd"], -1.0, "together");
    assert!(questions(&found).contains("1.00 Δ base out together"), "{found}");
    // The maker who sets in 3 leaves 0.5 mm before one eye.
    fs::write(shop.settings(), "segment.flat_top.in = 3\n").unwrap();
    let found = plan(&shop);
    assert_near(&found["off_centre"]["at_pd"]["base_in_pd"], -0.2, "together");
    assert_eq!(found["questions"], serde_json::json!([]));
}

#[test]
fn segments_of_unlike_heights_take_the_optical_centres_apart() {
    // 2 mm higher before the left eye: on the level of the stronger, right one the left is seen 2 mm below its own.
    let found = plan(&bifocal(&[["--left", "-2.00 DS add 2.00"], ["--heights", "16/18"]]));
    assert_near(&found["left"]["segment"]["prism_at_pd"]["base_up_pd"], -0.4, "left");
    assert_near(&found["right"]["segment"]["prism_at_pd"]["base_up_pd"], 0.0, "right");
    assert_near(&found["off_centre"]["at_pd"]["right_up_pd"], 0.4, "right over left");
    assert!(questions(&found).contains("0.40 Δ base up right"), "{found}");
}

#[test]
fn what_the_segment_is_has_to_be_known_before_its_blank_is() {
    let shop = bifocal(&[["--segment", ""]]);
    let found = plan(&shop);
    let right = &found["right"]["segment"];
    assert_eq!((&right["shape"], &right["optical_centre_in_mm"]), (&Value::Null, &Value::Null));
    assert_near(&right["inset_from_box_mm"], 4.5, "total inset");
    let text = whole(&shop);
    assert!(text.contains("what segment is not said"), "{text}");
    assert_eq!(row(&text, "OC falls"), "not known not known");
    let short = done(shop.run(["plan", "1"])).stdout;
    assert!(short.contains("! segment not said: OC and blank centre assumed at the distance PD"), "{short}");
}

#[test]
fn round_segments_jump_by_half_their_width_and_full_ones_not_at_all() {
    let jump = |segment: &str| {
        let found = plan(&bifocal(&[["--segment", segment]]));
        found["right"]["segment"]["jump_pd"].as_f64().unwrap()
    };
    // 2.00 D over 11 mm; from the top of a full one, where its optical centre is.
    assert!((jump("round 22") - 2.2).abs() < 1e-9 && jump("full width") == 0.0);
    // It is inset by the decentration alone, whatever near is.
    let full = plan(&bifocal(&[["--segment", "full width"]]));
    assert_near(&full["right"]["segment"]["inset_from_box_mm"], 2.5, "total inset");
    assert_near(&full["right"]["segment"]["prism_at_pd"]["base_in_pd"], 0.0, "in at the PD");
}

#[test]
fn two_dioptres_apart_are_1_6_at_8_mm_and_the_prescriber_is_asked() {
    // Durham Tech, module 9: 2.00 D difference at 90, 8 mm down: 1.6 Δ.
    let shop = Shop::new();
    fs::write(shop.settings(), "reading.below = 8\n").unwrap();
    done(shop.run(usual_order(&[["--right", "-1.00 DS"], ["--left", "-3.00 DS"], ["--ed", "53"]])));
    let found = plan(&shop);
    assert_near(&found["off_centre"]["reading"]["right_up_pd"], 1.6, "imbalance");
    assert_near(&found["right"]["reading"]["base_up_pd"], -0.8, "right");
    let asked = questions(&found);
    assert!(asked.contains("1.60 Δ base up right: ask the prescriber"), "{asked}");
    // A single-vision lens has no segments that could differ.
    assert!(asked.contains("slab-off") && !asked.contains("dissimilar"), "{asked}");
    let text = whole(&shop);
    assert_eq!(row(&text, "pair, reading"), "1.60 Δ base up right, 8.0 mm below the optical centres");
    // Half a dioptre less is not worth a row.
    done(shop.run(["job", "amend", "1", "--why", "corrected", "--left", "-2.50 DS"]));
    let found = plan(&shop);
    assert_near(&found["off_centre"]["reading"]["right_up_pd"], 1.2, "imbalance");
    assert_eq!(found["questions"], serde_json::json!([]));
    assert!(!whole(&shop).contains("reading"));
}

#[test]
fn unequal_bifocals_name_unlike_segments_among_the_remedies() {
    let shop = bifocal(&[["--left", "-1.00 DS add 2.00"]]);
    let asked = questions(&plan(&shop));
    // 3.00 D over 10 mm; the right lens is the stronger minus, so its base is the lower one.
    assert!(asked.contains("3.00 Δ base up left") && asked.contains("dissimilar segments"), "{asked}");
}

#[test]
fn of_a_power_that_nobody_knows_no_prism_is_told() {
    let found = plan(&bifocal(&[["--left", "bal"]]));
    assert!(found["left"]["reading"].is_null() && found["left"]["segment"]["prism_at_pd"].is_null());
    assert_eq!(found["off_centre"], serde_json::json!({ "at_pd": null, "reading": null }));
    assert_near(&found["right"]["reading"]["base_up_pd"], -4.0, "right");
}

#[test]
fn a_lens_that_stays_in_its_frame_counts_against_the_new_one() {
    let shop = Shop::new();
    done(shop.run(usual_order(&[["--right", "-2.00 DS"], ["--left", "none -5.00 DS"], ["--ed", "53"]])));
    let found = plan(&shop);
    // 3.00 D over 10 mm.
    assert_near(&found["off_centre"]["reading"]["right_up_pd"], 3.0, "imbalance");
    assert!(questions(&found).contains("3.00 Δ base up right"), "{found}");
    // Of one that nobody knows nothing is told.
    done(shop.run(["job", "amend", "1", "--why", "no lens in it", "--left", "none"]));
    assert!(plan(&shop)["off_centre"]["reading"].is_null());
}
