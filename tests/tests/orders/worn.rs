//! Tilt and wrap of the frame on the plan: told, and no power is changed by them.

use super::{done, opened};
use bevelbook_tests::meets;
use serde_json::Value;

/// The plan with these changes of the usual order, and all of its text in one line.
fn plan(changes: &[[&str; 2]]) -> (Value, String) {
    let (shop, _) = done(opened(changes));
    let output = shop.run(["plan", "1", "--json"]);
    (output.json(), shop.run(["plan", "1", "--full"]).words())
}

#[test]
fn a_wrapped_front_is_decentred_along_itself() {
    // Geometry: PD/cos of the wrap; ISO 8624 says 0.25 mm of 7 degrees at 34 mm. (50 + 18)/2 − 34.2553 are 0.2553 out.
    let (flat, _) = plan(&[["--pd", "34/34"]]);
    assert!(meets(&flat["right"]["in_mm"], "0.00") && flat["right"]["worn"]["pd_along_front_mm"].is_null());
    let (wrapped, text) = plan(&[["--pd", "34/34"], ["--wrap", "7"]]);
    for eye in ["right", "left"] {
        let eye = &wrapped[eye];
        assert!(
            meets(&eye["worn"]["pd_along_front_mm"], "34.255")
                || meets(&eye["worn"]["pd_along_front_mm"], "34.26")
        );
        assert!(meets(&eye["in_mm"], "-0.255") || meets(&eye["in_mm"], "-0.26"), "{}", eye["in_mm"]);
    }
    assert!(text.contains("along the wrapped front, where the PD of 34 mm is 34.26 mm"), "{text}");
}

#[test]
fn the_rule_of_tilt_is_told_and_moves_no_height() {
    // For each 2 degrees of tilt 1 mm below the pupil's centre: common practice, no source.
    let heights = ["--heights", "23"];
    let (flat, text) = plan(&[heights]);
    assert!(!text.contains("pupil's centre"), "{text}");
    let (tilted, text) = plan(&[heights, ["--tilt", "9"]]);
    assert!(meets(&tilted["right"]["worn"]["centre_below_pupil_mm"], "4.5"), "{}", tilted["right"]["worn"]);
    assert_eq!(tilted["right"]["up_mm"], flat["right"]["up_mm"]);
    assert!(
        text.contains("belongs 4.5 mm below the pupil's centre") && text.contains("is it the pupil's?"),
        "{text}"
    );
}

#[test]
fn a_strong_lens_that_tilts_is_asked_about_and_marked_as_ordered() {
    // Durham Tech opticianry course, lens tilt: +15.00 by 10 degrees acts like +15.15 +0.47 x 180: +15.62 -0.47 x 90.
    let strong = [["--right", "+15.00 DS"], ["--left", "+1.00 DS"], ["--tilt", "10"]];
    let (json, text) = plan(&strong);
    let worn = &json["right"]["worn"]["acts_like"];
    assert!(meets(&worn["sphere_d"], "15.62") && meets(&worn["cylinder_d"], "-0.47"), "{worn}");
    assert!(json["left"]["worn"]["acts_like"].is_null());
    assert!(text.contains("acts like +15.62 -0.47 x 90") && text.contains("--lab-power-right"), "{text}");
    assert!(text.contains("is it compensated?") && !text.contains("--lab-power-left"), "{text}");
    assert_eq!(json["right"]["first_line_d"], 15.0);
    let told = [strong[0], strong[1], strong[2], ["--lab-power-right", "+14.39 +0.44 x 90"]];
    assert!(!plan(&told).1.contains("is it compensated?"));
}
