//! Who said what is said at a desk, as the shop sets it.

use super::*;
use serde_json::Value;

fn set(shop: &Shop, text: &str) {
    std::fs::write(shop.settings(), text).unwrap();
}

/// What the records of job 1 say, with who and where.
fn records(shop: &Shop) -> Vec<(String, Value, Value)> {
    let json = done(shop, &["job", "show", "1", "--json"]).json();
    let records = json["records"].as_array().unwrap().iter();
    records
        .map(|row| (row["says"].as_str().unwrap().to_owned(), row["by"].clone(), row["station"].clone()))
        .collect()
}

#[test]
fn a_shop_that_asks_for_initials_records_nothing_without_and_asks_nobody_twice() {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    let job = open(&shop, "Lindgren 7");
    let before = records(&shop);
    set(&shop, "desk.signed_by = \"initials\"\n");
    let order = usual_order(&[["--frame", "Lindgren 8"]]);
    let order: Vec<&str> = order.iter().map(String::as_str).collect();
    for typed in [
        &["record", "note", &job, "pads missing"][..],
        &["job", "remake", &job, "right", "--cause", "slipped", "--charged-to", "shop"],
        &["job", "close", &job, "--despite", "no more wanted"],
        &["keypad", "add", "00000000000000aa", "--name", "bench", "--yes"],
        &order,
    ] {
        let why = refused(&shop, typed);
        assert!(why.contains("--initials EM") && why.contains("nothing was recorded"), "{typed:?}: {why}");
    }
    assert_eq!(records(&shop), before);
    // What a bench says is no word of a desk.
    done(&shop, &["record", "pass", &job, "right", "0.40", "much"]);
    done(&shop, &["record", "note", &job, "pads missing", "--initials", "EM"]);
    let mut typed = shop.command();
    let noted =
        typed.args(["record", "note", &job, "pads found"]).env("BEVELBOOK_INITIALS", "AB").output().unwrap();
    assert!(noted.status.success(), "{noted:?}");
    // Those of a sign-off are the same initials; given already they are not asked for again.
    done_or_out(&shop, &["inspect", &job, "--sign-off", "EM", "--despite", "for a display"]);
    done_or_out(&shop, &["inspect", &job, "--sign-off", "--despite", "for a display", "--initials", "AB"]);
    let told: Vec<(String, Value, Value)> = records(&shop).split_off(before.len() + 1);
    let who: Vec<&Value> = told.iter().map(|(_, by, _)| by).collect();
    assert_eq!(who, [&Value::from("EM"), &Value::from("AB"), &Value::Null, &Value::Null], "{told:?}");
    assert!(told[2].0.contains("signed off by EM") && told[3].0.contains("signed off by AB"), "{told:?}");
    let text = done(&shop, &["job", "show", &job]).stdout;
    assert!(text.contains("note: pads missing; EM") && text.contains("note: pads found; AB"), "{text}");
    assert!(!text.contains("EM; EM"), "{text}");
}

fn done_or_out(shop: &Shop, args: &[&str]) {
    let output = shop.run(args);
    assert!(matches!(output.status, Some(0 | 1)), "{args:?}: {output:?}");
}

#[test]
fn initials_that_are_given_stand_there_though_nobody_asks_and_a_file_may_have_them() {
    let shop = Shop::new();
    let job = open(&shop, "Lindgren 7");
    done(&shop, &["record", "note", &job, "one", "--initials", "EM"]);
    set(&shop, "[desk]\nsigned_by = \"initials\"\ninitials = \"CD\"\n");
    done(&shop, &["record", "note", &job, "two"]);
    done(&shop, &["record", "note", &job, "three", "--initials", "EM"]);
    let who: Vec<Value> = records(&shop).into_iter().map(|(_, by, _)| by).collect();
    assert_eq!(who, [Value::Null, "EM".into(), "CD".into(), "EM".into()]);
    // A book is as sound as it was, and another one takes it in.
    done(&shop, &["book", "check"]);
}

