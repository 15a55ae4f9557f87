//! Prescriptions, rims and designs as the trade writes them (common practice, no source), read or refused.

use super::{assert_refused, done, opened};
use bevelbook_tests::bevelbook;
use serde_json::json;

#[test]
fn a_power_with_an_axis_and_no_cylinder_is_asked_about() {
    for (text, mark) in [
        ("-0.50 x 170", "          ^^^^^"),
        ("-0.50 DS x 170", "             ^^^^^"),
        ("-0.50 0.00 x 170", "               ^^^^^"),
        ("-0.50 / 170", "            ^^^"),
        ("bal -0.50 x 170", "              ^^^^^"),
    ] {
        for flag in ["--right", "--left"] {
            assert_refused(&[[flag, text]], &["pl -0.50 x 170", "-0.50 DS", mark]);
        }
    }
    let (shop, _) = done(opened(&[]));
    for command in [
        &["job", "amend", "1", "--why", "new", "--left", "-2.25 x 80"][..],
        &["job", "amend", "1", "--why", "new", "--lab-power-left", "-2.25 x 80"],
        &["record", "reading", "1", "r", "--direct", "-2.25 x 80"],
        &["calc", "transpose", "-2.25 x 80"],
    ] {
        let refused = shop.run(command);
        assert_eq!(refused.status, Some(2), "{command:?}: {refused:?}");
        assert!(refused.stderr.contains("pl -2.25 x 80, or -2.25 DS"), "{command:?}: {refused:?}");
    }
}

#[test]
fn other_notations_open_the_same_order() {
    for text in [
        "SPH -1.25 CYL -0.75 AXIS 15",
        "S -1.25 C -0.75 A 15",
        "-1.25/-0.75/15",
        "-1,25; -0,75; 15",
        "-1.25 -0.75 * 15 OD",
        "R: -1.25 D.S. / -0.75 DCx15",
    ] {
        let (_, output) = done(opened(&[["--right", text]]));
        let right = &output.json()["right"];
        assert_eq!(
            [&right["sphere_d"], &right["cylinder_d"], &right["axis_deg"]],
            [&json!(-1.25), &json!(-0.75), &json!(15.0)],
            "{text}"
        );
    }
    for [at, axis, meridian] in [
        ["-1.25 -0.75 @ 15", "-1.25 -0.75 x 15", "-1.25 -0.75 x 105"],
        ["pl -0.75 @ 100", "pl -0.75 x 100", "pl -0.75 x 10"],
        ["-1.25/-0.75@15", "-1.25 -0.75 x 15", "-1.25 -0.75 x 105"],
    ] {
        assert_refused(
            &[["--right", at]],
            &["@ can mean", &format!("write one of the two: {axis}, or {meridian}\n")],
        );
    }
    assert_refused(&[["--left", "-1.25 -0.75 x 15 OD"]], &["the left eye", "not the right"]);
    assert_refused(&[["--right", "-1.25 -0.75 2"]], &["the axis of the cylinder, behind an x"]);
    assert_refused(&[["--right", "-12.00 DS BVD 12"]], &["no BVD", "the distance at which the lens is worn"]);
}

#[test]
fn prism_and_add_are_read_as_they_are_written() {
    for text in [
        "-1.25 -0.75 x 15 prism 2 in add +2.25",
        "-1.25 -0.75 x 15 2 BI ad 2.25",
        "-1.25/-0.75/15 2Δ BI +2.25 add",
        "-1.25, -0.75, 15; 2 base in; add 2.25",
        "-1.25 -0.75 015 2 in +2.25 ADD OD",
        "OD -1.25 DS / -0.75 DC x 15 add: 2,25 prism: 2 BI",
        "-1.25 -0.75 x 15 prism 2 @ 0 add +2.25 R",
        "-1.25 -0.75 x 15 2Δ @ 360° addition 2.25",
    ] {
        let changes = [
            ["--right", text],
            ["--left", "+1.00 D.S. ad 2.25"],
            ["--design", "bifocal"],
            ["--heights", "16"],
        ];
        let (_, output) = done(opened(&changes));
        let order = output.json();
        assert_eq!(
            [&order["right"]["base_in_pd"], &order["right"]["add_d"]],
            [&json!(2.0), &json!(2.25)],
            "{text}"
        );
        assert_eq!(
            [&order["left"]["sphere_d"], &order["left"]["add_d"]],
            [&json!(1.0), &json!(2.25)],
            "{text}"
        );
    }
    for (text, words) in [
        ("-1.25 -0.75 x 15 2 BI 3 BI", "one horizontal and one vertical part at most"),
        ("-1.25 -0.75 x 15 2", "the end, `prism` with its base, or `add`, each once"),
        ("-1.25 -0.75 x 15 +2.25", "the end, `prism` with its base, or `add`, each once"),
        ("-1.25 0.75 x 15", "a power with its sign, + or -"),
        ("-1.25 -0.75", "the axis of the cylinder, behind an x"),
    ] {
        assert_refused(&[["--right", text]], &[words, "write it like: "]);
    }
}

