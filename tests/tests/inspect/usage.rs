//! Sign-off, the commands that are suggested, JSON, wrong use.

use crate::made::{Made, STRONG, as_ordered, near, unwrapped};
use bevelbook_core::tolerance::Design;
use serde_json::json;

#[test]
fn a_sign_off_is_shown_until_something_is_recorded() {
    let shop = as_ordered(STRONG).build();
    let signed = shop.run(["inspect", "1", "--sign-off", "EM"]);
    assert_eq!(signed.status, Some(0), "{signed:?}");
    assert!(signed.stdout.contains("Signed off by EM on 20"), "{}", signed.stdout);
    let json = shop.run(["inspect", "1", "--json"]).json();
    assert_eq!((&json["signed"]["by"], &json["signed"]["verdict"]), (&"EM".into(), &"within".into()));
    assert_eq!(json["signed"]["table_version"], json["table_version"]);
    let later = shop.run(["record", "check", "1", "alignment"]);
    assert_eq!(later.status, Some(0), "{later:?}");
    let after = shop.run(["inspect", "1"]);
    assert_eq!(after.status, Some(0));
    assert!(!after.stdout.contains("Signed off"), "{}", after.stdout);
    assert!(shop.run(["inspect", "1", "--json"]).json()["signed"].is_null());
}

#[test]
fn what_is_not_within_is_signed_only_with_a_reason() {
    let made = Made { measured_pd: None, checked: false, ..as_ordered(STRONG) };
    let shop = made.build();
    for args in [
        &["--sign-off", "EM"][..],
        &["--sign-off", "EM", "--despite", " "],
        &["--despite", "agreed"],
        &["--sign-off", ""],
    ] {
        let refused = shop.run(["inspect", "1"].iter().chain(args));
        assert_eq!((refused.status, refused.stdout.as_str()), (Some(2), ""), "{refused:?}");
        assert!(shop.run(["inspect", "1", "--json"]).json()["signed"].is_null());
    }
    let signed = shop.run(["inspect", "1", "--sign-off", "EM", "--despite", "PD rule broken"]);
    assert_eq!(signed.status, Some(1), "{signed:?}");
    let text = unwrapped(&signed.stdout);
    assert!(text.contains("not judged yet by ANSI Z80.1-2015"), "{text}");
    assert!(text.contains("released although: PD rule broken"), "{text}");
    // The sign-off says what else is open.
    assert!(
        text.contains("Still to do") && text.contains("drop ball: not recorded; local rules decide"),
        "{text}"
    );
}

#[test]
fn the_commands_for_what_is_missing_and_open_work_as_typed() {
    let bare = Made {
        pd: "62",
        heights: None,
        uncut: [None; 2],
        mounted: [None, Some("-4.25 -1.25 x 175")],
        prism: [None; 2],
        measured_pd: None,
        checked: false,
        ..near(Design::Progressive, STRONG)
    };
    let shop = bare.build();
    let fill = |command: &str| -> Vec<String> {
        let quoted = command.strip_prefix("bevelbook ").unwrap().split('"').enumerate();
        let words: Vec<String> = quoted
            .flat_map(|(i, part)| match i % 2 {
                0 => part.split_whitespace().map(str::to_owned).collect(),
                _ => vec![part.to_owned()],
            })
            .collect();
        let asked = |i: usize| match words[i - 1].as_str() {
            "--first" => "-4.00",
            "--second" => "-5.00",
            "--axis" => "10",
            "--prism" => "0",
            "--add" => "+2.00",
            "--heights" => "18/18",
            "--why" => "measured again",
            _ => "31/31",
        };
        let filled = words.iter().enumerate().map(|(i, word)| match word.as_str() {
            "drop-ball-…" => "drop-ball-batch".to_owned(),
            word if word.contains('…') => asked(i).to_owned(),
            word => word.to_owned(),
        });
        filled.collect()
    };
    for list in ["missing", "open"] {
        // Each command supplies at least one thing; together there are fewer than forty.
        for left in (0..40).rev() {
            let json = shop.run(["inspect", "1", "--json"]).json();
            let Some(first) = json[list].as_array().unwrap().first() else { break };
            let typed = fill(first["command"].as_str().unwrap());
            let output = shop.run(&typed);
            assert!(output.status == Some(0) && left > 0, "{typed:?}: {output:?}, for {first}");
        }
    }
    let done = shop.run(["inspect", "1", "--json"]);
    assert_eq!((done.status, &done.json()["verdict"]), (Some(0), &"within".into()), "{}", done.stdout);
}