#[test]
fn a_shop_that_asks_for_the_station_gets_it_with_each_record_of_a_desk() {
    let shop = shop();
    let job = open(&shop, "Lindgren 7");
    set(&shop, "desk.signed_by = \"station\"\n");
    let why = refused(&shop, &["record", "note", &job, "pads missing"]);
    assert!(why.contains("which station?") && why.contains("nothing was recorded"), "{why}");
    done(&shop, &["record", "note", &job, "one", "--station", "Edge 2"]);
    done(&shop, &["station", "here", "Edge 1", "--station", "Edge 1"]);
    done(&shop, &["record", "note", &job, "two"]);
    done(&shop, &["record", "pass", &job, "right", "0.40", "much", "--station", "Edge 2"]);
    let at: Vec<Value> = records(&shop).into_iter().map(|(_, _, at)| at).collect();
    assert_eq!(at, [Value::Null, "Edge 2".into(), "Edge 1".into(), "Edge 2".into()]);
    let text = done(&shop, &["job", "show", &job]).stdout;
    assert!(text.contains("note: one; at Edge 2") && text.contains("note: two; at Edge 1"), "{text}");
}

#[test]
fn initials_that_are_typed_for_what_no_desk_says_are_told_not_to_be_put_down() {
    let shop = Shop::new();
    let job = open(&shop, "Lindgren 7");
    let told = "EM is not put down";
    for typed in [
        &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"][..],
        &["station", "new-wheel"],
        &["record", "mark", &job, "right"],
        &["record", "pass", &job, "right", "0.40", "much"],
        &["record", "void", "4"],
    ] {
        let output = done(&shop, &[typed, &["--initials", "EM"]].concat());
        assert!(
            output.stderr.contains(told) && output.stderr.contains("record note"),
            "{typed:?}: {output:?}"
        );
    }
    assert!(records(&shop).iter().all(|(_, by, _)| by.is_null()));
    // What a desk says has them, and so has a bench's own shop that set them once for all.
    let noted = done(&shop, &["record", "note", &job, "pads missing", "--initials", "EM"]);
    let named = done(&shop, &["station", "name", "Edge 1", "--initials", "EM"]);
    set(&shop, "desk.initials = \"CD\"\n");
    let passed = done(&shop, &["record", "pass", &job, "right", "0.35", "much"]);
    for output in [noted, named, passed] {
        assert!(!output.stderr.contains("not put down"), "{output:?}");
    }
    let mut typed = shop.command();
    let passed =
        typed.args(["record", "pass", &job, "right", "0.30", "much"]).env("BEVELBOOK_INITIALS", "AB");
    let passed = passed.output().unwrap();
    assert!(passed.status.success() && passed.stderr.is_empty(), "{passed:?}");
}

#[test]
fn a_shop_that_asks_for_the_station_names_its_stations_and_says_where_a_console_stands() {
    let shop = Shop::new();
    set(&shop, "desk.signed_by = \"station\"\n");
    done(&shop, &["station", "name", "Edge 1"]);
    done(&shop, &["station", "add", "Edge 2"]);
    done(&shop, &["station", "add", "Edge 3"]);
    done(&shop, &["station", "name", "Edge 4", "--station", "Edge 3"]);
    done(&shop, &["station", "here", "Edge 2"]);
    let job = open(&shop, "Lindgren 7");
    done(&shop, &["record", "note", &job, "one"]);
    assert!(records(&shop).iter().all(|(_, _, at)| at == "Edge 2"), "{:?}", records(&shop));
}

#[test]
fn initials_are_one_line_of_letters() {
    let shop = Shop::new();
    let job = open(&shop, "Lindgren 7");
    for (initials, named) in [("E\nM", "line break"), ("E\u{1b}[1mM", "U+001B"), ("E\u{202e}M", "U+202E")] {
        let why = refused(&shop, &["record", "note", &job, "one", "--initials", initials]);
        assert!(why.contains(named) && !why.contains(['\u{1b}', '\u{202e}']), "{why}");
        let why = refused(&shop, &["inspect", &job, "--sign-off", initials, "--despite", "for a display"]);
        assert!(why.contains(named), "{why}");
        let text = initials.chars().map(|letter| format!("\\u{:04x}", letter as u32)).collect::<String>();
        set(&shop, &format!("desk.initials = \"{text}\"\n"));
        let why = refused(&shop, &["record", "note", &job, "one"]);
        assert!(why.contains("desk.initials") && why.contains(named), "{why}");
        set(&shop, "");
    }
    assert_eq!(records(&shop).len(), 1);
    // What repeats a text that is none is written in letters alone as well.
    let why = refused(&shop, &["day", "--date", "fri\u{202e}"]);
    assert!(!why.contains('\u{202e}'), "{why:?}");
}
