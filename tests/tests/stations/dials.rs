//! Two stations' dials are two.

use super::*;
use serde_json::Value;

#[test]
fn each_station_has_a_dial_of_its_own_and_a_pass_counts_by_that_of_its_own() {
    let shop = shop();
    let job = open(&shop, "Lindgren 7");
    let at = |station: &str, size: &str| {
        shop.run(["record", "pass", &job, "right", size, "much", "--station", station, "--json"])
    };
    let (first, second) = (at("Edge 1", "0.55"), at("Edge 2", "0.55"));
    assert_eq!(first.status, Some(0), "{first:?}");
    assert!(second.stderr.contains("0.55") && second.status == Some(2), "its steps are tenths: {second:?}");
    assert_eq!(at("edge 2", "0.50").status, Some(0));
    // The plan is for where it is asked.
    let step = |station: &str| {
        let json = done(&shop, &["station", "--station", station, "--json"]).json();
        json["dial"]["step_mm"].as_f64().unwrap()
    };
    assert_eq!([step("Edge 1"), step("Edge 2")], [0.05, 0.1]);
    let dialled = |station: &str| {
        done(&shop, &["plan", &job, "--station", station, "--json"]).json()["sizes"][1]["next_dialled_mm"]
            .clone()
    };
    assert_eq!(dialled("Edge 1"), dialled("Edge 2"));
    done(
        &shop,
        &["station", "dial", "--basis", "radius", "--absolute", "--step", "0.05", "--station", "Edge 2"],
    );
    assert_ne!(dialled("Edge 1"), dialled("Edge 2"));
    assert_eq!(step("Edge 1"), 0.05);
}

#[test]
fn whose_dial_was_not_stated_is_said_with_the_command_that_states_it() {
    let shop = shop();
    let job = open(&shop, "Lindgren 7");
    done(&shop, &["station", "add", "Edge 3"]);
    let said = refused(&shop, &["record", "pass", &job, "right", "0.40", "much", "--station", "Edge 3"]);
    assert!(said.contains("station Edge 3 has not stated"), "{said}");
    assert!(said.contains("bevelbook station dial --station \"Edge 3\" --basis"), "{said}");
    let said = done(&shop, &["station", "--station", "Edge 3"]).stdout;
    assert!(said.contains("station Edge 3 has not stated"), "{said}");
}

#[test]
fn a_station_is_called_by_its_words_whatever_is_between_them() {
    let shop = shop();
    for alike in ["Edge  2", "edge\u{a0}2", " Edge 2 "] {
        let why = refused(&shop, &["station", "add", alike]);
        assert!(why.contains("two that are called alike"), "{alike:?}: {why}");
    }
}

#[test]
fn a_console_that_stands_at_no_station_is_asked_which_and_records_nothing() {
    let shop = shop();
    let job = open(&shop, "Lindgren 7");
    let records =
        || done(&shop, &["job", "show", &job, "--json"]).json()["records"].as_array().unwrap().len();
    let before = records();
    for typed in [
        &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"][..],
        &["station", "new-wheel"],
        &["record", "pass", &job, "right", "0.40", "much"],
        &["keypad", "add", "00000000000000aa", "--name", "bench", "--yes"],
    ] {
        let why = refused(&shop, typed);
        for word in ["Edge 1, Edge 2", "--station \"Edge 1\"", "bevelbook station here"] {
            assert!(why.contains(word), "{typed:?}: {why}");
        }
    }
    assert_eq!(records(), before);
    assert!(done(&shop, &["keypad", "list", "--json"]).json()["keypads"].as_array().unwrap().is_empty());
    // What is of no station is not asked about.
    done(&shop, &["record", "reading", &job, "right", "--direct", "-1.25 -0.75 x 15", "--centred"]);
    done(&shop, &["plan", &job]);
    // Said once, it holds for all that is typed.
    done(&shop, &["station", "here", "Edge 2"]);
    done(&shop, &["record", "pass", &job, "right", "0.40", "much"]);
    assert!(refused(&shop, &["record", "pass", &job, "right", "0.35", "touch"]).contains("0.35"));
    assert_eq!(done(&shop, &["station", "--json"]).json()["station"], "Edge 2");
    // A word for one command goes before, and changes nothing for the next.
    done(&shop, &["record", "pass", &job, "right", "0.35", "touch", "--station", "Edge 1"]);
    assert_eq!(done(&shop, &["station", "--json"]).json()["station"], "Edge 2");
    let mut typed = shop.command();
    let shown = typed.args(["station", "--json"]).env("BEVELBOOK_STATION", "Edge 1").output().unwrap();
    let shown: Value = serde_json::from_slice(&shown.stdout).unwrap();
    assert_eq!(shown["station"], "Edge 1");
}

