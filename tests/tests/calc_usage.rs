//! `calc` used wrongly, its help, and the names of its JSON fields.

use bevelbook_tests::bevelbook;

/// Every command with the fields of its answer.
const COMMANDS: [(&str, &[&str]); 10] = [
    ("transpose", &["axis_deg", "cylinder_d", "sphere_d"]),
    ("vector", &["j0_d", "j45_d", "m_d"]),
    ("meridian", &["power_d"]),
    ("combine", &["axis_deg", "cylinder_d", "sphere_d"]),
    ("residual", &["axis_deg", "cylinder_d", "sphere_d"]),
    ("reading", &["axis_deg", "cylinder_d", "sphere_d"]),
    ("decentre", &["left_mm", "right_mm"]),
    ("blank", &["diameter_mm"]),
    ("segment", &["drop_mm", "inset_mm"]),
    ("tolerance", &["deviation", "limits", "within"]),
];

/// The arguments of the example in a command's help, quotes taken off.
fn example(command: &str) -> Option<Vec<String>> {
    let help = bevelbook(["calc", command, "--help"]);
    assert_eq!(help.status, Some(0), "{help:?}");
    let line = help.stdout.lines().find_map(|line| line.strip_prefix("Example: bevelbook "))?;
    let quoted = line.split('"').enumerate();
    let words = quoted.flat_map(|(i, part)| match i % 2 {
        0 => part.split_whitespace().map(str::to_owned).collect(),
        _ => vec![part.to_owned()],
    });
    Some(words.collect())
}

#[test]
fn the_example_of_every_help_works_and_its_json_has_exactly_the_fields_agreed() {
    for (command, fields) in COMMANDS {
        let args = example(command).expect(command);
        assert_eq!(args[..2], ["calc", command]);
        let output = bevelbook(args.iter().map(String::as_str).chain(["--json"]));
        assert_eq!((output.status, output.stderr.as_str()), (Some(0), ""), "{args:?}");
        let json = output.json();
        let mut found: Vec<&String> = json.as_object().unwrap().keys().collect();
        found.sort();
        assert_eq!(found, fields, "{command}");
        if command == "tolerance" {
            for part in ["limits", "deviation"] {
                let mut found: Vec<&String> = json[part].as_object().unwrap().keys().collect();
                found.sort();
                assert_eq!(found, ["axis_deg", "cylinder_d", "power_d"], "{part}");
            }
        }
        let text = bevelbook(&args);
        assert!(!text.stdout.trim().is_empty() && !text.stdout.contains('{'), "{text:?}");
    }
}

#[test]
fn the_list_of_calculations_says_what_each_does() {
    let help = bevelbook(["calc", "--help"]);
    for (command, _) in COMMANDS {
        let line = help.stdout.lines().find(|line| line.trim_start().starts_with(command));
        assert!(line.is_some_and(|line| line.split_whitespace().count() > 4), "{command}: {help:?}");
    }
    assert!(!help.stdout.contains("left_over"), "{help:?}");
}

/// Wrong use ends with 2, prints nothing but an error, and the error holds `hints`.
fn refused(args: &[&str], hints: &[&str]) {
    let output = bevelbook(["calc", "--json"].iter().chain(args));
    assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{args:?}: {output:?}");
    for hint in hints {
        assert!(output.stderr.contains(hint), "{args:?} lacks `{hint}`: {}", output.stderr);
    }
}

#[test]
fn a_prescription_that_cannot_be_read_shows_the_place_and_an_example() {
    for (rx, expected, place) in [
        ("1.25", "a power with its sign", "\n    1.25\n    ^^^^\n"),
        ("-1.25 0.75 x 15", "expected", "\n          ^^^^\n"),
        ("-1.25 -0.75", "the axis of the cylinder", "\n               ^\n"),
        ("-1.25 -0.75 x 181", "an axis from 1 to 180 degrees", "\n                  ^^^\n"),
        ("-125 DS", "is the decimal point missing?", "\n    ^^^^\n"),
        ("-1.25 DS tinted", "nothing more", "\n             ^^^^^^\n"),
        ("", "the sphere", "-1.25 -0.75 x 15"),
    ] {
        refused(&["transpose", rx], &[expected, place, "write it like: -1.25 -0.75 x 15"]);
    }
    let either = ["a cylinder before the axis", "\n          ^^^^\n", "pl -1.25 x 15, or -1.25 DS"];
    refused(&["transpose", "-1.25 x 15"], &either);
}

