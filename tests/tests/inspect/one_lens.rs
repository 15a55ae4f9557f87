//! One lens, beside one that stays, none, or a balance lens.

use crate::made::{Made, as_ordered, near, unwrapped};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Design;

#[test]
fn one_lens_alone_is_within_and_nothing_is_asked_of_the_other_eye() {
    let made = as_ordered(["-2.00 -1.00 x 10", "none"]).without(Eye::Left);
    for standard in ["ansi-z80.1-1999", "ansi-z80.1-2015", "iso-21987-2017"] {
        let (status, json) = made.inspect_by(standard);
        assert_eq!((status, json["verdict"].as_str()), (Some(0), Some("within")), "{standard}: {json}");
        assert!(
            json["missing"].as_array().unwrap().is_empty() && json["open"].as_array().unwrap().is_empty(),
            "{json}"
        );
        assert_eq!((&json["left"]["wanted"], &json["right"]["wanted"]), (&"none".into(), &"lens".into()));
    }
    let text = made.text().stdout;
    let words = unwrapped(&text);
    assert!(words.contains("left no lens is made for this eye"), "{text}");
    assert!(words.contains("prism between the eyes: the other lens's power is not known"), "{text}");
    // Its own place is seen.
    let made = Made { measured_pd: Some("33/31"), ..made };
    assert!(
        unwrapped(&made.text().stdout).contains("pair within by ANSI Z80.1-2015; look: right PD 2 mm off")
    );
    // Without its reading it waits for that alone.
    let (status, json) = made.without(Eye::Right).inspect();
    assert_eq!((status, json["missing"].as_array().unwrap().len()), (Some(1), 1), "{json}");
}

#[test]
fn a_lens_that_stays_counts_for_the_prism_of_the_pair_when_its_power_is_told() {
    let made = as_ordered(["-2.00 DS", "none, old -2.50 DS"]).without(Eye::Left);
    let (status, json) = made.inspect();
    assert_eq!(status, Some(1));
    assert_eq!(json["missing"][0]["text"], "prism at the PD mark of the left lens", "{json}");
    let read = |prism| Made {
        mounted: [Some("-2.00 DS"), Some("-3.00 DS")],
        prism: [Some("0"), Some(prism)],
        ..made.clone()
    };
    assert_eq!(read("0.33 up").inspect().0, Some(0));
    let (status, json) = read("0.34 up").inspect();
    assert_eq!((status, &json["left"]["verdict"]), (Some(1), &"not-judged".into()));
}

#[test]
fn a_balance_lens_is_not_judged_for_power() {
    for left in ["bal", "bal -2.00 DS"] {
        let made =
            Made { mounted: [Some("-2.00 DS"), Some("+3.00 -2.00 x 40")], ..as_ordered(["-2.00 DS", left]) };
        let made = Made { uncut: made.mounted, ..made };
        let (status, json) = made.inspect();
        assert_eq!((status, &json["left"]["wanted"]), (Some(0), &"balance".into()), "{json}");
        let words = unwrapped(&made.text().stdout);
        assert!(words.contains("left balance lens: power not judged"), "{words}");
        assert!(words.contains("left eye, balance lens: power not judged"), "{words}");
        // Nor is it asked for.
        assert_eq!(made.without(Eye::Left).inspect().0, Some(0), "{left}");
    }
    // It stands at its height.
    let made = near(Design::Multifocal, ["-2.00 DS", "bal"]).without(Eye::Left);
    assert_eq!(made.inspect().0, Some(0));
    let (status, json) = Made { measured_heights: Some([18_000, 19_100]), ..made }.inspect();
    assert_eq!((status, &json["left"]["verdict"]), (Some(1), &"out".into()));
}

#[test]
fn balance_lenses_alone_have_nothing_to_judge_and_say_so() {
    let made = as_ordered(["bal", "none"]).without(Eye::Left).without(Eye::Right);
    let words = unwrapped(&made.text().stdout);
    assert!(words.contains("pair nothing to judge: no lens is made to a power"), "{words}");
}

#[test]
fn a_prescribed_prism_of_a_lens_without_a_pair_is_judged_by_what_is_usual() {
    for left in ["none", "bal"] {
        let plain = as_ordered(["-2.00 DS", left]).without(Eye::Left);
        let made = Made { ordered: ["-2.00 DS prism 3 up", left], ..plain };
        let read = |prism| Made { prism: [prism, None], ..made.clone() };
        // A base the wrong way round: out beyond a third of a prism dioptre, or what 1.0 mm makes.
        let words = unwrapped(&read(Some("3 down")).text().stdout);
        assert!(
            words.contains("right OUT: vertical prism 6.00 Δ off, limit 0.33* (2 limits unconfirmed)"),
            "{words}"
        );
        assert_eq!(read(Some("3.33 up")).inspect().0, Some(0), "{left}");
        assert_eq!(read(Some("3.34 up")).inspect().0, Some(1), "{left}");
        let (status, json) = read(None).inspect();
        assert_eq!(status, Some(1), "{json}");
        assert_eq!(json["missing"][0]["text"], "prism at the PD mark of the right lens", "{json}");
    }
}

#[test]
fn a_prism_that_nobody_prescribed_is_told_of_a_lens_without_a_pair() {
    let plain = as_ordered(["-2.00 DS", "none"]).without(Eye::Left);
    let made = Made { prism: [Some("0.5 down"), None], ..plain };
    let words = unwrapped(&made.text().stdout);
    assert!(
        words.contains("pair within by ANSI Z80.1-2015; look: right vertical prism 0.50 Δ off"),
        "{words}"
    );
}

#[test]
fn prism_of_a_progressive_that_a_standard_does_not_limit_is_told() {
    let made = Made { prism: [Some("0"), Some("1.1 up")], ..near(Design::Progressive, ["+1.00 DS"; 2]) };
    let (status, json) = made.inspect_by("iso-21987-2017");
    assert_eq!(status, Some(0), "{json}");
    let told = json["unjudged"].as_array().unwrap().iter().find(|told| told["unusual"] == true).unwrap();
    assert_eq!((&told["subject"], &told["quantity"]), (&"left".into(), &"vertical-of-eye".into()), "{json}");
}