#[test]
fn a_name_that_is_mistyped_or_taken_is_refused_with_what_there_is() {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    assert!(refused(&shop, &["station", "add", "Edge 2"]).contains("station name \"Edge 1\""));
    assert!(refused(&shop, &["station", "--station", "Edge 1"]).contains("bevelbook station name"));
    let shop = self::shop();
    let why = refused(&shop, &["station", "new-wheel", "--station", "Egde 2"]);
    assert!(why.contains("`Egde 2`") && why.contains("Edge 1, Edge 2"), "{why}");
    assert!(refused(&shop, &["station", "add", "edge 1"]).contains("another station is called"));
    assert!(
        refused(&shop, &["station", "name", "Edge 2", "--station", "Edge 1"]).contains("another station")
    );
    // Under another name it is the same station.
    done(&shop, &["station", "name", "Old edger", "--station", "Edge 1"]);
    let old = done(&shop, &["station", "--station", "Old edger", "--json"]).json();
    assert_eq!(old["dial"]["step_mm"], 0.05);
    let all = done(&shop, &["station", "--all"]).stdout;
    assert!(all.starts_with("station Old edger\n") && all.contains("\nstation Edge 2\n"), "{all}");
}

#[test]
fn a_placing_is_undone_like_any_record() {
    let shop = shop();
    let at = |shop: &Shop| done(shop, &["keypad", "list"]).stdout;
    done(&shop, &["keypad", "add", "00000000000000aa", "--name", "bench", "--yes", "--station", "Edge 1"]);
    assert!(at(&shop).contains("bench  at Edge 1"), "{}", at(&shop));
    done(&shop, &["keypad", "move", "bench", "Edge 2"]);
    assert!(at(&shop).contains("bench  at Edge 2"));
    // Nor is a name taken away from where something stands.
    let lost = done(&shop, &["station", "name", "Edge 3", "--station", "Edge 2", "--json"]).json();
    let why = refused(&shop, &["record", "void", &lost["record"]["seq"].to_string()]);
    assert!(why.contains("name it anew instead"), "{why}");
    done(&shop, &["station", "name", "Edge 2", "--station", "Edge 3"]);
    let here = done(&shop, &["station", "here", "Edge 2", "--json"]).json();
    done(&shop, &["record", "void", &here["record"]["seq"].to_string()]);
    assert!(refused(&shop, &["station", "new-wheel"]).contains("which station?"));
}

#[test]
fn a_shop_with_one_station_is_asked_nothing_and_told_nothing() {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    let job = open(&shop, "Lindgren 7");
    done(&shop, &["keypad", "add", "00000000000000aa", "--name", "bench", "--yes"]);
    done(&shop, &["record", "pass", &job, "right", "0.40", "much"]);
    let shown = |args: &[&str]| done(&shop, args).stdout;
    let faces = |shop: &Shop| {
        [
            &["station"][..],
            &["station", "--json"],
            &["keypad", "list"],
            &["keypad", "list", "--json"],
            &["job", "show", "1"],
            &["job", "show", "1", "--json"],
            &["day"],
            &["plan", "1", "--full"],
        ]
        .map(|args| done(shop, args).stdout)
    };
    let before = faces(&shop);
    assert!(before.iter().all(|shown| !shown.contains("Edge")), "{before:?}");
    assert!(!shown(&["station", "--json"]).contains("\"station\""));
    // A name alone changes no face.
    done(&shop, &["station", "name", "Edge 1"]);
    assert_eq!(faces(&shop), before);
}