#[test]
fn a_prescription_without_quotes_is_told_to_take_them() {
    let quotes = ["put quotes round it: \"-1.25 -0.75 x 15\""];
    refused(&["transpose", "-1.25", "-0.75", "x", "15"], &quotes);
    refused(&["vector", "pl", "-0.75", "x", "15"], &quotes);
    refused(&["meridian", "-1.25", "-0.75", "x", "15", "--at", "90"], &quotes);
    refused(&["combine", "-1.25", "-0.75", "x", "15", "-2.00"], &quotes);
    refused(&["residual", "-1.25", "-0.75", "x", "15", "-1.25", "-0.75", "x", "15"], &quotes);
    refused(&["residual", "+2.00", "DC", "x", "15", "pl"], &quotes);
    refused(&["tolerance", "-1.25", "-0.75", "x", "15"], &quotes);
    refused(&["tolerance", "-1.25", "--read", "-1.25", "-0.75", "x", "15"], &quotes);
}

#[test]
fn figures_that_cannot_be_right_are_refused_with_an_example() {
    for (args, hints) in [
        (&["meridian", "-1.00 DS", "--at", "361"][..], ["an angle from 0 to 360", "write it like: 37.5"]),
        (&["meridian", "-1.00 DS", "--at", "-5"], ["an angle from 0 to 360", "write it like: 37.5"]),
        (
            &["reading", "--first", "1.00", "--second", "+2.00", "--axis", "90"],
            ["a power with its sign", "write it like: -1.25"],
        ),
        (
            &["reading", "--first", "-1.00", "--second", "+2.00", "--axis", "190"],
            ["an axis from 1 to 180 degrees", "write it like: 15"],
        ),
        (
            &["decentre", "--a", "0", "--dbl", "20", "--pd", "64"],
            ["a size above zero", "write it like: 52.5"],
        ),
        (
            &["decentre", "--a", "50", "--dbl", "-20", "--pd", "64"],
            ["a size above zero", "write it like: 52.5"],
        ),
        (
            &["decentre", "--a", "50", "--dbl", "20", "--pd", "33"],
            ["the PD of both eyes", "write it like: 31.5/30"],
        ),
        (&["blank", "--ed", "44", "--decentration", "near"], ["a length", "write it like: 52.5"]),
        (
            &["blank", "--ed", "44", "--decentration", "2", "--allowance", "-2"],
            ["zero or more millimetres", "write it like: 2"],
        ),
        (&["segment", "--b", "50", "--height", "51"], ["above the box", "for example 22"]),
        (
            &["segment", "--b", "50", "--height", "22", "--distance-pd", "60", "--near-pd", "64"],
            ["--near-pd is larger", "for example --distance-pd 64 --near-pd 60"],
        ),
        (
            &["segment", "--b", "50", "--height", "22", "--distance-pd", "32/32", "--near-pd", "30/30"],
            ["one figure across", "write it like: 64"],
        ),
        (
            &["tolerance", "pl", "--standard", "iso-21987-2009"],
            ["name of a standard", "known: ansi-z80.1-2020, ansi-z80.1-2015"],
        ),
        (&["combine", "+60.00 DS", "+60.00 DS"], ["beyond ±100 D", "check the powers"]),
    ] {
        refused(args, &hints);
    }
}

#[test]
fn what_is_missing_is_named() {
    refused(&["transpose"], &["<RX>"]);
    refused(&["meridian", "-1.00 DS"], &["--at <DEG>"]);
    refused(&["combine", "-1.00 DS"], &["2 values required"]);
    refused(&["decentre", "--a", "50"], &["--dbl <MM>", "--pd <MM>"]);
    refused(&["segment", "--b", "50", "--height", "22", "--far-pd", "64"], &["--near-pd <MM>"]);
    refused(&["transpos", "-1.00 DS"], &["'transpose'"]);
}