#[test]
fn the_fields_for_programs_are_there_with_their_units() {
    let (_, json) = near(Design::Progressive, STRONG).inspect();
    let mut keys: Vec<&String> = json.as_object().unwrap().keys().collect();
    keys.sort();
    let expected = [
        "design",
        "findings",
        "job",
        "left",
        "looked_at",
        "missing",
        "not_covered",
        "open",
        "right",
        "signed",
        "standard",
        "status",
        "table_version",
        "thinning",
        "unjudged",
        "verdict",
        "warnings",
    ];
    assert_eq!(keys, expected);
    assert_eq!((&json["job"], &json["standard"]), (&1.into(), &"ANSI Z80.1-2015".into()));
    assert_eq!(json["right"]["read"]["axis_deg"], 10.0);
    assert_eq!(json["left"]["uncut"]["verdict"], "within");
    for finding in json["findings"].as_array().unwrap() {
        let unit = match finding["quantity"].as_str().unwrap() {
            "power" | "cylinder" | "add" => "d",
            "axis" => "deg",
            "vertical" | "horizontal" => "pd",
            _ => "mm",
        };
        for value in ["ordered", "measured", "deviation", "limit", "margin"] {
            assert!(finding[format!("{value}_{unit}")].is_number(), "{value}_{unit}: {finding}");
        }
        assert!(finding["rule"].is_string() && finding["source"].is_string(), "{finding}");
        assert!(finding["within"].is_boolean() && finding["at_limit"].is_boolean(), "{finding}");
        assert!(finding["confirmed"].is_boolean(), "{finding}");
    }
}

#[test]
fn an_unknown_job_or_standard_is_refused_in_words() {
    let shop = as_ordered(STRONG).build();
    assert_eq!(shop.run(["inspect", "9"]).status, Some(3));
    let refused = shop.run(["inspect", "1", "--standard", "iso-21987-2009"]);
    assert_eq!(refused.status, Some(2));
    assert!(
        refused.stderr.contains("the edition of 2009 was withdrawn")
            && refused.stderr.contains("ansi-z80.1-2015"),
        "{refused:?}"
    );
    assert_eq!(shop.run(["inspect", "1", "--standard", "ansi z80.1"]).status, Some(0));
    // Of 2020 there is hearsay alone: it has to be named, and every figure says so.
    let text = unwrapped(&shop.run(["inspect", "1", "--standard", "ansi-z80.1-2020", "--sources"]).stdout);
    assert!(text.contains("ANSI Z80.1-2020") && text.contains("Every figure is unconfirmed"), "{text}");
    let json = shop.run(["inspect", "1", "--standard", "ansi-z80.1-2020", "--json"]).json();
    let mut findings = json["findings"].as_array().unwrap().iter();
    assert!(findings.all(|finding| finding["confirmed"] == false), "{json}");
    let usual = shop.run(["inspect", "1", "--standard", "ansi z80.1", "--json"]).json();
    assert_eq!(usual["standard"], "ANSI Z80.1-2015");
}

#[test]
fn what_a_reading_is_off_by_is_told_as_one_lens_and_its_blur() {
    // Recomputed with general numerical libraries: a cylinder of 2.00 D turned by 5° leaves one of 0.3486 D; its mean
    // sphere is 0, so that its power vector is half as long.
    let turned = Made {
        mounted: [Some("-1.00 -2.00 x 95"), Some("-1.00 DS")],
        ..as_ordered(["-1.00 -2.00 x 90", "-1.00 DS"])
    };
    let (_, json) = turned.inspect();
    let off = &json["right"]["off_by"];
    assert_eq!((&off["cylinder_d"], &off["blur_d"]), (&json!(-0.349), &json!(0.174)));
    assert_eq!(json["left"]["off_by"]["blur_d"], 0.0);
    let text = turned.sources().stdout;
    assert_eq!(text.matches("  error  ").count(), 1, "{text}");
    assert!(text.contains(", mean blur 0.17 D"), "{text}");
    assert!(!turned.text().stdout.contains("blur"));
}

#[test]
fn a_lens_read_more_than_once_shows_the_mean_and_spread_and_is_judged_by_the_latest() {
    let shop = as_ordered(["-1.00 DS", "-1.00 DS"]).build();
    assert!(shop.run(["inspect", "1", "--json"]).json()["right"]["readings"].is_null());
    for read in ["-1.25 DS", "-1.10 DS"] {
        let logged =
            shop.run(["record", "reading", "1", "r", "--stage", "mounted", "--direct", read, "--centred"]);
        assert_eq!(logged.status, Some(0), "{logged:?}");
    }
    // -1.00, -1.25 and -1.10 have a mean of -1.1167 and a standard deviation of 0.1258 (Python's statistics module).
    let json = shop.run(["inspect", "1", "--json"]).json();
    let readings = &json["right"]["readings"];
    assert_eq!((&readings["count"], &readings["sphere_d"]), (&json!(3), &json!(-1.117)));
    assert_eq!(readings["spread_d"], 0.126);
    assert_eq!(json["right"]["read"]["sphere_d"], -1.1);
    let text = shop.run(["inspect", "1", "--sources"]).stdout;
    assert!(text.contains("3 in the frame, mean -1.117 DS, spread 0.13 D; the latest is judged"), "{text}");
}