#[test]
fn a_station_is_named_and_begun_though_the_settings_name_it_already() {
    let shop = Shop::new();
    let set = |text: &str| std::fs::write(shop.settings(), text).unwrap();
    set("desk.station = \"Edge 1\"\n");
    let why = refused(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    assert!(why.contains("no station is called `Edge 1`") && why.contains("bevelbook station name"), "{why}");
    done(&shop, &["station", "name", "Edge 1"]);
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    // The second console's own settings name the one that it begins.
    set("desk.station = \"Edge 2\"\n");
    let why = refused(&shop, &["station", "name", "Edge 2"]);
    assert!(why.contains("bevelbook station add") && why.contains("Edge 1"), "{why}");
    done(&shop, &["station", "add", "Edge 2"]);
    done(&shop, &["station", "dial", "--basis", "girth", "--absolute", "--step", "0.10"]);
    let steps = |station: &str| {
        done(&shop, &["station", "--station", station, "--json"]).json()["dial"]["step_mm"].as_f64().unwrap()
    };
    assert_eq!(["Edge 1", "Edge 2"].map(steps), [0.05, 0.1]);
    // Renamed, its settings follow or are told what there is.
    done(&shop, &["station", "name", "Edge 3"]);
    assert!(refused(&shop, &["station", "new-wheel"]).contains("Edge 1, Edge 3"));
    // The one that has no name yet is named under whatever name the settings have.
    let shop = Shop::new();
    std::fs::write(shop.settings(), "desk.station = \"Edge 2\"\n").unwrap();
    done(&shop, &["station", "name", "Edge 1"]);
    done(&shop, &["station", "add", "Edge 2"]);
}

#[test]
fn a_name_is_one_line_of_letters() {
    let shop = shop();
    for (name, named) in [("Edge\n3", "line break"), ("Edge\t3", "U+0009"), ("Ed\u{200b}ge", "U+200B")] {
        for typed in [
            &["station", "add", name][..],
            &["station", "name", name, "--station", "Edge 1"],
            &["keypad", "add", "00000000000000aa", "--yes", "--station", "Edge 1", "--name", name],
        ] {
            let why = refused(&shop, typed);
            assert!(why.contains(named) && why.contains("one line"), "{typed:?}: {why}");
        }
    }
    let all = done(&shop, &["station", "--all", "--json"]).json();
    assert_eq!(all.as_array().map(Vec::len), Some(2), "{all}");
    done(&shop, &["station", "add", "Schleifer Süd · 研磨"]);
}

#[test]
fn a_keypad_moves_from_a_number_that_it_can_have() {
    let shop = shop();
    done(&shop, &["keypad", "add", "00000000000000aa", "--name", "bench", "--yes", "--station", "Edge 1"]);
    let moved = |from: &str| {
        ["keypad", "move", "bench", "Edge 2", "--from"]
            .into_iter()
            .chain([from])
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let run = |from: &str| shop.run(moved(from));
    // Of a keypad that waits to send there may be more to come, but no more than a memory holds.
    for far in ["4294967295", "99999"] {
        let output = run(far);
        assert_eq!(output.status, Some(2), "{output:?}");
        assert!(
            output.stderr.contains("nothing of it is in the book yet")
                && output.stderr.contains("keypad log"),
            "{output:?}"
        );
    }
    let ahead = run("7");
    assert_eq!(ahead.status, Some(0), "{ahead:?}");
    assert!(ahead.stderr.contains("records 1 to 6 that it still holds are of Edge 1"), "{ahead:?}");
    let first = run("1");
    assert!(first.status == Some(0) && !first.stderr.contains("still holds"), "{first:?}");
    assert_eq!(run("0").status, Some(2));
}
