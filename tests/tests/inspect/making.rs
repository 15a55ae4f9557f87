//! Tilt of the segments and centre thickness: judged where they were measured, named where they were not.

use crate::made::{STRONG, as_ordered, near, unwrapped};
use bevelbook_core::tolerance::Design;
use bevelbook_tests::Shop;
use serde_json::Value;

fn made(shop: &Shop, args: &[&str]) {
    let logged = shop.run(["record", "made", "1"].iter().chain(args));
    assert_eq!(logged.status, Some(0), "{logged:?}");
}

fn inspected(shop: &Shop, standard: &str) -> Value {
    shop.run(["inspect", "1", "--json", "--standard", standard]).json()
}

fn names(json: &Value, what: &str) -> bool {
    json["not_covered"].as_array().unwrap().iter().any(|left| left["what"].as_str().unwrap().contains(what))
}

#[test]
fn a_tilt_is_judged_and_may_be_measured_again() {
    // Summaries of Z80.1 and of ISO 21987: ±2°.
    for standard in ["ansi-z80.1-2015", "ansi-z80.1-1999", "iso-21987"] {
        let shop = near(Design::Multifocal, STRONG).build();
        assert!(names(&inspected(&shop, standard), "tilt"), "{standard}");
        made(&shop, &["r", "--tilt", "3"]);
        let text = unwrapped(&shop.run(["inspect", "1", "--standard", standard]).stdout);
        assert!(text.contains(": right tilt 3° off, limit 2"), "{text}");
        // The other was not measured.
        assert!(names(&inspected(&shop, standard), "tilt"), "{standard}");
        made(&shop, &["l", "--tilt", "1"]);
        for (tilt, verdict) in [("2", "within"), ("2.001", "out"), ("0", "within")] {
            made(&shop, &["r", "--tilt", tilt]);
            let json = inspected(&shop, standard);
            assert_eq!(json["verdict"], verdict, "{standard} {tilt}");
            assert!(!names(&json, "tilt"), "{standard} {tilt}");
        }
    }
}

#[test]
fn a_thickness_is_judged_where_it_is_specified() {
    // Reproduction of Z80.1-1999, excerpt of ISO 8980-1:2004: ±0.3 mm.
    let shop = as_ordered(STRONG).build();
    made(&shop, &["r", "--centre", "2.4"]);
    assert!(names(&inspected(&shop, "ansi-z80.1"), "thickness"));
    let amended =
        shop.run(["job", "amend", "1", "--centre-thickness", "2.0/2.2", "--why", "as ordered by telephone"]);
    assert_eq!(amended.status, Some(0), "{amended:?}");
    for (right, verdict) in [("2.4", "out"), ("2.3", "within"), ("1.7", "within"), ("1.699", "out")] {
        made(&shop, &["r", "--centre", right]);
        made(&shop, &["l", "--centre", "2.2"]);
        for standard in ["ansi-z80.1", "iso-21987"] {
            assert_eq!(inspected(&shop, standard)["verdict"], verdict, "{standard} {right}");
        }
    }
    // A lens made again was not measured yet.
    let remade = shop.run(["job", "remake", "1", "right", "--cause", "damaged", "--bearer", "shop"]);
    assert_eq!(remade.status, Some(0), "{remade:?}");
    assert!(names(&inspected(&shop, "ansi-z80.1"), "thickness"));
}

#[test]
fn what_cannot_be_a_tilt_or_says_nothing_is_refused() {
    let shop = near(Design::Multifocal, STRONG).build();
    for args in [&["r"][..], &["r", "--tilt", "46"], &["r", "--tilt", "-1"], &["r", "--centre", "0"]] {
        let refused = shop.run(["record", "made", "1"].iter().chain(args));
        assert_eq!((refused.status, refused.stdout.as_str()), (Some(2), ""), "{args:?}");
    }
}

#[test]
fn the_distance_between_segments_is_judged_by_the_near_pd() {
    // Summaries of Z80.1: the segments of a pair 2.5 mm from their distance, in total.
    let shop = near(Design::Multifocal, STRONG).build();
    let logged = |mm| shop.run(["record", "segments", "1", mm]);
    assert!(logged("59").stderr.contains("no near PD is ordered"));
    assert!(names(&inspected(&shop, "ansi-z80.1"), "distance between the segments"));
    let amended = shop.run(["job", "amend", "1", "--near-pd", "58", "--why", "it was left out"]);
    assert_eq!(amended.status, Some(0), "{amended:?}");
    for (distance, verdict) in [("60.6", "out"), ("60.5", "within"), ("55.5", "within"), ("55.4", "out")] {
        assert_eq!(logged(distance).status, Some(0));
        let json = inspected(&shop, "ansi-z80.1");
        assert_eq!(json["verdict"], verdict, "{distance}");
        assert!(!names(&json, "distance between the segments"), "{distance}");
    }
    // A pair with a lens made again was not measured yet.
    let remade = shop.run(["job", "remake", "1", "right", "--cause", "damaged", "--bearer", "shop"]);
    assert_eq!(remade.status, Some(0), "{remade:?}");
    assert!(names(&inspected(&shop, "ansi-z80.1"), "distance between the segments"));
}

#[test]
fn lenses_without_segments_have_no_distance_between_them() {
    let shop = as_ordered(STRONG).build();
    let refused = shop.run(["record", "segments", "1", "59"]);
    assert_eq!(refused.status, Some(2), "{refused:?}");
    assert!(refused.stderr.contains("multifocal"), "{refused:?}");
}
