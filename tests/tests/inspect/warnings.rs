//! Likely mistakes.

use crate::made::{Made, STRONG, as_ordered, unwrapped};
use serde_json::{Value, json};

fn kinds(json: &Value) -> Vec<(&str, &str)> {
    let warnings = json["warnings"].as_array().unwrap().iter();
    warnings.map(|w| (w["subject"].as_str().unwrap(), w["kind"].as_str().unwrap())).collect()
}

#[test]
fn every_warning_is_raised_once_and_none_for_a_good_pair() {
    let good = as_ordered(STRONG);
    assert_eq!(kinds(&good.inspect().1), []);
    let right = |text| Made { mounted: [Some(text), Some(STRONG[1])], ..good.clone() };
    // Both readings alike, so that they warn of the slip alone.
    let twice = |text| Made { uncut: [Some(text), Some(STRONG[1])], ..right(text) };
    let slip = [("right", "slip")];
    for (made, expected, words) in [
        (twice("-4.25 -1.25 x 175"), &slip[..], "other eye"),
        (twice("-4.00 -1.00 x 100"), &slip, "90°"),
        (twice("-4.00 +1.00 x 10"), &slip, "cylinder sign"),
        (twice("-4.00 DS"), &slip, "no cylinder"),
        (right("-4.00 -1.00 x 16"), &[("right", "turned")], "pad"),
        (
            Made { uncut: [Some("-3.88 -1.00 x 10"), Some(STRONG[1])], ..right("-4.12 -1.00 x 10") },
            &[("right", "differ")],
            "one lens",
        ),
        (
            Made { mounted: [Some(STRONG[1]), Some(STRONG[0])], ..good.clone() },
            &[("right", "slip"), ("left", "slip"), ("pair", "swapped")],
            "R/L swapped? The mounted readings fit the uncut ones of the other eye",
        ),
    ] {
        let (_, json) = made.inspect();
        assert_eq!(kinds(&json), expected, "{words}");
        let text = unwrapped(&made.text().stdout);
        assert!(text.contains(words), "{words}: {text}");
    }
    // What does not fit is no mere warning.
    let (_, loose) = Made { fits: false, ..good.clone() }.inspect();
    assert_eq!((kinds(&loose), &loose["verdict"]), (vec![], &json!("not-judged")));
    assert!(loose["missing"][0]["text"].as_str().unwrap().contains("a touch too big"), "{loose}");
    let mirrored = ["-4.00 -1.00 x 25", "-4.00 DS"];
    let made = Made { uncut: [Some("-4.00 -1.00 x 155"), Some("-4.00 DS")], ..as_ordered(mirrored) };
    let made = Made { mounted: made.uncut, ..made };
    assert_eq!(kinds(&made.inspect().1), slip);
    assert!(unwrapped(&made.text().stdout).contains("mirror image"));
}
