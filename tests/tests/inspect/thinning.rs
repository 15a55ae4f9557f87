//! Thinning of a progressive, taken off before prism is judged.

use crate::made::{Made, STRONG, near, unwrapped};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;

fn progressive(uncut_prism: [Option<&'static str>; 2]) -> Made {
    Made { uncut_prism, ..near(Design::Progressive, STRONG) }
}

fn uncut_verdicts(made: &Made) -> [String; 2] {
    let (_, json) = made.inspect();
    ["right", "left"].map(|eye| json[eye]["uncut"]["verdict"].as_str().unwrap().to_owned())
}

#[test]
fn an_uncut_progressive_reads_its_thinning_and_is_within() {
    // An add of 2.00 D, for which the shop assumes 1.20 down.
    let made = progressive([Some("1.2 down"); 2]);
    assert_eq!(uncut_verdicts(&made), ["within"; 2]);
    let ordered = Made { thinning: Some(1200), ..made.clone() };
    assert_eq!(uncut_verdicts(&ordered), ["within"; 2]);
    let words = unwrapped(&Made { mounted: [None; 2], prism: [None; 2], ..ordered.clone() }.text().stdout);
    assert!(words.contains("thinning 1.20 down taken off, as ordered"), "{words}");
    // Ordered, and not there: out by the order, as far as the prism tells.
    let made = Made { uncut_prism: [Some("0"); 2], ..ordered };
    assert_eq!(uncut_verdicts(&made), ["not-judged"; 2]);
}

#[test]
fn what_both_lenses_show_counts_more_than_what_was_assumed() {
    let made = progressive([Some("2 down"); 2]);
    assert_eq!(uncut_verdicts(&made), ["within"; 2]);
    let (_, json) = made.inspect();
    assert_eq!(json["left"]["uncut"]["thinning"]["known"], "seen");
    assert_eq!(json["left"]["uncut"]["thinning"]["base_down_pd"], 2.0);
    // Not alike: one of the two is wrong.
    assert_eq!(uncut_verdicts(&progressive([Some("1.2 down"), Some("0.5 down")])), ["within", "not-judged"]);
}

#[test]
fn one_lens_alone_is_not_turned_out_by_what_was_assumed() {
    let made = progressive([Some("2 down"), None]);
    let made = Made { mounted: [None; 2], prism: [None; 2], ..made };
    let made = Made { uncut: [made.uncut[0], None], ..made };
    let (_, json) = made.inspect();
    assert_eq!(json["right"]["uncut"]["verdict"], "within");
    assert_eq!(json["right"]["uncut"]["unjudged"][0]["unusual"], true);
    let words = unwrapped(&made.text().stdout);
    let expected = "uncut, right reference prism: +0.80 Δ off with a thinning of 1.20 down, which is assumed; ±0.33 would \
                    do. Ask what thinning was ordered, or read the other lens";
    assert!(words.contains(expected), "{words}");
}

#[test]
fn mounted_thinning_cancels_when_it_is_equal_and_is_out_when_it_is_not() {
    for thinning in [None, Some(1200)] {
        let made = |prism| Made { thinning, prism, ..near(Design::Progressive, ["-1.00 DS"; 2]) };
        assert_eq!(made([Some("2 down"); 2]).inspect().0, Some(0));
        assert_eq!(made([Some("1.2 down"), Some("0.8 down")]).inspect().0, Some(1));
        let words = unwrapped(&made([Some("1.2 down"); 2]).text().stdout);
        assert!(words.contains("thinning 1.20 down taken off"), "{words}");
    }
    // Nothing of it is said of single vision.
    assert!(!crate::made::as_ordered(STRONG).text().stdout.contains("thinning"));
}

#[test]
fn a_reading_that_is_centred_has_the_thinning_in_it() {
    let made =
        Made { thinning: Some(1200), ..near(Design::Progressive, ["-1.00 DS"; 2]) }.without(Eye::Right);
    let shop = made.build();
    let read = [
        "record",
        "reading",
        "1",
        "right",
        "--stage",
        "uncut",
        "--direct",
        "-1.00",
        "--centred",
        "--add",
        "2.00",
    ];
    let recorded = shop.run(read);
    assert!(recorded.stdout.contains("within: "), "{recorded:?}");
    let json = shop.run(["inspect", "1", "--json"]).json();
    assert_eq!(json["right"]["uncut"]["read"]["base_up_pd"], -1.2);
}
