//! Verdicts, their reasons and their limits.

use crate::made::{Made, STRONG, as_ordered, near, unwrapped};
use bevelbook_core::tolerance::Design;
use serde_json::Value;

/// The findings of a quantity.
fn found<'a>(json: &'a Value, subject: &str, quantity: &str) -> Option<&'a Value> {
    let mut findings = json["findings"].as_array().unwrap().iter();
    findings.find(|finding| finding["subject"] == subject && finding["quantity"] == quantity)
}

#[test]
fn each_of_the_three_verdicts_has_its_words_and_its_exit_code() {
    let within = as_ordered(STRONG);
    let out = Made { mounted: [Some("-4.25 -1.00 x 10"), Some(STRONG[1])], ..within.clone() };
    let unread = Made { mounted: [None, Some(STRONG[1])], ..within.clone() };
    for (made, code, verdict, line) in [
        (within, 0, "within", "  pair   within"),
        (out, 1, "out", "  pair   OUT by ANSI Z80.1-2015: right power 0.25 D off, limit 0.13"),
        (unread, 1, "not-judged", "  pair   not judged yet"),
    ] {
        let (status, json) = made.inspect();
        assert_eq!((status, json["verdict"].as_str()), (Some(code), Some(verdict)));
        let text = made.text();
        assert_eq!(text.status, Some(code));
        assert!(text.stdout.lines().any(|found| found.starts_with(line)), "{line}: {}", text.stdout);
        for always in ["by ANSI Z80.1-2015", "not a certificate"] {
            assert!(unwrapped(&text.stdout).contains(always), "{always}: {}", text.stdout);
        }
        let sources = unwrapped(&made.sources().stdout);
        for asked in ["ANSI Z80.1-2015, table version 2", "full text was not read"] {
            assert!(
                sources.contains(asked) && !unwrapped(&text.stdout).contains(asked),
                "{asked}: {sources}"
            );
        }
    }
}

#[test]
fn a_missing_reading_never_passes_whichever_it_is() {
    type Take = fn(&mut Made, usize);
    let takes: [(&str, Take); 5] = [
        ("power", |made, at| made.mounted[at] = None),
        ("prism", |made, at| made.prism[at] = None),
        ("addition", |made, at| made.add[at] = None),
        ("PD", |made, _| made.measured_pd = None),
        ("height", |made, _| made.measured_heights = None),
    ];
    for full in [as_ordered(STRONG), near(Design::Multifocal, STRONG), near(Design::Progressive, STRONG)] {
        assert_eq!(full.inspect().0, Some(0), "{}", full.design);
        let near_parts = full.design != Design::SingleVision;
        for (what, take) in
            takes.into_iter().filter(|(what, _)| near_parts || !["addition", "height"].contains(what))
        {
            for at in [0, 1] {
                let mut lacking = full.clone();
                take(&mut lacking, at);
                let (status, json) = lacking.inspect();
                assert_eq!((status, json["verdict"].as_str()), (Some(1), Some("not-judged")), "{what}");
                let missing = json["missing"].as_array().unwrap();
                let named = missing.iter().find(|gap| gap["what"].as_str().unwrap().contains(what));
                assert!(named.is_some_and(|gap| gap["command"].is_string()), "{what}: {missing:?}");
            }
        }
    }
}

