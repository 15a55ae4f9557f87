//! What was measured of PD and heights, whether or not anything limits it.

use crate::made::{Made, STRONG, as_ordered, near, unwrapped};
use bevelbook_core::tolerance::Design;
use serde_json::Value;

const ANSI: [&str; 5] =
    ["ansi-z80.1-1999", "ansi-z80.1-2005", "ansi-z80.1-2010", "ansi-z80.1-2015", "ansi-z80.1-2020"];

fn unjudged(json: &Value) -> Vec<(&str, &str, f64, bool)> {
    let rows = json["unjudged"].as_array().unwrap().iter();
    rows.map(|row| {
        let of = |key: &str| row[key].as_str().unwrap();
        (of("subject"), of("quantity"), row["deviation_mm"].as_f64().unwrap(), row["unusual"] == true)
    })
    .collect()
}

#[test]
fn a_progressive_with_both_crosses_5_mm_out_says_so_by_every_ansi_edition() {
    let made = Made { measured_pd: Some("36/26"), ..near(Design::Progressive, ["-1.00 DS"; 2]) };
    let shop = made.build();
    for standard in ANSI {
        let json = shop.run(["inspect", "1", "--json", "--standard", standard]).json();
        // None limits the place of a cross below its power.
        assert_eq!(json["verdict"], "within", "{standard}");
        let expected = [("right", "pd", 5.0, true), ("left", "pd", -5.0, true), ("pair", "pd", 0.0, false)];
        assert_eq!(unjudged(&json), expected, "{standard}");
        assert_eq!(json["unjudged"][0]["usual_mm"], 1.0);
        let text = shop.run(["inspect", "1", "--standard", standard]).stdout;
        let words = unwrapped(&text);
        assert!(words.contains("; look: right PD 5 mm off, left PD 5 mm off"), "{standard}: {text}");
        let row = "! right PD: ordered 31, read 36, +5 mm off, usual practice ±1";
        assert!(words.contains(row), "{standard}: {text}");
    }
}

#[test]
fn a_pd_6_mm_off_in_weak_lenses_is_legal_and_seen() {
    let made = Made { pd: "62", measured_pd: Some("68"), ..as_ordered(["-0.50 DS"; 2]) };
    for standard in ANSI.into_iter().chain(["iso-21987-2017"]) {
        let (status, json) = made.inspect_by(standard);
        assert_eq!((status, unjudged(&json)), (Some(0), vec![("pair", "pd", 6.0, true)]), "{standard}");
    }
    let words = unwrapped(&made.text().stdout);
    assert!(words.contains("pair within by ANSI Z80.1-2015; look: PD 6 mm off"), "{words}");
    assert!(words.contains("! PD: ordered 62, read 68, +6 mm off, usual practice ±2"), "{words}");
    assert!(!words.contains("(common practice, no source)"), "{words}");
    let sources = unwrapped(&made.sources().stdout);
    assert!(sources.contains("usual practice ±2 (common practice, no source)"), "{sources}");
    // A small one is told as well, and is not to be looked at.
    let made = Made { measured_pd: Some("63"), ..made };
    let words = unwrapped(&made.text().stdout);
    assert!(!words.contains("look:") && !words.contains("Look"), "{words}");
    assert!(words.contains("no limit, within what is usual: PD 1 mm off"), "{words}");
}

#[test]
fn where_it_is_judged_in_total_each_eye_is_shown_too() {
    let (status, json) = Made { measured_pd: Some("33.3/31"), ..as_ordered(STRONG) }.inspect();
    assert_eq!(status, Some(0));
    assert_eq!(unjudged(&json), [("right", "pd", 2.3, true), ("left", "pd", 0.0, false)]);
    assert!(json["findings"].as_array().unwrap().iter().any(|row| row["measured_mm"] == 64.3));
}

#[test]
fn a_shop_makes_it_a_limit_in_its_settings() {
    let made = Made { measured_pd: Some("32.1/31"), ..as_ordered(["-0.50 DS"; 2]) };
    let shop = made.build();
    assert_eq!(shop.run(["inspect", "1"]).status, Some(0));
    std::fs::write(shop.settings(), "[tolerance]\npd_each_eye = 1.0\nheights = 1.0\n").unwrap();
    for standard in ANSI.into_iter().chain(["iso-21987-2017"]) {
        let output = shop.run(["inspect", "1", "--standard", standard, "--sources"]);
        assert_eq!(output.status, Some(1), "{standard}: {}", output.stdout);
        let words = unwrapped(&output.stdout);
        assert!(words.contains(": right PD 1.1 mm off, limit 1"), "{words}");
        assert!(words.contains("The shop holds each eye's place from its monocular PD to 1 mm."), "{words}");
    }
    std::fs::write(shop.settings(), "[tolerance]\npd_each_eye = 0\n").unwrap();
    let refused = shop.run(["inspect", "1"]);
    assert!(refused.stderr.contains("tolerance.pd_each_eye is 0 mm and must be above 0"), "{refused:?}");
}