#[test]
fn a_prism_by_the_angle_of_its_base_is_shown_in_its_parts() {
    // ISO 8429: 0 to the viewer's right, anticlockwise, the same for both eyes. 3 Δ at 30: 3·cos 30 = 2.598, 1.5 up.
    let text = "-1.25 -0.75 x 15 3 @ 30";
    let (shop, output) = done(opened(&[["--right", text], ["--left", text]]));
    let order = output.json();
    assert_eq!([&order["right"]["base_in_pd"], &order["right"]["base_up_pd"]], [&json!(2.598), &json!(1.5)]);
    assert_eq!([&order["left"]["base_in_pd"], &order["left"]["base_up_pd"]], [&json!(-2.598), &json!(1.5)]);
    assert!(output.stderr.contains("base at 30° is 1.50 up 2.598 in") && output.stderr.contains("ISO 8429"));
    let shown = shop.run(["job", "show", "1"]).stdout;
    let line = shown.lines().find_map(|line| line.trim().strip_prefix("left")).unwrap();
    let again = done(opened(&[["--left", line.trim()]])).1.json();
    assert_eq!(again["left"], order["left"]);
    assert_refused(&[["--right", "-2.00 2 @ 135"]], &["or the word prism", "prism 2 @ 135"]);
}

#[test]
fn rims_and_designs_are_known_by_their_usual_words() {
    let (_, output) = done(opened(&[["--rim", "semi-rimless"]]));
    assert_eq!(output.json()["frame"]["rim"], "grooved");
    let adds = [["--right", "-1.25 DS add 2"], ["--left", "-1.25 DS ad 2.00"]];
    let (_, output) = done(opened(&[adds[0], adds[1], ["--design", "bifocal"], ["--heights", "16"]]));
    assert_eq!(output.json()["lens"]["design"], "multifocal");
    assert_refused(&[["--rim", "full rim"]], &["metal or plastic"]);
}

#[test]
fn a_calculator_reads_them_too() {
    let output = bevelbook(["calc", "transpose", "--json", "SPH -1.25 CYL -0.75 AXIS 15"]);
    assert_eq!(output.json()["axis_deg"], json!(105.0), "{output:?}");
}

#[test]
fn a_date_says_itself_or_is_told_as_it_was_read() {
    let (_, output) = done(opened(&[["--due", "28.11.2056"], ["--prescribed", "1 feb 2026"]]));
    let json = output.json();
    assert_eq!([&json["due"], &json["prescribed"]], [&json!("2056-11-28"), &json!("2026-02-01")]);
    assert!(!output.stderr.contains("was read as"), "{output:?}");
    let (_, output) = done(opened(&[["--due", "3/4/2056"], ["--prescribed", "yesterday"]]));
    assert_eq!(output.json()["due"], "2056-04-03");
    let told = "due: 3/4/2056 was read as Monday, 2056-04-03: the day first; if the month comes first, write 2056-03-04";
    assert!(output.stderr.contains(told) && output.stderr.contains("prescribed: yesterday was read as "));
    for (due, days) in
        [("today", 0..=1), ("tomorrow", 1..=2), ("28/11", 0..=366), ("28.11.", 0..=366), ("fri", 1..=8)]
    {
        let today = jiff::ZonedDateTime::now().date();
        let (_, output) = done(opened(&[["--due", due]]));
        let read: jiff::civil::Date = output.json()["due"].as_str().unwrap().parse().unwrap();
        assert!(days.contains(&(read - today).get_days()), "{due}: {read}");
        let shown = output.stderr.split_once(&format!("due: {due} was read as ")).unwrap().1;
        assert!(shown.lines().next().unwrap().contains(&read.to_string()), "{output:?}");
        assert!(due != "fri" || read.weekday() == jiff::civil::Weekday::Friday, "{read}");
    }
    for text in ["30.2.2026", "28.11.26", "2026-02-30", "next week", "13/13"] {
        assert_refused(&[["--due", text]], &["expected a date", "2026-11-28, 28.11.2026, 28/11 or fri"]);
    }
}