#[test]
fn what_is_out_says_by_how_much_by_which_rule_and_from_where() {
    let out = |mounted: [&'static str; 2], pd| Made {
        mounted: mounted.map(Some),
        measured_pd: Some(pd),
        ..as_ordered(STRONG)
    };
    let guide = "ANSI Z80.1-2015, public quick guide";
    let axis = "ANSI Z80.1, 2005 and later: Torgersen 2006";
    let both = "ANSI Z80.1: public quick guide of 2015 and summary of 2010";
    for (made, subject, quantity, numbers, words, source) in [
        // 1.25 D of cylinder may be 0.13 D off.
        (
            out([STRONG[0], "-4.25 -1.50 x 175"], "31/31"),
            "left",
            "cylinder_d",
            [-0.25, 0.13, -0.12],
            "left cylinder -1.25 -1.50 0.25 D off, limit 0.13: OUT",
            guide,
        ),
        // From 175 across 180 to 1 the turn is 6 degrees, and 3 are allowed to 1.50 D.
        (
            out([STRONG[0], "-4.25 -1.25 x 1"], "31/31"),
            "left",
            "axis_deg",
            [6.0, 3.0, -3.0],
            "left axis 175 1 6° off, limit 3: OUT",
            axis,
        ),
        // Above 2.75 D the PD in total: 2.5 mm.
        (
            out(STRONG, "32.5/32.75"),
            "pair",
            "pd_mm",
            [3.25, 2.5, -0.75],
            "PD 62 65.25 3.25 mm off, limit 2.5: OUT",
            both,
        ),
    ] {
        let (status, json) = made.inspect();
        assert_eq!((status, json["verdict"].as_str()), (Some(1), Some("out")));
        let (name, unit) = quantity.split_once('_').unwrap();
        let finding = found(&json, subject, name).unwrap();
        let values =
            ["deviation", "limit", "margin"].map(|key| finding[format!("{key}_{unit}")].as_f64().unwrap());
        assert_eq!(values, numbers);
        assert_eq!((&finding["within"], finding["source"].as_str()), (&Value::Bool(false), Some(source)));
        let text = unwrapped(&made.text().stdout);
        assert!(text.contains(words) && !text.contains(source), "{words}: {text}");
        assert!(unwrapped(&made.sources().stdout).contains(source), "{source}");
    }
    // Across 180 by 3 degrees is at the limit, and within.
    assert_eq!(out([STRONG[0], "-4.25 -1.25 x 178"], "31/31").inspect().0, Some(0));
}

#[test]
fn the_worked_limits_of_the_quick_guide_hold_for_whole_pairs() {
    // ANSI Z80.1-2015, public quick guide: 2 % above 6.50 D. Order, reading, exit code, limit.
    for (ordered, read, code, limit) in [
        ("-3.00", "-3.13 DS", 0, 0.13),
        ("-3.00", "-2.87 DS", 0, 0.13),
        ("-3.00", "-3.25 DS", 1, 0.13),
        ("-6.50", "-6.63 DS", 0, 0.13),
        ("-6.75", "-6.885 DS", 0, 0.135),
        ("-6.75", "-6.886 DS", 1, 0.135),
        ("-6.625", "-6.757 DS", 0, 0.1325),
        ("-10.00", "-10.20 DS", 0, 0.2),
        ("-10.00", "-10.21 DS", 1, 0.2),
    ] {
        let made = Made { mounted: [Some(ordered), Some(read)], ..as_ordered([ordered; 2]) };
        let (status, json) = made.inspect();
        assert_eq!(status, Some(code), "{ordered} read {read}");
        let finding = found(&json, "left", "power").unwrap();
        assert_eq!(finding["limit_d"], limit);
        assert_eq!(finding["source"], "ANSI Z80.1-2015, public quick guide");
        assert_eq!(json["right"]["verdict"], "within");
    }
}

#[test]
fn plus_form_is_judged_as_the_same_lens_in_minus_form() {
    let read = ["-4.06 -1.06 x 12", "-4.25 -1.25 x 176"];
    let minus = Made { mounted: read.map(Some), ..as_ordered(STRONG) };
    let ordered = ["-5.00 +1.00 x 100", "-5.50 +1.25 x 85"];
    let plus = Made { mounted: ["-5.12 +1.06 x 102", "-5.50 +1.25 x 86"].map(Some), ..as_ordered(ordered) };
    let [(minus_status, minus), (plus_status, plus)] = [minus.inspect(), plus.inspect()];
    assert_eq!((minus_status, plus_status), (Some(0), Some(0)));
    assert_eq!(minus, plus);
    assert_eq!(plus["right"]["ordered"]["cylinder_d"], -1.0);
}

#[test]
fn a_progressive_says_which_limits_are_unconfirmed() {
    let made = near(Design::Progressive, STRONG);
    let (status, json) = made.inspect();
    assert_eq!(status, Some(0));
    // The heights against each other; the monocular PD above 3.375 D is state law.
    for (subject, quantity, seen) in [("right", "pd", true), ("left", "pd", true), ("pair", "height", false)]
    {
        assert_eq!(found(&json, subject, quantity).unwrap()["confirmed"], seen, "{subject} {quantity}");
    }
    let sources = made.sources().stdout;
    assert_eq!(sources.matches("unconfirmed: not seen in public text").count(), 1, "{sources}");
    let text = unwrapped(&made.text().stdout);
    assert!(text.contains("pair within by ANSI Z80.1-2015 (1 limit unconfirmed)"), "{text}");
    // A sign stands at its row.
    assert!(text.contains("height 0 of 1 mm*, ") && text.contains("* unconfirmed: this limit"), "{text}");
    assert!(!near(Design::Multifocal, STRONG).text().stdout.contains("unconfirmed"));
}
